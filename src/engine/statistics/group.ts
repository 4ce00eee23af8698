import { Refusal } from '../kernel.ts';
import { tCritical } from './distributions.ts';

/** Bars that are compared with other bars: a name and one number each. */
export type Group = Readonly<{ name: string; values: readonly number[] }>;

export type Moments = Readonly<{
  n: number;
  mean: number;
  /** Sum of squared deviations from the mean. */
  ss: number;
  /** With n - 1; null for a single value. */
  s: number | null;
}>;

export type Summary = Readonly<{
  n: number;
  mean: number;
  s: number | null;
  /** s over the size of the mean; null where the mean is 0. */
  cv: number | null;
  /** Interval of the mean; null below three values. */
  lo: number | null;
  hi: number | null;
}>;

/** From three values on an interval is given: with two it is 13 to 64 standard deviations wide and only misleads. */
export const INTERVAL_FROM = 3;

/** Sum that carries its rounding along (Neumaier 1974). */
export function exactSum(values: Iterable<number>): number {
  let sum = 0;
  let lost = 0;
  for (const value of values) {
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  return sum + lost;
}

/**
 * Mean and squares in two passes on data less their first value, so that nearly equal large numbers keep their digits;
 * the second pass takes out what rounding left in the mean (Chan, Golub and LeVeque 1983, from memory).
 *
 * @throws Refusal without any value
 */
export function moments(values: readonly number[]): Moments {
  const n = values.length;
  if (n === 0) throw new Refusal('There is no value in the group.');
  const first = values[0]!;
  const shifted = values.map((value) => value - first);
  const shift = exactSum(shifted) / n;
  const deviations = shifted.map((value) => value - shift);
  const left = exactSum(deviations);
  const ss = Math.max(0, exactSum(deviations.map((d) => d * d)) - (left * left) / n);
  return { n, mean: first + (shift + left / n), ss, s: n > 1 ? Math.sqrt(ss / (n - 1)) : null };
}

/**
 * Group in numbers: m, s, CV = s/|m| and the interval m +- t s/sqrt(n), t at (1 + conf)/2 with n - 1   [statistics-4]
 * Source: ISO 2602 for the interval (from memory: compare with your copy of the standard).
 */
export function summary(values: readonly number[], conf: number): Summary {
  const { n, mean, s } = moments(values);
  const cv = s === null || mean === 0 ? null : s / Math.abs(mean);
  if (s === null || n < INTERVAL_FROM) return { n, mean, s, cv, lo: null, hi: null };
  const half = (tCritical((1 - conf) / 2, n - 1) * s) / Math.sqrt(n);
  return { n, mean, s, cv, lo: mean - half, hi: mean + half };
}
