import { closed } from '../numerics/closing.ts';
import { components } from '../numerics/components.ts';
import { nearestCells } from '../numerics/nearest-cell.ts';
import { outlineOf } from '../numerics/outline.ts';
import { type GcodeCard, strandArea } from './card.ts';
import { PASS_STEP_MM, type Passes } from './passes.ts';
import { type Grid, pieces, raster } from './raster.ts';
import { smallestRectangle } from './rectangle.ts';
import { type Arcs, PRINT, type Segments } from './segments.ts';

export type PartKind =
  /** Solid: a bar. */
  | 'bar'
  /** Lines with air between. */
  | 'support'
  /** Lower than three layers: brim, skirt or purge. */
  | 'low'
  /** Between bar and support. */
  | 'open';

/** A part on the sheet, as seen in the third layer. A person confirms which is which; nothing rests on `kind` unseen. */
export type Part = Readonly<{
  kind: PartKind;
  /** Plan area of its beads. */
  areaMm2: number;
  /** Area with gaps under 3 mm filled. */
  closedMm2: number;
  /** x and y from, x and y to. */
  boxMm: readonly [number, number, number, number];
  /** Outer outline, for a drawing: x, y, x, y ..., counter-clockwise. */
  outlineMm: readonly number[];
  /** Top of its highest bead. */
  heightMm: number;
  volumeMm3: number;
  /** Volume over closed area and height. */
  solid: number;
  /** Sides of the smallest rectangle round it, over turns by a degree. */
  longMm: number;
  shortMm: number;
  turnDeg: number;
  /** Area in the first layer under it and within 1 mm round it. */
  contactMm2: number;
  /** Contacts on the sheet that it stands on, by number; a brim may be shared. */
  contacts: readonly number[];
  /** Layers that it has. */
  layers: number;
}>;

/** Passes over each part, in the order of time: `part` and `pass` by number. */
export type PartPasses = Readonly<{
  count: number;
  part: Int32Array;
  pass: Int32Array;
  /** First and last moment at which it is laid. */
  startS: Float64Array;
  endS: Float64Array;
  /** To the start of the next pass over the same part; of the last, to its own end. */
  returnS: Float64Array;
  volumeMm3: Float64Array;
}>;

export type Parts = Readonly<{
  parts: readonly Part[];
  /** Separate figures in the first layer, brim and purge included. */
  contacts: number;
  contactAreasMm2: readonly number[];
  /** Laid on no part: brims, purge lines. */
  unattachedMm3: number;
  passes: PartPasses;
  cellMm: number;
}>;

/** Layer, counted from the lowest, in which parts are told apart: over brims and squeezed first lines. */
const LEVEL_OF_PARTS = 3;
/** A piece of a segment this long at most goes to one part [mm]. */
const PIECE_MM = 1;
/** A piece further from every part than this belongs to none [mm]. */
const REACH_MM = 1;
/** Gaps up to twice this are closed before the solid share is taken [mm]. */
const CLOSING_MM = 1.5;
export const SOLID_BAR = 0.85;
const SOLID_SUPPORT = 0.6;
export const LAYERS_LEAST = 3;
/** Cells of a grid at most: a sheet of a metre and a half. Beyond, the cell is doubled rather than the file refused. */
const CELLS_MOST = 4e7;
/** Corners of an outline that stand out by less than this are left out [cells]: the steps of a slanting edge. */
const OUTLINE_CELLS = 0.75;
/** Room round the figures, for closing and reach [mm]. */
const MARGIN_MM = 2;

type Range = readonly [from: number, to: number, layer: number];

/**
 * Parts on the sheet: raster of the lowest and the third-lowest height, 8-connected figures, and every print segment
 * cut into pieces that go to the nearest part.
 */
export function partsOf(segments: Segments, arcs: Arcs, passes: Passes, card: GcodeCard): Parts {
  const area = strandArea(card);
  const heights = levels(passes);
  const low = heights[0]!;
  const high = heights[Math.min(LEVEL_OF_PARTS, heights.length) - 1]!;
  const rangesAt = (z: number): Range[] => {
    const ranges: Range[] = [];
    for (let p = 0; p < passes.count; p++)
      if (Math.abs(passes.zMm[p]! - z) <= PASS_STEP_MM)
        ranges.push([passes.first[p]!, passEnd(passes, p, segments.count), passes.heightMm[p]!]);
    return ranges;
  };
  const lowRanges = rangesAt(low);
  const highRanges = rangesAt(high);
  const grid = gridRound(segments, arcs, [...lowRanges, ...highRanges], card.cellMm);
  const contact = components(raster(grid, segments, arcs, area, lowRanges), grid.width, grid.height);
  const figure = components(raster(grid, segments, arcs, area, highRanges), grid.width, grid.height);

  // Nearest part of every cell, 0 beyond reach.
  const { nearest, distance2 } = nearestCells(figure.label, grid.width, grid.height);
  const reach2 = (REACH_MM / grid.cell) ** 2;
  const owner = new Int32Array(grid.width * grid.height);
  for (let k = 0; k < owner.length; k++) if (distance2[k]! <= reach2) owner[k] = figure.label[nearest[k]!]!;

  const shares = laidOnParts(segments, arcs, passes, area, grid, owner, figure.count);
  const cell2 = grid.cell * grid.cell;
  const contactAreas = new Float64Array(contact.count);
  const under = Array.from({ length: figure.count }, () => ({ cells: 0, contacts: new Set<number>() }));
  for (let k = 0; k < owner.length; k++) {
    const c = contact.label[k]!;
    if (c === 0) continue;
    contactAreas[c - 1]! += cell2;
    const part = owner[k]!;
    if (part === 0) continue;
    under[part - 1]!.cells++;
    if (figure.label[k] === part) under[part - 1]!.contacts.add(c - 1);
  }

  const boxes = boxesOf(figure.label, grid, figure.count);
  const found = Array.from({ length: figure.count }, (_, k) => {
    const box = boxes[k]!;
    const own = figureOf(figure.label, grid, k + 1, box);
    const volume = shares.volume[k]!;
    const height = shares.top[k]!;
    const layers = shares.layers[k]!.size;
    const solid = volume / (own.closedCells * cell2 * height);
    const part: Part = {
      kind:
        layers < LAYERS_LEAST
          ? 'low'
          : solid >= SOLID_BAR
            ? 'bar'
            : solid < SOLID_SUPPORT
              ? 'support'
              : 'open',
      areaMm2: own.cells * cell2,
      closedMm2: own.closedCells * cell2,
      boxMm: [
        grid.x0 + box.left * grid.cell,
        grid.y0 + box.low * grid.cell,
        grid.x0 + (box.right + 1) * grid.cell,
        grid.y0 + (box.high + 1) * grid.cell,
      ],
      outlineMm: outlineOf(
        figure.label,
        grid.width,
        grid.height,
        k + 1,
        figure.label.indexOf(k + 1, box.low * grid.width),
        OUTLINE_CELLS,
      ).map((at, j) => (j % 2 === 0 ? grid.x0 : grid.y0) + at * grid.cell),
      heightMm: height,
      volumeMm3: volume,
      solid,
      longMm: own.long * grid.cell,
      shortMm: own.short * grid.cell,
      turnDeg: own.turnDeg,
      contactMm2: under[k]!.cells * cell2,
      contacts: [...under[k]!.contacts].sort((a, b) => a - b),
      layers,
    };
    return { part, index: k };
  });
  found.sort((a, b) => a.part.boxMm[1] - b.part.boxMm[1] || a.part.boxMm[0] - b.part.boxMm[0]);
  const order = new Int32Array(figure.count);
  for (const [place, { index }] of found.entries()) order[index] = place;
  return {
    parts: found.map(({ part }) => part),
    contacts: contact.count,
    contactAreasMm2: Array.from(contactAreas),
    unattachedMm3: shares.unattached,
    passes: partPasses(shares.rows, order),
    cellMm: grid.cell,
  };
}

/** Segment behind the last of a pass. */
export function passEnd(passes: Passes, pass: number, segmentCount: number): number {
  return pass + 1 < passes.count ? passes.first[pass + 1]! : segmentCount;
}

/** Heights at which something is printed, from the lowest up; nearer than a pass step is the same. */
export function levels(passes: Passes): number[] {
  const sorted = Array.from(passes.zMm).sort((a, b) => a - b);
  const result: number[] = [];
  for (const z of sorted) if (result.length === 0 || z - result.at(-1)! > PASS_STEP_MM) result.push(z);
  return result;
}

function gridRound(segments: Segments, arcs: Arcs, ranges: readonly Range[], cell: number): Grid {
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
  for (const [from, to] of ranges)
    for (let i = from; i < to; i++) {
      if (segments.kind[i] !== PRINT) continue;
      take(segments.x0[i]!, segments.y0[i]!);
      take(segments.x1[i]!, segments.y1[i]!);
      const arc = segments.arc.length > 0 ? segments.arc[i]! : -1;
      if (arc >= 0)
        pieces(segments, arcs, i, Infinity, (_x0, _y0, x1, y1) => {
          take(x1, y1);
        });
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

type Row = { part: number; pass: number; start: number; end: number; volume: number };

function laidOnParts(
  segments: Segments,
  arcs: Arcs,
  passes: Passes,
  area: number,
  grid: Grid,
  owner: Int32Array,
  count: number,
) {
  const volume = new Float64Array(count);
  const top = new Float64Array(count);
  const layers = Array.from({ length: count }, () => new Set<number>());
  const rows: Row[] = [];
  // Row of the pass at hand, by part.
  const open = new Int32Array(count).fill(-1);
  let unattached = 0;
  for (let p = 0; p < passes.count; p++) {
    open.fill(-1);
    const z = passes.zMm[p]!;
    // A pass at height 0 still stands as high as its bead.
    const upTo = Math.max(z, passes.heightMm[p]!);
    const end = passEnd(passes, p, segments.count);
    for (let i = passes.first[p]!; i < end; i++) {
      if (segments.kind[i] !== PRINT) continue;
      const laid = segments.laid[i]! * area;
      const t = segments.t[i]!;
      const dt = segments.dt[i]!;
      let done = 0;
      pieces(segments, arcs, i, PIECE_MM, (x0, y0, x1, y1, share) => {
        const x = Math.floor(((x0 + x1) / 2 - grid.x0) / grid.cell);
        const y = Math.floor(((y0 + y1) / 2 - grid.y0) / grid.cell);
        const inside = x >= 0 && x < grid.width && y >= 0 && y < grid.height;
        const part = inside ? owner[y * grid.width + x]! - 1 : -1;
        if (part < 0) unattached += laid * share;
        else {
          let row = rows[open[part]!];
          if (!row) {
            row = { part, pass: p, start: t + done * dt, end: t, volume: 0 };
            open[part] = rows.length;
            rows.push(row);
            layers[part]!.add(Math.round(z / PASS_STEP_MM));
          }
          row.volume += laid * share;
          row.end = t + (done + share) * dt;
          volume[part] = volume[part]! + laid * share;
          if (upTo > top[part]!) top[part] = upTo;
        }
        done += share;
      });
    }
  }
  return { volume, top, layers, rows, unattached };
}

function partPasses(rows: readonly Row[], order: Int32Array): PartPasses {
  const n = rows.length;
  const returnS = new Float64Array(n);
  const next = new Map<number, number>();
  for (let k = n - 1; k >= 0; k--) {
    const row = rows[k]!;
    returnS[k] = (next.get(row.part) ?? row.end) - row.start;
    next.set(row.part, row.start);
  }
  return {
    count: n,
    part: Int32Array.from(rows, (row) => order[row.part]!),
    pass: Int32Array.from(rows, (row) => row.pass),
    startS: Float64Array.from(rows, (row) => row.start),
    endS: Float64Array.from(rows, (row) => row.end),
    returnS,
    volumeMm3: Float64Array.from(rows, (row) => row.volume),
  };
}

type CellBox = { left: number; right: number; low: number; high: number };

/** Boxes of all figures, by number less one. */
function boxesOf(label: Int32Array, grid: Grid, count: number): CellBox[] {
  const boxes = Array.from({ length: count }, () => ({
    left: grid.width,
    right: -1,
    low: grid.height,
    high: -1,
  }));
  for (let y = 0; y < grid.height; y++)
    for (let x = 0; x < grid.width; x++) {
      const number = label[y * grid.width + x]!;
      if (number === 0) continue;
      const box = boxes[number - 1]!;
      if (x < box.left) box.left = x;
      if (x > box.right) box.right = x;
      if (y < box.low) box.low = y;
      box.high = y;
    }
  return boxes;
}

/** The cells of one part alone: their number, that of the closed figure, and the smallest rectangle round them. */
function figureOf(label: Int32Array, grid: Grid, number: number, box: CellBox) {
  const radius = CLOSING_MM / grid.cell;
  const margin = Math.ceil(radius) + 1;
  const width = box.right - box.left + 1 + 2 * margin;
  const height = box.high - box.low + 1 + 2 * margin;
  const own = new Uint8Array(width * height);
  let cells = 0;
  for (let y = box.low; y <= box.high; y++)
    for (let x = box.left; x <= box.right; x++) {
      if (label[y * grid.width + x] !== number) continue;
      own[(y - box.low + margin) * width + x - box.left + margin] = 1;
      cells++;
    }
  let closedCells = 0;
  for (const value of closed(own, width, height, radius)) closedCells += value;
  return { cells, closedCells, ...smallestRectangle(own, width, height) };
}
