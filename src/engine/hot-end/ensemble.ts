import { type Mark, runWindows } from './assess.ts';
import { holdChance } from './chance.ts';
import type { Case } from './model.ts';
import { COARSE, FINE, type Grid } from './parameters.ts';
import type { Print } from './print.ts';
import { JUDGED_FROM, type Row } from './simulate.ts';
import { planWindows, type Window, windowBetween } from './windows.ts';

/** Ratios of the fine to the coarse grid outside this: the correction is not to be trusted, all draws run fine. */
const RATIO_LEAST = 0.75;
const RATIO_MOST = 1.15;
/** Beside the median set, so many of the first draws run on both grids. */
const FINE_DRAWS = 3;
/** Chances whose time of crossing is looked for, and the gap from which on one more window is followed [s]. */
export const CROSSINGS = [0.9, 0.5] as const;
const GAP_MOST = 20 * 60;
/** Times nearer to the first judged minute than this are not told apart from it [s]. */
const CLOCK_SLACK = 1e-6;

/** What an ensemble runs: the print with its windows, cut once, the same for all draws. */
export type Plan = Readonly<{
  print: Print;
  windows: readonly Window[];
  times: Float64Array;
  judged: readonly boolean[];
}>;

export function makePlan(print: Print): Plan {
  const windows = planWindows(print);
  const rows = windows.flatMap((window) => window.rows);
  return {
    print,
    windows,
    times: Float64Array.from(rows, (row) => row.end),
    judged: rows.map((row) => print.start[row.from]! >= JUDGED_FROM - CLOCK_SLACK),
  };
}

/** Rows of one draw, and the marks to go on from. Plain data: it crosses between workers. */
export type DrawRows = Readonly<{ rows: readonly Row[]; marks: readonly Mark[] }>;

/** One draw on one grid. Marks are kept for the extra window; a caller without need of it can drop them. */
export function runDraw(plan: Plan, c: Case, grid: Grid, marks: boolean): DrawRows {
  const { rows, marks: kept } = runWindows(c, plan.print, plan.windows, grid, { marks });
  return { rows, marks: kept };
}

/** Sets that run on both grids: the median, then the first draws. */
export function fineSets(median: Case, draws: readonly Case[]): Case[] {
  return [median, ...draws.slice(0, FINE_DRAWS)];
}

/**
 * Factor from the coarse grid to the fine one, row by row: the median of the sets that ran on both. Not the mean: near
 * the edge one set may tip over and spoil it.     [hot-end-20]
 */
export function ratioOf(fine: readonly DrawRows[], coarse: readonly DrawRows[]): Float64Array {
  const count = fine[0]!.rows.length;
  return Float64Array.from({ length: count }, (_, k) =>
    median(fine.map((set, s) => set.rows[k]!.margin / coarse[s]!.rows[k]!.margin)),
  );
}

/** The ratio where it counts: at the judged row of least margin of the median set. */
export function ratioAtLeast(plan: Plan, ratio: Float64Array, medianSet: DrawRows): number {
  let best = Infinity;
  let at = -1;
  for (const [k, row] of medianSet.rows.entries()) {
    if (plan.judged[k] && row.margin * ratio[k]! < best) {
      best = row.margin * ratio[k]!;
      at = k;
    }
  }
  return at < 0 ? 1 : ratio[at]!;
}

export function ratioIsSound(ratio: number): boolean {
  return ratio >= RATIO_LEAST && ratio <= RATIO_MOST;
}

export type Ensemble = Readonly<{
  /** End of each row [s]; rows of the extra windows are among them. */
  times: Float64Array;
  judged: readonly boolean[];
  /** Margin at the median grip, corrected to the fine grid: [row + rows * draw]. Likewise the front [m], sink [K], residue [m]. */
  margin: Float64Array;
  front: Float64Array;
  sink: Float64Array;
  residue: Float64Array;
  /** Least margin over the judged rows, one a draw. */
  least: Float64Array;
  /** Chance that the drive has not slipped by each row. */
  holdsBy: Float64Array;
  holds: number;
  se: number;
  /** When the chance falls below 0.9 and 0.5 [s], null: it does not. */
  crossings: readonly (number | null)[];
  /** Fine over coarse where the margin is least; null where all draws ran fine. */
  ratio: number | null;
}>;

/**
 * All draws of one print on two levels of grid, with one more window where the chance crosses 0.9 or 0.5.
 *
 * @param draws  one case a draw
 * @param median all unknowns at their medians
 * @param sigma  spread of ln grip that the draws do not carry
 */
export function runEnsemble(
  print: Print,
  draws: readonly Case[],
  median: Case,
  sigma: number,
  onProgress: (share: number) => void = () => {},
): Ensemble {
  const plan = makePlan(print);
  const both = fineSets(median, draws);
  // A fine run costs about as much as four coarse ones.
  const total = 5 * both.length + draws.length;
  let done = 0;
  const tick = <T>(cost: number, value: T): T => {
    done += cost;
    onProgress(Math.min(1, done / total));
    return value;
  };
  const fine = both.map((c) => tick(4, runDraw(plan, c, FINE, false)));
  const coarseMedian = tick(1, runDraw(plan, median, COARSE, true));
  let rows = draws.map((c) => tick(1, runDraw(plan, c, COARSE, true)));
  const ratio = ratioOf(fine, [coarseMedian, ...rows.slice(0, both.length - 1)]);
  const shown = ratioAtLeast(plan, ratio, coarseMedian);
  if (ratioIsSound(shown)) return finish(plan, draws, rows, COARSE, ratio, shown, sigma);
  rows = draws.map((c) => runDraw(plan, c, FINE, true));
  return finish(plan, draws, rows, FINE, new Float64Array(ratio.length).fill(1), null, sigma);
}

/** From the rows of all draws to the answer; runs the extra windows. */
export function finish(
  plan: Plan,
  draws: readonly Case[],
  sets: readonly DrawRows[],
  grid: Grid,
  ratio: Float64Array,
  shown: number | null,
  sigma: number,
): Ensemble {
  const columns: Column[] = plan.windows.flatMap((window, w) =>
    window.rows.map(() => ({ window: w, time: 0, judged: false, ratio: 1, rows: [] as Row[] })),
  );
  for (const [k, column] of columns.entries()) {
    column.time = plan.times[k]!;
    column.judged = plan.judged[k]!;
    column.ratio = ratio[k]!;
    column.rows = sets.map((set) => set.rows[k]!);
  }
  const added = new Set<number>();
  for (const chance of CROSSINGS) {
    const curve = chances(columns, sets.length, sigma);
    const k = columns.findIndex((column, i) => column.judged && curve[i]! < chance);
    const before = k > 0 ? columns[k - 1]! : null;
    const after = columns[k];
    if (!after || !before?.judged || before.window === after.window || after.time - before.time <= GAP_MOST)
      continue;
    if (added.has(before.window)) continue;
    added.add(before.window);
    const window = windowBetween(plan.print, plan.windows[before.window]!, plan.windows[after.window]!);
    if (!window) continue;
    const rows = draws.map(
      (c, i) =>
        runWindows(c, plan.print, [window], grid, { from: sets[i]!.marks[before.window]! }).rows.at(-1)!,
    );
    columns.splice(k, 0, {
      window: before.window,
      time: window.rows.at(-1)!.end,
      judged: true,
      ratio: Math.sqrt(before.ratio * after.ratio),
      rows,
    });
  }
  return gather(columns, sets.length, sigma, shown);
}

/** One moment of the print over all draws. */
type Column = { window: number; time: number; judged: boolean; ratio: number; rows: Row[] };

/** Chance to hold up to each column. */
function chances(columns: readonly Column[], draws: number, sigma: number): Float64Array {
  const least = new Float64Array(draws).fill(Infinity);
  return Float64Array.from(columns, (column) => {
    if (column.judged)
      for (let i = 0; i < draws; i++) least[i] = Math.min(least[i]!, column.rows[i]!.margin * column.ratio);
    return holdChance(least, sigma).holds;
  });
}

function gather(columns: readonly Column[], draws: number, sigma: number, ratio: number | null): Ensemble {
  const rows = columns.length;
  const table = (value: (row: Row, column: Column) => number) => {
    const out = new Float64Array(rows * draws);
    for (let i = 0; i < draws; i++)
      for (let k = 0; k < rows; k++) out[k + rows * i] = value(columns[k]!.rows[i]!, columns[k]!);
    return out;
  };
  const margin = table((row, column) => row.margin * column.ratio);
  const least = new Float64Array(draws).fill(Infinity);
  for (let i = 0; i < draws; i++)
    for (let k = 0; k < rows; k++)
      if (columns[k]!.judged) least[i] = Math.min(least[i]!, margin[k + rows * i]!);
  const holdsBy = chances(columns, draws, sigma);
  const times = Float64Array.from(columns, (column) => column.time);
  return {
    times,
    judged: columns.map((column) => column.judged),
    margin,
    front: table((row) => row.front),
    sink: table((row) => row.sink),
    residue: table((row) => row.residue),
    least,
    holdsBy,
    ...holdChance(least, sigma),
    crossings: CROSSINGS.map((chance) => crossing(times, holdsBy, chance)),
    ratio,
  };
}

/** When a falling curve comes below a value: straight between its points; the first point where it begins below. */
export function crossing(times: Float64Array, curve: Float64Array, value: number): number | null {
  const k = curve.findIndex((share) => share < value);
  if (k < 0) return null;
  if (k === 0) return times[0]!;
  const drop = curve[k - 1]! - curve[k]!;
  return times[k - 1]! + ((curve[k - 1]! - value) / drop) * (times[k]! - times[k - 1]!);
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
