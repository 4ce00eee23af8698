import { closed } from '../numerics/closing.ts';
import { outlineOf } from '../numerics/outline.ts';
import type { Figures } from './figures.ts';
import type { Grid, LevelRaster } from './raster.ts';
import { smallestRectangle } from './rectangle.ts';

/** A part as the figures of its levels, level by level from the lowest. */
export type PartFigures = Readonly<{
  /** Ascending: the figures of one level follow one another. */
  figures: readonly number[];
  levels: readonly number[];
  /** Cells laid in each of its levels. */
  cells: readonly number[];
}>;

/** Seen from above, all levels together. */
export type Silhouette = Readonly<{
  boxMm: readonly [number, number, number, number];
  longMm: number;
  shortMm: number;
  turnDeg: number;
  outlineMm: readonly number[];
}>;

/** Gaps up to twice this are closed before the solid share is taken [mm]. */
const CLOSING_MM = 1.5;
/** Levels of a part in which gaps are closed; between them the share that closing adds is interpolated. */
const CLOSED_LEVELS = 40;
/** Corners of an outline that stand out by less than this are left out: the steps of a slanting edge [mm]. */
const OUTLINE_MM = 0.3;

type CellBox = { left: number; right: number; low: number; high: number };

function boxOf(figures: Figures, own: readonly number[]): CellBox {
  const box = { left: Infinity, right: -1, low: Infinity, high: -1 };
  for (const figure of own) {
    box.left = Math.min(box.left, figures.left[figure]!);
    box.right = Math.max(box.right, figures.right[figure]!);
    box.low = Math.min(box.low, figures.low[figure]!);
    box.high = Math.max(box.high, figures.high[figure]!);
  }
  return box;
}

/**
 * What each part looks like from above.
 *
 * @param partOf part of each figure, -1: none
 */
export function silhouettes(
  figures: Figures,
  grid: Grid,
  parts: readonly PartFigures[],
  partOf: Int32Array,
): Silhouette[] {
  // Cells by part.
  const ends = new Int32Array(parts.length + 1);
  for (let s = 0; s < figures.seen; s++) {
    const part = partOf[figures.seenFigure[s]!]!;
    if (part >= 0) ends[part + 1]!++;
  }
  for (let part = 0; part < parts.length; part++) ends[part + 1]! += ends[part]!;
  const next = ends.slice();
  const cells = new Int32Array(ends[parts.length]!);
  for (let s = 0; s < figures.seen; s++) {
    const part = partOf[figures.seenFigure[s]!]!;
    if (part >= 0) cells[next[part]!++] = figures.seenCell[s]!;
  }
  return parts.map(({ figures: own }, part) => {
    const { left, right, low, high } = boxOf(figures, own);
    const width = right - left + 1;
    const height = high - low + 1;
    const set = new Int32Array(width * height);
    for (const cell of cells.subarray(ends[part]!, ends[part + 1]!)) {
      const x = cell % grid.width;
      set[((cell - x) / grid.width - low) * width + x - left] = 1;
    }
    const { long, short, turnDeg } = smallestRectangle(set, width, height);
    const x0 = grid.x0 + left * grid.cell;
    const y0 = grid.y0 + low * grid.cell;
    return {
      boxMm: [x0, y0, grid.x0 + (right + 1) * grid.cell, grid.y0 + (high + 1) * grid.cell],
      longMm: long * grid.cell,
      shortMm: short * grid.cell,
      turnDeg,
      outlineMm: outlineOf(set, width, height, 1, set.indexOf(1), OUTLINE_MM / grid.cell).map(
        (at, k) => (k % 2 === 0 ? x0 : y0) + at * grid.cell,
      ),
    };
  });
}

/**
 * Closed area of each part in each of its levels [mm2]: gaps are closed in about forty evenly spaced levels, the first
 * and the last among them, and the ratio of closed to laid area is interpolated between them.
 *
 * @param draw draws a level anew and returns the number of its first figure
 */
export function closedAreas(
  figures: Figures,
  grid: Grid,
  parts: readonly PartFigures[],
  partOf: Int32Array,
  raster: LevelRaster,
  draw: (level: number) => number,
): Float64Array[] {
  const ratios = parts.map(({ levels }) => new Float64Array(levels.length));
  // Parts that are closed in a level, with the place of the level among their own.
  const wanted = new Map<number, Map<number, number>>();
  for (const [part, { levels }] of parts.entries())
    for (const place of spaced(levels.length)) {
      const level = levels[place]!;
      const there = wanted.get(level) ?? new Map<number, number>();
      there.set(part, place);
      wanted.set(level, there);
    }
  for (const [level, places] of wanted) {
    const first = draw(level);
    const figuresOf = new Map<number, number[]>();
    for (let n = 0; n < raster.count; n++) {
      const part = partOf[first + n]!;
      if (!places.has(part)) continue;
      const there = figuresOf.get(part);
      if (there) there.push(first + n);
      else figuresOf.set(part, [first + n]);
    }
    for (const [part, own] of figuresOf) {
      const place = places.get(part)!;
      ratios[part]![place] = closedCells(figures, grid, own, raster, first) / parts[part]!.cells[place]!;
    }
  }
  return parts.map(({ levels, cells }, part) => {
    const places = spaced(levels.length);
    const ratio = ratios[part]!;
    for (let k = 1; k < places.length; k++) {
      const [a, b] = [places[k - 1]!, places[k]!];
      for (let at = a + 1; at < b; at++)
        ratio[at] = ratio[a]! + ((ratio[b]! - ratio[a]!) * (at - a)) / (b - a);
    }
    return ratio.map((value, at) => value * cells[at]! * grid.cell ** 2);
  });
}

/** Evenly spaced places among `count`, first and last included. */
function spaced(count: number): number[] {
  if (count <= CLOSED_LEVELS) return Array.from({ length: count }, (_, k) => k);
  return Array.from({ length: CLOSED_LEVELS }, (_, k) => Math.round((k * (count - 1)) / (CLOSED_LEVELS - 1)));
}

/** Cells of some figures of the level that is drawn, after closing them together. */
function closedCells(
  figures: Figures,
  grid: Grid,
  own: readonly number[],
  raster: LevelRaster,
  first: number,
): number {
  const radius = CLOSING_MM / grid.cell;
  const margin = Math.ceil(radius) + 1;
  const box = boxOf(figures, own);
  const width = box.right - box.left + 1 + 2 * margin;
  const height = box.high - box.low + 1 + 2 * margin;
  const set = new Uint8Array(width * height);
  for (const figure of own)
    for (let c = raster.starts[figure - first]!; c < raster.starts[figure - first + 1]!; c++) {
      const cell = raster.cells[c]!;
      const x = cell % grid.width;
      set[((cell - x) / grid.width - box.low + margin) * width + x - box.left + margin] = 1;
    }
  let cells = 0;
  for (const value of closed(set, width, height, radius)) cells += value;
  return cells;
}
