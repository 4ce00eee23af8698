import { Refusal } from '../kernel.ts';
import { tCritical } from './distributions.ts';
import { INTERVAL_FROM, moments, type Summary, summary } from './group.ts';

export type OutlierTest = Readonly<{
  /** Greatest deviation from the mean in standard deviations. */
  G: number;
  crit: number;
  outlier: boolean;
  /** Which value lies farthest out. */
  index: number;
  value: number;
}>;

/**
 * Grubbs' test of the value farthest from the mean (in composites: maximum normed residual):
 *
 *   G = max|x - m|/s,  critical (n - 1)/sqrt(n) sqrt(t^2/(n - 2 + t^2)),  t at 1 - alpha/(sides n) with n - 2  [statistics-6]
 *
 * A hit is a question about the bar, never a reason to drop it.
 * Source: Grubbs 1969, Technometrics 11, 1; NIST/SEMATECH e-Handbook 1.3.5.17.1; CMH-17-1G 8.3.3 (from memory).
 *
 * @throws Refusal with fewer than three values or without scatter
 */
export function grubbs(values: readonly number[], alpha: number, sides: 1 | 2): OutlierTest {
  const { n, mean, s } = moments(values);
  if (n < 3)
    throw new Refusal(`An outlier test needs three values or more; there ${n === 1 ? 'is 1' : `are ${n}`}.`);
  if (!s) throw new Refusal('All values are equal: an outlier test needs scatter.');
  let index = 0;
  values.forEach((value, i) => {
    if (Math.abs(value - mean) > Math.abs(values[index]! - mean)) index = i;
  });
  const G = Math.abs(values[index]! - mean) / s;
  const t = tCritical(alpha / (sides * n), n - 2);
  const crit = ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
  return { G, crit, outlier: G > crit, index, value: values[index]! };
}

export type AskedGroup = Readonly<{
  n_used: number;
  mean: number;
  s: number | null;
  lo: number | null;
  hi: number | null;
  /** The outlier test marks a bar: a question to the person, who alone can leave it out, and for a physical reason. */
  asks: boolean;
  /** The bar that lies farthest out; null below three values. */
  index: number | null;
  /** The same numbers without that bar, to be shown beside them while the question stands. */
  without: Summary | null;
}>;

/** A group with all its bars in it, and what the outlier test asks about. */
export function askedGroup(values: readonly number[], alpha: number, conf: number): AskedGroup {
  const { n, mean, s, lo, hi } = summary(values, conf);
  const numbers = { n_used: n, mean, s, lo, hi };
  if (n < INTERVAL_FROM || !s) return { ...numbers, asks: false, index: null, without: null };
  const { outlier, index } = grubbs(values, alpha, 2);
  const without = outlier ? summary(values.toSpliced(index, 1), conf) : null;
  return { ...numbers, asks: outlier, index, without };
}
