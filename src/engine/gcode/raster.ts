import { beadWidth } from './bead.ts';
import type { Level } from './levels.ts';
import { type Arcs, longer, PRINT, type Segments, wayLength } from './segments.ts';

/** Grid of cells over a part of the sheet, its lines at whole multiples of the cell; row by row from the lowest y. */
export type Grid = Readonly<{ cell: number; x0: number; y0: number; width: number; height: number }>;

/** Width of a bead is taken within these [mm]: outside, the section is no sign of what lies there. */
const WIDTH_LEAST_MM = 0.2;
const WIDTH_MOST_MM = 1.5;
/** A line thinner than a cell still marks the cells that it crosses: half the diagonal, and a little. */
const HALF_DIAGONAL = 0.7072;
/** Cells of a grid at most: a sheet of a metre and a half. Beyond, the cell is doubled rather than the file refused. */
const CELLS_MOST = 4e7;
/** Room round what is drawn, for its beads [mm]. */
const MARGIN_MM = 2;
/** Arcs are drawn as chords that miss them by no more than this [mm]. */
const CHORD_ERROR_MM = 0.01;

/** Calls `piece` for the straight pieces of a segment's way, no longer than `longest`; arcs bend as they should. */
export function pieces(
  segments: Segments,
  arcs: Arcs,
  i: number,
  longest: number,
  piece: (x0: number, y0: number, x1: number, y1: number, share: number) => void,
): void {
  const x0 = segments.x0[i]!;
  const y0 = segments.y0[i]!;
  const x1 = segments.x1[i]!;
  const y1 = segments.y1[i]!;
  const arc = segments.arc.length > 0 ? segments.arc[i]! : -1;
  const way = wayLength(segments, arcs, i);
  if (arc < 0) {
    const n = Math.max(1, Math.ceil(way / longest));
    for (let k = 0; k < n; k++) {
      const a = k / n;
      const b = (k + 1) / n;
      piece(x0 + a * (x1 - x0), y0 + a * (y1 - y0), x0 + b * (x1 - x0), y0 + b * (y1 - y0), 1 / n);
    }
    return;
  }
  const radius = arcs.radius[arc]!;
  const sweep = arcs.sweep[arc]!;
  const chord = Math.sqrt(8 * radius * CHORD_ERROR_MM);
  const n = Math.max(1, Math.ceil(Math.max(way / longest, (radius * Math.abs(sweep)) / chord)));
  const start = Math.atan2(y0 - arcs.cy[arc]!, x0 - arcs.cx[arc]!);
  let px = x0;
  let py = y0;
  for (let k = 1; k <= n; k++) {
    const angle = start + (sweep * k) / n;
    const qx = k === n ? x1 : arcs.cx[arc]! + radius * Math.cos(angle);
    const qy = k === n ? y1 : arcs.cy[arc]! + radius * Math.sin(angle);
    piece(px, py, qx, qy, 1 / n);
    px = qx;
    py = qy;
  }
}

/** Width of the bead of a print segment [mm]. */
export function widthOf(segments: Segments, arcs: Arcs, i: number, area: number, layer: number): number {
  const section = (segments.laid[i]! * area) / wayLength(segments, arcs, i);
  return Math.min(WIDTH_MOST_MM, Math.max(WIDTH_LEAST_MM, beadWidth(section, layer)));
}

/** Grid round all print segments. */
export function gridRound(segments: Segments, arcs: Arcs, cell: number): Grid {
  let left = Infinity;
  let right = -Infinity;
  let low = Infinity;
  let high = -Infinity;
  const take = (x: number, y: number) => {
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < low) low = y;
    if (y > high) high = y;
  };
  for (let i = 0; i < segments.count; i++) {
    if (segments.kind[i] !== PRINT) continue;
    take(segments.x0[i]!, segments.y0[i]!);
    take(segments.x1[i]!, segments.y1[i]!);
    if (segments.arc.length > 0 && segments.arc[i]! >= 0)
      pieces(segments, arcs, i, Infinity, (_x0, _y0, x1, y1) => take(x1, y1));
  }
  for (;;) {
    const margin = Math.ceil(MARGIN_MM / cell) + 1;
    const x0 = Math.floor(left / cell) - margin;
    const y0 = Math.floor(low / cell) - margin;
    const width = Math.ceil(right / cell) + margin - x0;
    const height = Math.ceil(high / cell) + margin - y0;
    if (width * height <= CELLS_MOST) return { cell, x0: x0 * cell, y0: y0 * cell, width, height };
    cell *= 2;
  }
}

/** Cell in which a place lies, -1 outside. */
export function cellAt(grid: Grid, x: number, y: number): number {
  const column = Math.floor((x - grid.x0) / grid.cell);
  const row = Math.floor((y - grid.y0) / grid.cell);
  const inside = column >= 0 && column < grid.width && row >= 0 && row < grid.height;
  return inside ? row * grid.width + column : -1;
}

/** Laid, and not yet of any figure. */
const MARKED = -1;

/**
 * Figures of one level at a time on one grid: a cell is laid when its centre is within half a width of a bead's line
 * (or what marks at least the cells under it); laid cells that touch at an edge or a corner are one figure.
 * Cost of a level: what is laid there, not the grid.
 */
export class LevelRaster {
  /** Number of the figure in each cell, from 1; 0 where nothing is laid. */
  readonly figure: Int32Array;
  /** Cells figure by figure: those of figure n from `starts[n - 1]` to before `starts[n]`. */
  cells = new Int32Array(1 << 14);
  starts = new Int32Array(64);
  count = 0;
  readonly #grid: Grid;
  #marked = new Int32Array(1 << 14);
  #cellCount = 0;
  /** First cells of runs still to be looked at. */
  #open = new Int32Array(1 << 10);

  constructor(grid: Grid) {
    this.#grid = grid;
    this.figure = new Int32Array(grid.width * grid.height);
  }

  /** Takes away the level drawn before and draws another. */
  draw(level: Level, segments: Segments, arcs: Arcs, area: number): void {
    for (let k = 0; k < this.#cellCount; k++) this.figure[this.#marked[k]!] = 0;
    this.#cellCount = 0;
    for (const { from, to, beadMm } of level.ranges)
      for (let i = from; i < to; i++) {
        if (segments.kind[i] !== PRINT) continue;
        const width = widthOf(segments, arcs, i, area, beadMm);
        const radius = Math.max(width / 2, HALF_DIAGONAL * this.#grid.cell);
        // Straight lines stay whole: the drawing of one costs its cells and rows.
        if (segments.arc.length === 0 || segments.arc[i]! < 0)
          this.#line(segments.x0[i]!, segments.y0[i]!, segments.x1[i]!, segments.y1[i]!, radius);
        else pieces(segments, arcs, i, Infinity, (x0, y0, x1, y1) => this.#line(x0, y0, x1, y1, radius));
      }
    this.#tellApart();
  }

  /** Cells that are laid, figure by figure. */
  laid(): Int32Array {
    return this.cells.subarray(0, this.#cellCount);
  }

  /** Marks the cells whose centres are within `radius` of a line: in each row, one run. */
  #line(x0: number, y0: number, x1: number, y1: number, radius: number): void {
    const { cell, width, height } = this.#grid;
    const left0 = this.#grid.x0;
    const low0 = this.#grid.y0;
    const first = Math.max(1, Math.ceil((Math.min(y0, y1) - radius - low0) / cell - 0.5));
    const last = Math.min(height - 2, Math.floor((Math.max(y0, y1) + radius - low0) / cell - 0.5));
    const length = Math.sqrt((x1 - x0) ** 2 + (y1 - y0) ** 2);
    // Offset of the long sides of the strip round the line.
    const nx = length > 0 ? (-(y1 - y0) / length) * radius : 0;
    const ny = length > 0 ? ((x1 - x0) / length) * radius : 0;
    const slope = y1 !== y0 ? 1 / (y1 - y0) : 0;
    for (let row = first; row <= last; row++) {
      const y = low0 + (row + 0.5) * cell;
      let left = Infinity;
      let right = -Infinity;
      // The round ends.
      for (let end = 0; end < 2; end++) {
        const h = radius * radius - (y - (end ? y1 : y0)) ** 2;
        if (h < 0) continue;
        const reach = Math.sqrt(h);
        const x = end ? x1 : x0;
        if (x - reach < left) left = x - reach;
        if (x + reach > right) right = x + reach;
      }
      // The long sides, where the row crosses them.
      if (slope !== 0)
        for (let side = -1; side <= 1; side += 2) {
          const t = (y - y0 - side * ny) * slope;
          if (t < 0 || t > 1) continue;
          const x = x0 + side * nx + t * (x1 - x0);
          if (x < left) left = x;
          if (x > right) right = x;
        }
      const from = Math.max(1, Math.ceil((left - left0) / cell - 0.5));
      const to = Math.min(width - 2, Math.floor((right - left0) / cell - 0.5));
      if (to >= from) this.#mark(row * width + from, row * width + to);
    }
  }

  #mark(from: number, to: number): void {
    const { figure } = this;
    let count = this.#cellCount;
    if (count + to - from >= this.#marked.length)
      this.#marked = longer(this.#marked, 2 * (count + to - from + 1));
    const marked = this.#marked;
    for (let k = from; k <= to; k++)
      if (figure[k] === 0) {
        figure[k] = MARKED;
        marked[count++] = k;
      }
    this.#cellCount = count;
  }

  /** Numbers the figures, run by run. The border of the grid is never laid: runs end before it. */
  #tellApart(): void {
    const { figure } = this;
    const { width } = this.#grid;
    const total = this.#cellCount;
    if (this.cells.length < total) this.cells = new Int32Array(this.#marked.length);
    const { cells } = this;
    let open = this.#open;
    let used = 0;
    let number = 0;
    for (let m = 0; m < total; m++) {
      const seed = this.#marked[m]!;
      if (figure[seed] !== MARKED) continue;
      if (number + 1 >= this.starts.length) this.starts = longer(this.starts, 2 * this.starts.length);
      this.starts[number++] = used;
      open[0] = seed;
      let waiting = 1;
      while (waiting > 0) {
        const cell = open[--waiting]!;
        if (figure[cell] !== MARKED) continue;
        let from = cell;
        while (figure[from - 1] === MARKED) from--;
        let to = cell;
        while (figure[to + 1] === MARKED) to++;
        for (let k = from; k <= to; k++) {
          figure[k] = number;
          cells[used++] = k;
        }
        if (waiting + to - from + 4 > open.length) {
          open = longer(open, 2 * (waiting + to - from + 4));
          this.#open = open;
        }
        // One cell of each run in the rows beside, corners included.
        for (let side = -width; side <= width; side += 2 * width) {
          let before = 0;
          for (let k = from + side - 1; k <= to + side + 1; k++) {
            const here = figure[k]!;
            if (here === MARKED && before !== MARKED) open[waiting++] = k;
            before = here;
          }
        }
      }
    }
    this.starts[number] = used;
    this.count = number;
  }
}
