/**
 * The four prints of the example campaign, and small ones of the same kinds for quick tests, as lines of G-code.
 * Invented: a river-monitoring group qualifies sensor brackets. Same text on every call and every machine.
 */
import { barSolid, type Point, ringArea } from '../src/engine/bars/outline.ts';
import { barShape } from '../src/engine/bars/shapes.ts';
import {
  layerLines,
  type Placed,
  type PlacedBar,
  type SyntheticPrint,
  usual,
} from '../src/engine/gcode/synthetic.ts';
import { steadied } from '../src/engine/gcode/synthetic-plate.ts';
import type { Orientation } from '../src/job.ts';

const mm = 1e-3;

/** What stands where, for whoever checks what a reader finds. Lengths in m, from the front left corner. */
export type PlannedBar = Readonly<{ orientation: Orientation; at: Point; volume: number }>;

export type ExamplePrint = Readonly<{
  /** File name. */
  name: string;
  /** In the order in which a reader numbers them: by y, then by x. */
  bars: readonly PlannedBar[];
  /** Columns of support that stand on the sheet by themselves, and supports under bars on edge. */
  supports: number;
  ending: Ending;
  print: SyntheticPrint;
  lines(): Iterable<string>;
}>;

/** How a print ends: hot for half an hour, hot until somebody answers, strand drawn out, or off at once. */
export type Ending = 'held' | 'waits' | 'unloaded' | 'cold';

/** Invented settings of the campaign, the same for every bar: only the orientation differs. */
const nozzleC = 270;
const bedC = 100;
const layer = 0.2 * mm;
const bead = 0.45 * mm;

const bar = barShape('1B')!;
// One solid for each orientation, so that bars share the patterns of their cuts.
const solids = {
  flat: barSolid(bar, 'flat'),
  'on edge': barSolid(bar, 'on edge'),
  upright: barSolid(bar, 'upright'),
};

/** A print's top for quick tests: above the waist of a bar on edge, so that its support is whole. */
const smallHeight = 6 * mm;

type Layout = Readonly<{ orientation: Orientation; at: readonly Point[] }>;

/** Middles in rows, mm from the front left corner: by y, then by x. */
function rows(xs: readonly number[], ys: readonly number[]): Point[] {
  return ys.flatMap((y) => xs.map((x): Point => [x * mm, y * mm]));
}

function example(
  name: string,
  layouts: readonly Layout[],
  flow: number,
  ending: Ending,
  top?: number,
): ExamplePrint {
  const bars: PlacedBar[] = [];
  const planned: PlannedBar[] = [];
  const brims: SyntheticPrint['brims'][number][] = [];
  let supports = 0;
  for (const { orientation, at } of layouts)
    for (const place of at) {
      const solid = top === undefined ? solids[orientation] : small(orientation, top);
      planned.push({ orientation, at: place, volume: solid.volume });
      if (orientation === 'on edge') supports++;
      if (orientation === 'upright') {
        const { posts, brim } = steadied({ solid, at: place });
        bars.push({ solid, at: place, posts });
        brims.push(brim);
        supports += posts.length;
      } else bars.push({ solid, at: place });
    }
  const print: SyntheticPrint = {
    ...usual,
    bars,
    brims,
    layer,
    bead,
    flow: flow * mm ** 3,
    supports: layouts.some(({ orientation }) => orientation === 'on edge'),
    strand: ending === 'held' ? 'absolute' : 'relative',
  };
  return { name, bars: planned, supports, ending, print, lines: () => whole(name, print, ending) };
}

const smallSolids = new Map<string, Placed['solid']>();

/** The lowest part of a bar, for quick tests; a flat bar is low already. */
function small(orientation: Orientation, top: number): Placed['solid'] {
  const key = `${orientation} ${top}`;
  const known = smallSolids.get(key);
  if (known) return known;
  const solid = solids[orientation];
  const height = Math.min(top, solid.height);
  let volume = 0;
  for (let k = 0; k < Math.round(height / layer); k++)
    for (const ring of solid.cut((k + 0.5) * layer)) volume += ringArea(ring) * layer;
  const low = orientation === 'flat' ? solid : { ...solid, height, volume };
  smallSolids.set(key, low);
  return low;
}

function* whole(name: string, print: SyntheticPrint, ending: Ending): Generator<string> {
  yield `; ${name}: made by Bonedry's example script for an invented campaign`;
  yield* start();
  yield* layerLines(print);
  yield* end(ending);
}

function* start(): Generator<string> {
  yield '; bed warm, home, feel the sheet, nozzle warm, one line along the front to fill it';
  yield 'G21';
  yield 'G90';
  yield 'M83';
  yield 'M107';
  yield `M140 S${bedC}`;
  yield 'G28';
  yield `M190 S${bedC}`;
  yield 'G29';
  yield 'G0 X15.000 Y8.000 Z5.000 F6000';
  yield `M109 S${nozzleC}`;
  yield 'G0 Z0.200 F600';
  yield 'G1 X145.000 E8.50000 F900';
  yield 'G0 Y8.600 F6000';
  yield 'G1 X15.000 E6.20000 F1500';
}

function* end(ending: Ending): Generator<string> {
  yield '; fan off, away from the bars';
  yield 'M107';
  if (ending === 'unloaded') {
    yield 'M83';
    yield 'G1 E-0.80000 F1800';
    yield* away();
    yield '; the strand is drawn out while all is hot, then the heat goes off';
    yield 'G1 E-60.00000 F300';
  } else {
    yield 'M83';
    yield ending === 'cold' ? 'G1 E-2.00000 F1800' : 'G1 E-0.80000 F1800';
    yield* away();
    if (ending === 'held') {
      yield '; hot for half an hour: come, draw the strand out, take the bars off';
      yield 'G4 S1800';
    } else if (ending === 'waits') {
      yield '; hot until somebody is there';
      yield 'M0';
    } else {
      yield '; off at once: nobody comes before the morning';
    }
  }
  yield 'M104 S0';
  yield 'M140 S0';
  yield 'M84';
}

function* away(): Generator<string> {
  yield 'G91';
  yield 'G0 Z8.000 F600';
  yield 'G90';
  yield 'G0 X10.000 Y210.000 F6000';
}

const columns = [47.5, 102.5, 157.5, 212.5];

/** The four prints, in the order of their plates A to D. */
export function examplePrints(): ExamplePrint[] {
  return [
    example(
      'flat-six.gcode',
      [{ orientation: 'flat', at: rows([130], [35, 65, 95, 125, 155, 185]) }],
      6,
      'held',
    ),
    example(
      'edge-six.gcode',
      [{ orientation: 'on edge', at: rows([130], [60, 80, 100, 120, 140, 160]) }],
      5,
      'waits',
    ),
    example(
      'upright-twelve.gcode',
      [{ orientation: 'upright', at: rows(columns, [60, 110, 160]) }],
      4,
      'unloaded',
    ),
    example(
      'mixed-plate.gcode',
      [
        { orientation: 'flat', at: rows([130], [35, 65]) },
        { orientation: 'on edge', at: rows([130], [95, 115]) },
        { orientation: 'upright', at: rows([95, 165], [155]) },
      ],
      4,
      'cold',
    ),
  ];
}

/** Small prints of the same kinds, with the same start and ends: a second to make and to read. */
export function smallPrints(): ExamplePrint[] {
  return [
    example('flat-one.gcode', [{ orientation: 'flat', at: rows([130], [110]) }], 6, 'held'),
    example(
      'edge-low.gcode',
      [{ orientation: 'on edge', at: rows([130], [100, 120]) }],
      5,
      'waits',
      smallHeight,
    ),
    example(
      'upright-low.gcode',
      [{ orientation: 'upright', at: rows([102.5, 157.5], [110]) }],
      4,
      'unloaded',
      smallHeight,
    ),
    example(
      'mixed-low.gcode',
      [
        { orientation: 'flat', at: rows([130], [65]) },
        { orientation: 'on edge', at: rows([130], [95]) },
        { orientation: 'upright', at: rows([130], [155]) },
      ],
      4,
      'cold',
      smallHeight,
    ),
  ];
}
