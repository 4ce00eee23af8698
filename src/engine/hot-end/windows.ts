import type { Print } from './print.ts';

/**
 * Which stretches of a print are followed segment by segment. The column of strand forgets in seconds, the sink in a
 * minute, the chamber in tens of minutes, the residue over metres of strand: so windows are followed and the slow
 * states are carried between them.     [hot-end-18]
 */

/** A window settles before it is judged, and is judged in rows of at most a minute [s]. */
export const SETTLES = 40;
const ROW = 60;
/** Windows end at T u^1.5 for u in 0 .. 1, dense early where chamber and residue change most. */
const POINTS = 12;
const CROWDING = 1.5;
/** Stretches for the most retraction, the fastest flow and the most retractions for the strand are this long [s]. */
const STRETCH = 60;
/** The later a stretch is, the more it counts: from this to 1. */
const WEIGHT_EARLY = 0.5;
/** Stops shorter than this need no window of their own [s], and so many of the longest get one. */
const STOP_LEAST = 10;
const STOPS = 2;
/** Time after a stop that still belongs to its window [s]. */
const AFTER_STOP = 60;

/** Segments from..to-1 make one row: the instant of least margin among them is kept. */
export type RowPlan = Readonly<{ from: number; to: number; end: number }>;
/** Segments from..to-1 are followed; rows begin once the window has settled, at `rows[0].from`. */
export type Window = Readonly<{ from: number; to: number; rows: readonly RowPlan[] }>;

/** The whole print as one window, a row a minute. */
export function wholePrint(print: Print): readonly Window[] {
  return [{ from: 0, to: print.count, rows: rowsOf(print, 0, print.count, 0) }];
}

/** The windows of a print; one that holds it all where the print is not longer than all windows together. */
export function planWindows(print: Print): readonly Window[] {
  const whole = print.start[print.count]!;
  const wanted = [...crowded(whole), ...extremes(print, whole), ...longStops(print)];
  if (wanted.reduce((sum, [from, to]) => sum + to - from, 0) >= whole) return wholePrint(print);
  const spans = merged(wanted.map(([from, to]) => spanOf(print, from, to)));
  return spans.map((span) => windowOf(print, span)).filter((window) => window.rows.length > 0);
}

/** One more window, half way between two times; its only row is its last minute. Null where there is no room. */
export function windowBetween(print: Print, after: Window, before: Window): Window | null {
  const from = print.start[after.to]!;
  const to = print.start[before.from]!;
  if (to - from < 2 * (SETTLES + ROW)) return null;
  const end = (from + to) / 2 + ROW;
  const window = windowOf(print, spanOf(print, end - ROW - SETTLES, end));
  return window.from >= after.to && window.to <= before.from && window.rows.length > 0 ? window : null;
}

type Span = { from: number; to: number };

function crowded(whole: number): [number, number][] {
  return Array.from({ length: POINTS }, (_, k) => {
    const end = Math.max(whole * (k / (POINTS - 1)) ** CROWDING, SETTLES + ROW);
    return [end - SETTLES - ROW, end];
  });
}

/** Stretches with the most strand drawn back, the fastest flow, and the most returns for the strand fed. */
function extremes(print: Print, whole: number): [number, number][] {
  const best = [-1, -1, -1];
  const at = [0, 0, 0];
  let drawn = 0;
  let from = 0;
  for (let to = 1; to <= print.count; to++) {
    drawn += Math.max(0, -print.feed[to - 1]!);
    while (from < to - 1 && print.start[to]! - print.start[from]! > STRETCH) {
      drawn -= Math.max(0, -print.feed[from]!);
      from++;
    }
    const time = print.start[to]! - print.start[from]!;
    const weight = WEIGHT_EARLY + (1 - WEIGHT_EARLY) * (print.start[to]! / whole);
    const fed = print.fed[to]! - print.fed[from]!;
    if (time < STRETCH / 2 || fed <= 0) continue;
    const scores = [drawn / time, fed / time, (print.returns[to]! - print.returns[from]!) / fed];
    for (let m = 0; m < 3; m++) {
      const score = scores[m]! * weight;
      if (score > best[m]!) {
        best[m] = score;
        at[m] = print.start[to]!;
      }
    }
  }
  return at.filter((_, m) => best[m]! > 0).map((end) => [end - SETTLES - ROW, end]);
}

function longStops(print: Print): [number, number][] {
  const stops: number[] = [];
  for (let i = 0; i < print.count; i++)
    if (print.feed[i] === 0 && print.time[i]! >= STOP_LEAST && print.fed[i]! > 0) stops.push(i);
  return stops
    .sort((a, b) => print.time[b]! - print.time[a]!)
    .slice(0, STOPS)
    .map((i) => [print.start[i]! - SETTLES, print.start[i + 1]! + AFTER_STOP]);
}

/** Segments that cover the times; begins where nothing is drawn back, so that a window never opens on half a stroke. */
function spanOf(print: Print, begin: number, end: number): Span {
  let from = firstAfter(print, begin);
  while (from > 0 && print.drawnBack[from]! > 0) from--;
  let to = firstAfter(print, end);
  while (to < print.count && print.drawnBack[to]! > 0) to++;
  return { from: Math.min(from, print.count - 1), to: Math.max(to, from + 1) };
}

/** First segment that starts at or after t (the count where none does). */
function firstAfter(print: Print, t: number): number {
  let low = 0;
  let high = print.count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (print.start[middle]! < t - 1e-9) low = middle + 1;
    else high = middle;
  }
  return low;
}

function merged(spans: readonly Span[]): Span[] {
  const out: Span[] = [];
  for (const span of [...spans].sort((a, b) => a.from - b.from)) {
    const last = out.at(-1);
    if (last && span.from <= last.to) last.to = Math.max(last.to, span.to);
    else out.push({ ...span });
  }
  return out;
}

function windowOf(print: Print, { from, to }: Span): Window {
  // The first window begins with the print, which has nothing before it to settle from: all of it is shown.
  const settled = from === 0 ? 0 : firstAfter(print, print.start[from]! + SETTLES);
  return { from, to, rows: rowsOf(print, Math.min(settled, to), to, from === 0 ? 0 : -1) };
}

/** Cuts segments in rows of a minute (whole minutes of the print where `clock` is 0); rows that feed nothing are left out. */
function rowsOf(print: Print, from: number, to: number, clock: number): RowPlan[] {
  const rows: RowPlan[] = [];
  const zero = clock === 0 ? 0 : print.start[from]!;
  const most = Math.max(1, Math.round((print.start[to]! - zero) / ROW));
  let at = from;
  for (let minute = 1; at < to; minute++) {
    // The last row of a window takes what is left under half a minute; minutes of the whole print stand for themselves.
    const last = clock < 0 && minute >= most;
    const next = last ? to : Math.min(to, firstAfter(print, zero + minute * ROW));
    if (next <= at) continue;
    let feeds = false;
    for (let i = at; i < next && !feeds; i++) feeds = print.feed[i]! > 0;
    if (feeds) rows.push({ from: at, to: next, end: print.start[next]! });
    at = next;
  }
  return rows;
}
