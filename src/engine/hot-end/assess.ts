import { type Column, copyColumn, startColumn } from './column.ts';
import { correctLeap, type Leap, leap, type Pace, paceOf } from './leap.ts';
import { type Case, type Model, makeModel } from './model.ts';
import type { Grid } from './parameters.ts';
import type { Print } from './print.ts';
import { clearSums, emptyRow, emptySums, follow, type Row, type Run, startRun } from './simulate.ts';
import type { Window } from './windows.ts';

/** Where a run stood at the end of a window: enough to go on from there. */
export type Mark = Readonly<{ column: Column; pace: Pace; segment: number }>;

export type Followed = Readonly<{
  /** One row for each row of the plan, in order. */
  rows: readonly Row[];
  model: Model;
  column: Column;
  firstBelow: number;
  steps: number;
  /** At the end of each window, where marks were asked for. */
  marks: readonly Mark[];
}>;

/** Most strand that the print draws back [m]: the column reaches that much higher. */
export function drawnBackMost(print: Print): number {
  let most = 0;
  for (let i = 0; i <= print.count; i++) most = Math.max(most, print.drawnBack[i]!);
  return most;
}

/**
 * Runs a print through its windows and leaps between them.     [hot-end-18]
 *
 * @param windows from {@link planWindows} or {@link wholePrint}
 * @param from    a mark to go on from; without it the print starts cold and full
 * @param marks   keep a mark at the end of each window
 */
export function runWindows(
  c: Case,
  print: Print,
  windows: readonly Window[],
  grid: Grid,
  options: Readonly<{ from?: Mark; marks?: boolean; onWindow?: (done: number) => void }> = {},
): Followed {
  const model = makeModel(c, grid, drawnBackMost(print));
  const begun = options.from;
  const run = startRun(model, print, begun ? copyColumn(begun.column) : startColumn(model));
  run.turns = begun !== undefined || windows.length > 1;
  const sums = emptySums(model);
  const rows: Row[] = [];
  const marks: Mark[] = [];
  let pace: Pace | null = begun?.pace ?? null;
  let at = begun?.segment ?? 0;
  for (const [index, window] of windows.entries()) {
    const before = pace;
    let done: Leap | null = null;
    if (window.from > at && before) done = leap(model, print, run.column, at, window.from, before);
    pace = through(run, window, sums, rows, before, done);
    at = window.to;
    if (options.marks) marks.push({ column: copyColumn(run.column), pace, segment: at });
    options.onWindow?.(index + 1);
  }
  for (const row of rows) {
    if (!Number.isFinite(row.margin) || !Number.isFinite(row.sink) || !Number.isFinite(row.residue))
      throw new Error(
        `hot end: margin ${row.margin}, sink ${row.sink} K, residue ${row.residue} m at ${row.at} s after ${run.steps} steps`,
      );
  }
  return { rows, model, column: run.column, firstBelow: run.firstBelow, steps: run.steps, marks };
}

/**
 * One window: it settles, the leap before it is corrected, then its rows are judged. Gives its pace, which is that of
 * the whole window: a grid and a print with a rhythm beat slowly against each other, and more returns average it out.
 */
function through(
  run: Run,
  window: Window,
  sums: ReturnType<typeof emptySums>,
  rows: Row[],
  before: Pace | null,
  done: Leap | null,
): Pace {
  const correct = () => {
    if (done && before && sums.returns > 0)
      correctLeap(run.print, run.column, done, before, paceOf(sums, before));
  };
  const unjudged = (from: number, to: number) => {
    if (to > from) follow(run, from, to, emptyRow(), sums);
  };
  clearSums(sums);
  let at = window.from;
  for (const [index, plan] of window.rows.entries()) {
    unjudged(at, plan.from);
    if (index === 0) correct();
    const row = emptyRow();
    // A print that has just begun is still settling in the rows before its last: its pace does not count them.
    if (before === null && index === window.rows.length - 1) clearSums(sums);
    follow(run, plan.from, plan.to, row, sums);
    rows.push(row);
    at = plan.to;
  }
  unjudged(at, window.to);
  correct();
  return paceOf(sums, before);
}
