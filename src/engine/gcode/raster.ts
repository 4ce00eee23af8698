import { beadWidth } from './bead.ts';
import { type Arcs, PRINT, type Segments, wayLength } from './segments.ts';

/** Grid of cells over a part of the sheet, its lines at whole multiples of the cell; row by row from the lowest y. */
export type Grid = Readonly<{ cell: number; x0: number; y0: number; width: number; height: number }>;

/** Width of a bead is taken within these [mm]: outside, the section is no sign of what lies there. */
const WIDTH_LEAST_MM = 0.2;
const WIDTH_MOST_MM = 1.5;
/** A line thinner than a cell still marks the cells that it crosses: half the diagonal, and a little. */
const HALF_DIAGONAL = 0.7072;
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

/**
 * Marks the cells of the print segments in some ranges: a cell is set when its centre is within half a width of the
 * bead's line (or what marks at least the cells under it).
 *
 * @param ranges first segment, segment behind the last, height of the layer
 */
export function raster(
  grid: Grid,
  segments: Segments,
  arcs: Arcs,
  area: number,
  ranges: readonly (readonly [from: number, to: number, layer: number])[],
): Uint8Array {
  const set = new Uint8Array(grid.width * grid.height);
  for (const [from, to, layer] of ranges)
    for (let i = from; i < to; i++) {
      if (segments.kind[i] !== PRINT) continue;
      const radius = Math.max(widthOf(segments, arcs, i, area, layer) / 2, HALF_DIAGONAL * grid.cell);
      // Long straight lines stay whole: the drawing of one costs its rows, not its length.
      pieces(segments, arcs, i, Infinity, (x0, y0, x1, y1) => drawLine(set, grid, x0, y0, x1, y1, radius));
    }
  return set;
}

/** Sets the cells whose centres are within `radius` of a line: in each row, one run. */
function drawLine(
  set: Uint8Array,
  grid: Grid,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  radius: number,
): void {
  const { cell } = grid;
  const first = Math.max(0, Math.ceil((Math.min(y0, y1) - radius - grid.y0) / cell - 0.5));
  const last = Math.min(grid.height - 1, Math.floor((Math.max(y0, y1) + radius - grid.y0) / cell - 0.5));
  const length = Math.hypot(x1 - x0, y1 - y0);
  // Offset of the long sides of the strip round the line.
  const nx = length > 0 ? (-(y1 - y0) / length) * radius : 0;
  const ny = length > 0 ? ((x1 - x0) / length) * radius : 0;
  for (let row = first; row <= last; row++) {
    const y = grid.y0 + (row + 0.5) * cell;
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
    if (y1 !== y0)
      for (let side = -1; side <= 1; side += 2) {
        const t = (y - y0 - side * ny) / (y1 - y0);
        if (t < 0 || t > 1) continue;
        const x = x0 + side * nx + t * (x1 - x0);
        if (x < left) left = x;
        if (x > right) right = x;
      }
    const from = Math.max(0, Math.ceil((left - grid.x0) / cell - 0.5));
    const to = Math.min(grid.width - 1, Math.floor((right - grid.x0) / cell - 0.5));
    if (to >= from) set.fill(1, row * grid.width + from, row * grid.width + to + 1);
  }
}
