import type { Level } from './levels.ts';
import type { Grid, LevelRaster } from './raster.ts';
import { longer } from './segments.ts';

/** Cells by which a figure must lie on the one below to hang together with it, or half of the smaller one. */
const OVERLAP_CELLS = 4;
/** A figure lies on what is no deeper than this many layers: support that leaves one free stays apart. */
const DEPTH_LAYERS = 1.45;
/** Or no deeper than this many times what the figure below rose itself: support may have thicker layers than its bar. */
const DEPTH_RISES = 1.1;

/**
 * Figures of all levels from some level up, and which of them hang together: those that overlap from one level to the
 * next (union-find). What is kept of a level are its figures, not its cells, but for those that are new seen from above.
 */
export class Figures {
  count = 0;
  /** Level of each figure, by number from the lowest of the print. */
  level = new Int32Array(256);
  cells = new Int32Array(256);
  /** Boxes, in columns and rows, both ends included. */
  left = new Int32Array(256);
  right = new Int32Array(256);
  low = new Int32Array(256);
  high = new Int32Array(256);
  /** Cells seen from above, with the figure that brought each: a cell stands once for whatever hung together then. */
  seen = 0;
  seenCell = new Int32Array(1 << 14);
  seenFigure = new Int32Array(1 << 14);
  readonly #grid: Grid;
  #parent = new Int32Array(256);
  #zMm = new Float64Array(256);
  /** Height over the highest figure that each lies on; 0: on none. */
  #riseMm = new Float64Array(256);
  /** Topmost figure in each cell so far, plus one. */
  readonly #top: Int32Array;

  constructor(grid: Grid) {
    this.#grid = grid;
    this.#top = new Int32Array(grid.width * grid.height);
  }

  /** Any figure stands for all that hang together with it: the same for all of them. */
  root(figure: number): number {
    const parent = this.#parent;
    while (parent[figure] !== figure) {
      parent[figure] = parent[parent[figure]!]!;
      figure = parent[figure]!;
    }
    return figure;
  }

  /** Takes in the figures of the next level up. Returns the number of the first. */
  add(number: number, level: Level, raster: LevelRaster): number {
    const first = this.count;
    while (first + raster.count > this.#parent.length) this.#grow();
    this.count += raster.count;
    // All are joined before any is seen from above: a cell over a figure that hangs together with it is not new.
    for (let n = 0; n < raster.count; n++) this.#measure(first + n, number, level, raster, n);
    for (let n = 0; n < raster.count; n++) this.#join(first + n, level, raster, n);
    for (let n = 0; n < raster.count; n++) this.#cover(first + n, raster, n);
    return first;
  }

  #measure(figure: number, number: number, level: Level, raster: LevelRaster, n: number): void {
    const { width } = this.#grid;
    const [from, to] = [raster.starts[n]!, raster.starts[n + 1]!];
    let left = width;
    let right = 0;
    let low = this.#grid.height;
    let high = 0;
    for (let c = from; c < to; c++) {
      // Cells come in runs: only their ends can be outermost.
      const cell = raster.cells[c]!;
      if (c > from && c + 1 < to && raster.cells[c - 1] === cell - 1 && raster.cells[c + 1] === cell + 1)
        continue;
      const x = cell % width;
      const y = (cell - x) / width;
      if (x < left) left = x;
      if (x > right) right = x;
      if (y < low) low = y;
      if (y > high) high = y;
    }
    this.#parent[figure] = figure;
    this.#zMm[figure] = level.zMm;
    this.level[figure] = number;
    this.cells[figure] = to - from;
    this.left[figure] = left;
    this.right[figure] = right;
    this.low[figure] = low;
    this.high[figure] = high;
  }

  #join(figure: number, level: Level, raster: LevelRaster, n: number): void {
    const overlaps = new Map<number, number>();
    let under = 0;
    let run = 0;
    const end = () => {
      if (under > 0) overlaps.set(under - 1, (overlaps.get(under - 1) ?? 0) + run);
    };
    for (let c = raster.starts[n]!; c < raster.starts[n + 1]!; c++) {
      const top = this.#top[raster.cells[c]!]!;
      if (top === under) run++;
      else {
        end();
        under = top;
        run = 1;
      }
    }
    end();
    let highest = Number.NEGATIVE_INFINITY;
    for (const [lower, cells] of overlaps) {
      const z = this.#zMm[lower]!;
      const deepest = Math.max(DEPTH_LAYERS * level.layerMm, DEPTH_RISES * this.#riseMm[lower]!);
      const smaller = Math.min(this.cells[figure]!, this.cells[lower]!);
      if (level.zMm - z > deepest || cells < Math.min(OVERLAP_CELLS, smaller / 2)) continue;
      this.#parent[this.root(lower)] = this.root(figure);
      if (z > highest) highest = z;
    }
    this.#riseMm[figure] = highest > Number.NEGATIVE_INFINITY ? level.zMm - highest : 0;
  }

  #cover(figure: number, raster: LevelRaster, n: number): void {
    const root = this.root(figure);
    let under = 0;
    let known = false;
    for (let c = raster.starts[n]!; c < raster.starts[n + 1]!; c++) {
      const cell = raster.cells[c]!;
      const top = this.#top[cell]!;
      if (top !== under) {
        under = top;
        known = top > 0 && this.root(top - 1) === root;
      }
      if (!known) {
        if (this.seen === this.seenCell.length) {
          this.seenCell = longer(this.seenCell, 2 * this.seen);
          this.seenFigure = longer(this.seenFigure, 2 * this.seen);
        }
        this.seenCell[this.seen] = cell;
        this.seenFigure[this.seen++] = figure;
      }
      this.#top[cell] = figure + 1;
    }
  }

  #grow(): void {
    const room = 2 * this.#parent.length;
    this.#parent = longer(this.#parent, room);
    this.#zMm = longer(this.#zMm, room);
    this.#riseMm = longer(this.#riseMm, room);
    this.level = longer(this.level, room);
    this.cells = longer(this.cells, room);
    this.left = longer(this.left, room);
    this.right = longer(this.right, room);
    this.low = longer(this.low, room);
    this.high = longer(this.high, room);
  }
}
