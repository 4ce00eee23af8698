import { Refusal } from '../kernel.ts';

/** Kinds of a segment as the hot end sees it. */
export const PRINT = 0;
export const TRAVEL = 1;
export const RETRACT = 2;
export const RETURN = 3;

/** What the print asks of the hot end, one row a segment, in the order of time. SI. */
export type Print = Readonly<{
  count: number;
  /** Length in time, > 0 [s]. */
  time: Float64Array;
  /** Strand fed [m]: negative for a retract, 0 for a travel (stops included). */
  feed: Float64Array;
  kind: Uint8Array;
  /** Clock at the start of each segment and, at `count`, the end [s]. */
  start: Float64Array;
  /** Strand that is drawn back at the start of each segment and at the end [m]. */
  drawnBack: Float64Array;
  /** Running sums over segments, each of length count + 1: returns begun, strand fed while printing [m]. */
  returns: Float64Array;
  fed: Float64Array;
}>;

/** A segment shorter than this takes no time and is skipped: a step that short divides by nearly nothing [s]. */
const TIME_LEAST = 1e-6;
/** Below this a drawn-back length is rounding [m]. */
const NOTHING_DRAWN = 1e-9;

/** Adds the running sums that windows are planned from. */
export function makePrint(time: Float64Array, feed: Float64Array, kind: Uint8Array): Print {
  const count = time.length;
  const start = new Float64Array(count + 1);
  const drawnBack = new Float64Array(count + 1);
  const returns = new Float64Array(count + 1);
  const fed = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) {
    start[i + 1] = start[i]! + time[i]!;
    const drawn = kind[i] === PRINT ? 0 : Math.max(0, drawnBack[i]! - feed[i]!);
    drawnBack[i + 1] = drawn < NOTHING_DRAWN ? 0 : drawn;
    // A return given in pieces, one after the other, is one return.
    const begins = kind[i] === RETURN && (i === 0 || kind[i - 1] !== RETURN);
    returns[i + 1] = returns[i]! + (begins ? 1 : 0);
    fed[i + 1] = fed[i]! + (kind[i] === PRINT ? feed[i]! : 0);
  }
  return { count, time, feed, kind, start, drawnBack, returns, fed };
}

/** A print in cycles, exact, with no chance in it: lines of one length, a retraction between them, stops. */
export type Pattern = Readonly<{
  lead: number;
  prints: number;
  printTime: number;
  /** m3/s of strand. */
  flow: number;
  retract: number;
  retractSpeed: number;
  travel: number;
  stopEvery: number;
  stop: number;
  /** Either of both. Hours do not count the stops. */
  cycles?: number;
  hours?: number;
}>;

/** Diameter that turns the flow of a pattern into strand [m]: a definition, so that a pattern is one print in all draws. */
const PATTERN_DIAMETER = 1.75e-3;

export function printOfPatterns(patterns: readonly Pattern[]): Print {
  const time: number[] = [];
  const feed: number[] = [];
  const kind: number[] = [];
  const add = (t: number, e: number, k: number) => {
    if (t < TIME_LEAST) return;
    time.push(t);
    feed.push(e);
    kind.push(k);
  };
  for (const p of patterns) {
    const perPrint = (p.flow / ((Math.PI / 4) * PATTERN_DIAMETER ** 2)) * p.printTime;
    const stroke = p.retract > 0 ? p.retract / p.retractSpeed : 0;
    const cycle = p.prints * p.printTime + p.travel + 2 * stroke;
    const cycles = p.cycles ?? Math.ceil(((p.hours ?? 0) * 3600) / cycle);
    add(p.lead, 0, TRAVEL);
    for (let c = 1; c <= cycles; c++) {
      for (let k = 0; k < p.prints; k++) add(p.printTime, perPrint, PRINT);
      if (p.retract > 0) add(stroke, -p.retract, RETRACT);
      add(p.travel, 0, TRAVEL);
      if (p.retract > 0) add(stroke, p.retract, RETURN);
      if (p.stopEvery > 0 && c % p.stopEvery === 0) add(p.stop, 0, TRAVEL);
    }
  }
  return makePrint(Float64Array.from(time), Float64Array.from(feed), Uint8Array.from(kind));
}

const KIND_BY_WORD: Readonly<Record<string, number>> = {
  print: PRINT,
  travel: TRAVEL,
  retract: RETRACT,
  return: RETURN,
};

/**
 * Rows [s, mm, kind] to a print.
 * @throws Refusal with the number of the segment, counted from 1
 */
export function printOfRows(rows: readonly (readonly unknown[])[]): Print {
  const time = new Float64Array(rows.length);
  const feed = new Float64Array(rows.length);
  const kind = new Uint8Array(rows.length);
  rows.forEach((row, i) => {
    const [seconds, millimetres, word] = row;
    const where = `segment ${i + 1}`;
    const code = typeof word === 'string' ? KIND_BY_WORD[word] : undefined;
    if (code === undefined)
      throw new Refusal(
        `${where} has the kind ${JSON.stringify(word) ?? 'nothing'}: expected print, travel, retract or return.`,
      );
    if (typeof seconds !== 'number' || !Number.isFinite(seconds) || seconds < 0)
      throw new Refusal(
        `${where} lasts ${JSON.stringify(seconds) ?? 'nothing'} s: expected a time of 0 or more.`,
      );
    if (typeof millimetres !== 'number' || !Number.isFinite(millimetres))
      throw new Refusal(`${where} feeds ${JSON.stringify(millimetres) ?? 'nothing'} mm: expected a length.`);
    const wrong =
      (code === RETRACT && millimetres > 0) ||
      (code === TRAVEL && millimetres !== 0) ||
      ((code === PRINT || code === RETURN) && millimetres < 0);
    if (wrong)
      throw new Refusal(
        `${where} is a ${word} that feeds ${millimetres} mm: a retract draws back (0 or less), a travel feeds 0, a print or return feeds 0 or more.`,
      );
    time[i] = seconds;
    feed[i] = millimetres * 1e-3;
    kind[i] = code;
  });
  const kept = Array.from(time.keys()).filter((i) => time[i]! >= TIME_LEAST);
  return makePrint(
    Float64Array.from(kept, (i) => time[i]!),
    Float64Array.from(kept, (i) => feed[i]!),
    Uint8Array.from(kept, (i) => kind[i]!),
  );
}

/**
 * Columns of a tool path as the reader of G-code gives them: clock and length in s, strand in mm, kinds
 * 0 print, 1 travel, 2 wipe, 3 retract, 4 return, 5 prime.
 */
export type PathColumns = Readonly<{
  count: number;
  t: Float64Array;
  dt: Float32Array;
  dE: Float32Array;
  laid: Float32Array;
  kind: Uint8Array;
}>;
const KIND_OF_PATH: readonly number[] = [PRINT, TRAVEL, RETRACT, RETRACT, RETURN, PRINT];

/** A pause between two moves longer than this is a stop; shorter is rounding of the reader's columns [s]. */
const STOP_LEAST = 1e-3;
/** Time at rest, hot and full, before the first strand is fed; earlier heating is left out [s]. */
const LEAD = 30;

/**
 * Tool path to print. It begins `LEAD` before the first strand that is fed: before that the hot end stands and heats.
 * Neighbouring pieces of a travel, and neighbouring prints that together are no longer than `shortest`, become one
 * row: a curve cut into many short moves is one steady feed to a column that steps by `shortest` anyway.
 *
 * @param shortest longest joined print [s], the step of the grid; 0 joins none
 * @returns the print, and the clock of the path at its start
 * @throws Refusal where nothing is fed
 */
export function printOfPath(path: PathColumns, shortest: number): { print: Print; from: number } {
  let first = 0;
  while (first < path.count && !(path.dE[first]! > 0)) first++;
  if (first === path.count)
    throw new Refusal('The print feeds no strand at all: nothing can jam and nothing is printed.');
  const from = Math.max(0, path.t[first]! - LEAD);
  const time = new Float64Array(2 * (path.count - first) + 1);
  const feed = new Float64Array(time.length);
  const kind = new Uint8Array(time.length);
  let rows = 0;
  const add = (t: number, e: number, k: number) => {
    if (!(t >= TIME_LEAST)) {
      // A feed in no time belongs to the row before; the reader gives none, and none is lost if it should.
      if (e !== 0 && rows > 0) feed[rows - 1]! += e;
      return;
    }
    const last = rows - 1;
    if (last >= 0 && kind[last] === k) {
      const joined = k === TRAVEL || (k === PRINT && time[last]! + t <= shortest);
      if (joined) {
        time[last]! += t;
        feed[last]! += e;
        return;
      }
    }
    time[rows] = t;
    feed[rows] = e;
    kind[rows] = k;
    rows++;
  };
  add(path.t[first]! - from, 0, TRAVEL);
  for (let i = first; i < path.count; i++) {
    const length = path.dt[i]!;
    const k = KIND_OF_PATH[path.kind[i]!]!;
    add(length, k === TRAVEL ? 0 : path.dE[i]! * 1e-3, k);
    if (i + 1 < path.count) {
      const pause = path.t[i + 1]! - path.t[i]! - length;
      if (pause > STOP_LEAST) add(pause, 0, TRAVEL);
    }
  }
  return { print: makePrint(time.slice(0, rows), feed.slice(0, rows), kind.slice(0, rows)), from };
}
