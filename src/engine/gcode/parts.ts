import { type GcodeCard, strandArea } from './card.ts';
import { Figures } from './figures.ts';
import { Laid, type PartPasses, partPasses } from './laid.ts';
import { type Level, levelsOf } from './levels.ts';
import { closedAreas, type PartFigures, silhouettes } from './part-shape.ts';
import type { Passes } from './passes.ts';
import { cellAt, type Grid, gridRound, LevelRaster } from './raster.ts';
import type { Arcs, Segments } from './segments.ts';

export type PartKind =
  /** Solid: a bar. */
  | 'bar'
  /** Lines with air between. */
  | 'support'
  /** Lower than three layers: brim, skirt or purge. */
  | 'low'
  /** Between bar and support. */
  | 'open';

/** A part on the sheet: what hangs together. A person confirms which is which; nothing rests on `kind` unseen. */
export type Part = Readonly<{
  kind: PartKind;
  /** Plan area of its beads in the third layer, or in its own first where that is higher. */
  areaMm2: number;
  /** The same with gaps under 3 mm filled. */
  closedMm2: number;
  /** Seen from above, all layers together: x and y from, x and y to. */
  boxMm: readonly [number, number, number, number];
  /** Outer outline from above, for a drawing: x, y, x, y ..., counter-clockwise. */
  outlineMm: readonly number[];
  /** Top of its highest bead. */
  heightMm: number;
  volumeMm3: number;
  /** Volume over the sum over its layers of closed area times height [gcode-10]. */
  solid: number;
  /** Sides of the smallest rectangle round it as seen from above, over turns by a degree. */
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

export type Parts = Readonly<{
  parts: readonly Part[];
  /** Separate figures in the first layer, brim and purge included. */
  contacts: number;
  contactAreasMm2: readonly number[];
  /** Laid on no part: brims, purge lines, crumbs in the air. */
  unattachedMm3: number;
  passes: PartPasses;
  cellMm: number;
}>;

/** Layer, counted from the lowest, from which up parts are told apart: over brims and squeezed first lines. */
const LEVEL_OF_PARTS = 3;
/** A piece further from every part than this belongs to none [mm]. */
const REACH_MM = 1;
export const SOLID_BAR = 0.85;
const SOLID_SUPPORT = 0.6;
export const LAYERS_LEAST = 3;

/**
 * Parts on the sheet: figures of every level from the third-lowest up, joined where one lies on the other. What is
 * laid above goes to the part of its own figure; what is laid below is cut into pieces that go to the nearest part.
 */
export function partsOf(segments: Segments, arcs: Arcs, passes: Passes, card: GcodeCard): Parts {
  const area = strandArea(card);
  const levels = levelsOf(passes, segments.count);
  const base = Math.min(LEVEL_OF_PARTS, levels.length) - 1;
  const grid = gridRound(segments, arcs, card.cellMm);
  const raster = new LevelRaster(grid);
  const figures = new Figures(grid);
  const laid = new Laid(area);
  // Figure of the third level in each cell, plus one.
  const foot = new Int32Array(grid.width * grid.height);
  const firstOf = new Int32Array(levels.length);
  for (let number = base; number < levels.length; number++) {
    const level = levels[number]!;
    raster.draw(level, segments, arcs, area);
    const first = figures.add(number, level, raster);
    firstOf[number] = first;
    if (number === base) for (const cell of raster.laid()) foot[cell] = first + raster.figure[cell]!;
    laid.takeLevel(level, segments, (x, y) => first + raster.figure[cellAt(grid, x, y)]! - 1);
  }
  const nearestFoot = footWithinReach(grid, foot);
  for (const level of levels.slice(0, base)) laid.takePieces(level, segments, arcs, grid, nearestFoot);

  const { parts, partOf } = partFigures(figures, base);
  raster.draw(levels[0]!, segments, arcs, area);
  const contacts = contactsUnder(raster, grid, foot, nearestFoot, partOf, parts.length);
  const views = silhouettes(figures, grid, parts, partOf);
  const areas = closedAreas(figures, grid, parts, partOf, raster, (number) => {
    raster.draw(levels[number]!, segments, arcs, area);
    return firstOf[number]!;
  });
  const order = parts.map((_, part) => part);
  order.sort((a, b) => views[a]!.boxMm[1] - views[b]!.boxMm[1] || views[a]!.boxMm[0] - views[b]!.boxMm[0]);
  const place = new Int32Array(parts.length);
  for (const [k, part] of order.entries()) place[part] = k;
  const rows = laid.rowsByPart(partOf, place);

  const volume = new Float64Array(parts.length);
  const passesOf = parts.map(() => new Set<number>());
  for (const row of rows) {
    volume[row.part]! += row.volume;
    passesOf[row.part]!.add(row.pass);
  }
  const levelOfPass = new Int32Array(passes.count);
  for (const [number, { ranges }] of levels.entries())
    for (const { pass } of ranges) levelOfPass[pass] = number;
  return {
    parts: order.map((part, k): Part => {
      const own = parts[part]!;
      const layers = new Set([...passesOf[k]!].map((pass) => levelOfPass[pass])).size;
      let room = 0;
      for (const [at, number] of own.levels.entries())
        room += areas[part]![at]! * heightIn(levels, own.levels, at, number === base);
      const solid = volume[k]! / room;
      return {
        kind: kindOf(solid, layers),
        areaMm2: own.cells[0]! * grid.cell ** 2,
        closedMm2: areas[part]![0]!,
        ...views[part]!,
        heightMm: levels[own.levels.at(-1)!]!.topMm,
        volumeMm3: volume[k]!,
        solid,
        contactMm2: contacts.under[part]!.cells * grid.cell ** 2,
        contacts: [...contacts.under[part]!.contacts].sort((a, b) => a - b),
        layers,
      };
    }),
    contacts: contacts.areasMm2.length,
    contactAreasMm2: contacts.areasMm2,
    unattachedMm3: laid.onNone(partOf),
    passes: partPasses(rows),
    cellMm: grid.cell,
  };
}

function kindOf(solid: number, layers: number): PartKind {
  if (layers < LAYERS_LEAST) return 'low';
  return solid >= SOLID_BAR ? 'bar' : solid < SOLID_SUPPORT ? 'support' : 'open';
}

/** Height that a level of a part fills: from its level before, or from the sheet for a part that stands on it. */
function heightIn(levels: readonly Level[], own: readonly number[], at: number, standing: boolean): number {
  const level = levels[own[at]!]!;
  if (at > 0) return level.topMm - levels[own[at - 1]!]!.topMm;
  return standing ? level.topMm : level.layerMm;
}

/** Figures that hang together, part by part. Fewer than three levels that begin above the third are crumbs, no part. */
function partFigures(figures: Figures, base: number): { parts: PartFigures[]; partOf: Int32Array } {
  const partOf = new Int32Array(figures.count).fill(-1);
  const byRoot = new Map<number, { figures: number[]; levels: number[]; cells: number[] }>();
  for (let figure = 0; figure < figures.count; figure++) {
    const root = figures.root(figure);
    let part = byRoot.get(root);
    if (!part) {
      part = { figures: [], levels: [], cells: [] };
      byRoot.set(root, part);
    }
    part.figures.push(figure);
    const level = figures.level[figure]!;
    if (part.levels.at(-1) !== level) {
      part.levels.push(level);
      part.cells.push(0);
    }
    part.cells[part.cells.length - 1]! += figures.cells[figure]!;
  }
  const parts = [...byRoot.values()].filter(
    ({ levels }) => levels[0] === base || levels.length >= LAYERS_LEAST,
  );
  for (const [number, part] of parts.entries()) for (const figure of part.figures) partOf[figure] = number;
  return { parts, partOf };
}

/** Finds the figure of the third level that is nearest to a cell, within reach; -1 where there is none. */
function footWithinReach(grid: Grid, foot: Int32Array): (cell: number) => number {
  const reach = REACH_MM / grid.cell;
  const steps: [number, number, number][] = [];
  for (let y = -Math.floor(reach); y <= reach; y++)
    for (let x = -Math.floor(reach); x <= reach; x++)
      if (x * x + y * y <= reach * reach) steps.push([x * x + y * y, x, y]);
  steps.sort((a, b) => a[0] - b[0]);
  return (cell) => {
    const column = cell % grid.width;
    const row = (cell - column) / grid.width;
    for (const [, dx, dy] of steps) {
      const [x, y] = [column + dx, row + dy];
      if (x < 0 || y < 0 || x >= grid.width || y >= grid.height) continue;
      const figure = foot[y * grid.width + x]!;
      if (figure > 0) return figure - 1;
    }
    return -1;
  };
}

/** Figures of the lowest level, which is drawn: their areas, and those under each part. */
function contactsUnder(
  raster: LevelRaster,
  grid: Grid,
  foot: Int32Array,
  nearestFoot: (cell: number) => number,
  partOf: Int32Array,
  partCount: number,
) {
  const areasMm2 = Array.from(
    { length: raster.count },
    (_, n) => (raster.starts[n + 1]! - raster.starts[n]!) * grid.cell ** 2,
  );
  const under = Array.from({ length: partCount }, () => ({ cells: 0, contacts: new Set<number>() }));
  for (const cell of raster.laid()) {
    const figure = nearestFoot(cell);
    const part = figure < 0 ? -1 : partOf[figure]!;
    if (part < 0) continue;
    under[part]!.cells++;
    if (foot[cell] === figure + 1) under[part]!.contacts.add(raster.figure[cell]! - 1);
  }
  return { areasMm2, under };
}
