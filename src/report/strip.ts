import { type Predictive, quantileOf } from '../engine/plan/predictive.ts';
import { niceStep } from './nice-ticks.ts';
import type { Strip } from './views.ts';

/**
 * The one picture of a margin: twenty equally likely runs as dots against a limit, what holds to the right of it.
 * The same function lays the dots for page, report and terminal.
 */
const RUNS = 20;
/** Units of the box: 330 wide, limit at 112, one dot every 10. */
const LEFT = 112;
const RIGHT = 330 - LEFT;
const PITCH = 10;
/** Units for one spread s, so that the same distance means the same risk in every row. */
const UNITS_A_SPREAD = 27;
/** A spread under this share of the limit is drawn as this, or a sure thing would fill the page. */
const SPREAD_LEAST = 0.01;
const TICKS_MAX = 4;
/** No tick label stands nearer to the limit's. */
const TICK_ROOM = 46;
/** Columns of dots that one digit stands for in a terminal. */
const COLUMNS_A_DIGIT = 2;

/** What is drawn: the margin's spread, on the scale of the quantity that people know. */
export type Drawn = Readonly<{
  predictive: Predictive;
  limit: number;
  side: 'at most' | 'at least';
  /** Spread of the plan as it stands; a plan being tried keeps it. */
  spread?: number;
  /** Prints a value of the quantity without its unit, and the limit with it. */
  print(value: number): string;
  printLimit(value: number): string;
  /** Steps that people count in: SI value of 1 in the trade's unit. */
  unit: number;
  finding: string;
}>;

/** The quantity at a margin: limit/m for "at most", limit m for "at least". */
function quantityAt(lnMargin: number, { limit, side }: Drawn): number {
  return limit * Math.exp(side === 'at most' ? -lnMargin : lnMargin);
}

/** Spread s = (q95 - q05)/3.29 of the quantity. */
export function spreadOf(drawn: Drawn): number {
  const ends = [0.05, 0.95].map((p) => quantityAt(quantileOf(drawn.predictive, p), drawn));
  const width = Math.abs(ends[1]! - ends[0]!) / 3.29;
  const least = SPREAD_LEAST * Math.abs(drawn.limit);
  return Number.isFinite(width) ? Math.max(width, least) : Math.max(Math.abs(drawn.limit), least);
}

export function makeStrip(drawn: Drawn): Strip {
  const spread = drawn.spread ?? spreadOf(drawn);
  const offsetOf = (value: number) =>
    ((drawn.side === 'at most' ? drawn.limit - value : value - drawn.limit) / spread) * UNITS_A_SPREAD;
  const first = -Math.floor(LEFT / PITCH);
  const last = Math.floor(RIGHT / PITCH) - 1;
  const stacked = new Map<number, number>();
  const dots = Array.from({ length: RUNS }, (_, i) => {
    const lnMargin = quantileOf(drawn.predictive, (i + 0.5) / RUNS);
    const offset = offsetOf(quantityAt(lnMargin, drawn));
    const exact = Number.isFinite(offset) ? Math.floor(offset / PITCH) : lnMargin > 0 ? last : first;
    // Rounding must not carry a run over the line: the margin says on which side it lies.
    const sided = lnMargin >= 0 ? Math.max(exact, 0) : Math.min(exact, -1);
    const column = Math.min(Math.max(sided, first), last);
    const level = stacked.get(column) ?? 0;
    stacked.set(column, level + 1);
    return { column, level, holds: lnMargin >= 0, beyond: sided !== column };
  });
  return {
    dots,
    ticks: ticksOf(drawn, spread, offsetOf),
    limit: drawn.printLimit(drawn.limit),
    finding: drawn.finding,
    ascii: asciiOf(dots, first, last),
  };
}

function ticksOf(drawn: Drawn, spread: number, offsetOf: (value: number) => number): Strip['ticks'] {
  const perUnit = spread / UNITS_A_SPREAD;
  const sign = drawn.side === 'at most' ? -1 : 1;
  const ends = [-LEFT, RIGHT].map((offset) => drawn.limit + sign * offset * perUnit);
  const low = Math.max(Math.min(...ends), drawn.limit >= 0 ? 0 : Number.NEGATIVE_INFINITY);
  const high = Math.max(...ends);
  for (let step = niceStep((high - low) / drawn.unit / TICKS_MAX); ; step = niceStep(step * 1.01)) {
    const values: number[] = [];
    for (let k = Math.ceil(low / drawn.unit / step - 1e-9); k * step * drawn.unit <= high * (1 + 1e-9); k++)
      values.push(k * step * drawn.unit);
    if (values.length > TICKS_MAX + 1) continue;
    const ticks = values
      .map((value) => ({ at: offsetOf(value), label: drawn.print(value) }))
      .filter(({ at }) => Math.abs(at) >= TICK_ROOM && at >= -LEFT && at <= RIGHT);
    if (ticks.length <= TICKS_MAX) return ticks;
  }
}

function asciiOf(dots: Strip['dots'], first: number, last: number): string {
  const counts = new Map<number, number>();
  for (const { column } of dots) {
    const step = Math.floor(column / COLUMNS_A_DIGIT);
    counts.set(step, (counts.get(step) ?? 0) + 1);
  }
  const digits = (from: number, to: number) => {
    let text = '';
    for (let step = from; step <= to; step++) {
      const count = counts.get(step) ?? 0;
      // Twenty runs in one step need one sign: letters go on where digits end.
      text += count === 0 ? ' ' : count < 10 ? String(count) : String.fromCharCode(87 + count);
    }
    return text;
  };
  const left = digits(Math.floor(first / COLUMNS_A_DIGIT), -1);
  return `${left}|${digits(0, Math.floor(last / COLUMNS_A_DIGIT))}`;
}

/** Runs of twenty that hold, as the dots show them. */
export function runsThatHold(strip: Strip): number {
  return strip.dots.filter((dot) => dot.holds).length;
}
