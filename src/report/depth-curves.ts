import type { Assessment } from '../engine/links/link.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { Job } from '../job.ts';
import { showQuantity, showRange, showSpan } from '../units.ts';

/** Bands and figures of a link in depth, for pictures and sentences alike. */

/** Points of a curve with the band of 9 runs in 10; null where the curve has no value, such as while nothing prints. */
export function bandOf(found: Assessment, name: string, weights: Float64Array, scale = 1) {
  const { axis, rows } = found.traces[name]!;
  const points = axis.length;
  const column = new Float64Array(weights.length);
  const at = (p: number) =>
    Array.from(axis, (_, k) => {
      for (let i = 0; i < weights.length; i++) column[i] = rows[k + points * i]!;
      return Number.isNaN(column[0]!) ? null : scale * weightedQuantile(column, weights, p);
    });
  return { low: at(0.05), median: at(0.5), high: at(0.95) };
}

/** Median and the range of 9 runs in 10, printed. */
export function ninths(column: Float64Array, weights: Float64Array, unit: string) {
  const [low, median, high] = [0.05, 0.5, 0.95].map((p) => weightedQuantile(column, weights, p)) as [
    number,
    number,
    number,
  ];
  return showRange({ median, low, high }, unit);
}

/** Share of the weight of the draws for which something holds. */
export function shareOf(weights: Float64Array, holds: (draw: number) => boolean): number {
  let sum = 0;
  let total = 0;
  for (let i = 0; i < weights.length; i++) {
    total += weights[i]!;
    if (holds(i)) sum += weights[i]!;
  }
  return sum / total;
}

/** Prints on the axis of hours, with what a row says of them. */
export function printsOf(job: Job) {
  return job.prints.map(({ plate, start, time, mass, from }) => ({
    plate,
    from: start / 3600,
    to: (start + time) / 3600,
    words: `${plate}: ${showSpan(time)}, ${showQuantity(mass, 'g', 3)}${FROM[from]}`,
  }));
}
const FROM = {
  file: '',
  made: ', from its bars alone',
  assumed: ', assumed: there is no file',
} as const;

/** A value in force, for sentences. @throws Error where there is none: our fault */
export function nominal(job: Job, key: string): number {
  const value = job.entries[key]?.value;
  if (typeof value !== 'number') throw new Error(`"${key}" has no single value`);
  return value;
}
