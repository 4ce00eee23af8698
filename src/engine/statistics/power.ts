import { Refusal } from '../kernel.ts';
import { findPositiveRoot } from '../numerics/root.ts';
import { chiSquareQuantile, fQuantile, noncentralFTail, tCritical } from './distributions.ts';
import { moments } from './group.ts';
import { noncentralTShare, noncentralTTail } from './noncentral-t.ts';

/** No design of this trade has more bars or plates of one kind; beyond it the answer is "not with this method". */
const COUNT_MAX = 100_000;

/**
 * Power of the two-sided t test of two groups of n each, d the difference in standard deviations:
 *
 *   df = 2n - 2,  nc = d sqrt(n/2),  power = P(T' > c) + P(T' < -c),  c = t at 1 - alpha/2                   [design-1]
 */
export function powerTwo(d: number, n: number, alpha: number): number {
  const df = 2 * n - 2;
  const c = tCritical(alpha / 2, df);
  const nc = d * Math.sqrt(n / 2);
  return noncentralTTail(c, df, nc) + noncentralTShare(-c, df, nc);
}

/** Power of the one-way F test, n each: noncentral F with lambda = n sum (mu_i - mu)^2/sigma^2. [design-2] */
export function powerAnova(means: readonly number[], sd: number, n: number, alpha: number): number {
  const k = means.length;
  if (k < 2) throw new Refusal('A comparison needs two groups or more.');
  const df2 = k * (n - 1);
  const lambda = (n * moments(means).ss) / (sd * sd);
  return noncentralFTail(fQuantile(1 - alpha, k - 1, df2), k - 1, df2, lambda);
}

/** Least count from `from` on whose power reaches what is wanted; power grows with the count. */
export function leastCount(power: (n: number) => number, wanted: number, from: number): number | null {
  let high = from;
  while (power(high) < wanted) {
    if (high > COUNT_MAX) return null;
    high *= 2;
  }
  let low = Math.max(from - 1, Math.floor(high / 2));
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (power(middle) < wanted) low = middle;
    else high = middle;
  }
  return high;
}

/**
 * Bars of each of two groups that see a relative difference with the wanted power at level alpha over the number of
 * comparisons (Bonferroni). Null beyond 100 000.                                                            [design-1]
 */
export function barsNeeded(
  cv: number,
  difference: number,
  power: number,
  alpha: number,
  comparisons: number,
): number | null {
  return leastCount((n) => powerTwo(difference / cv, n, alpha / comparisons), power, 2);
}

/** Least relative difference that n bars of each see with the wanted power. [design-1] */
export function leastDifference(
  n: number,
  cv: number,
  power: number,
  alpha: number,
  comparisons: number,
): number {
  const level = alpha / comparisons;
  if (!(power > level))
    throw new Refusal(`A power of ${power} is no more than the level ${level}: any difference has it.`);
  return cv * findPositiveRoot((d) => powerTwo(d, n, level) - power, 2);
}

/** Mixed plates carry all orientations; in rounds every plate carries one. */
export type Design = Readonly<{
  design: 'mixed' | 'rounds';
  /** Of each orientation on a plate. */
  bars: number;
  /** Plates of a mixed design, rounds of the other. */
  count: number;
  orientations: number;
  sdBar: number;
  sdPlate: number;
}>;

/**
 * Standard error of a difference and error degrees of freedom of a design, b bars of each of k orientations a plate:
 *
 *   mixed   Var = 2 s_bar^2/(b P),              df = N - k - P + 1,  N = k b P;  P >= 2
 *   rounds  Var = 2 (s_plate^2 + s_bar^2/b)/R,  df = (k - 1)(R - 1)                                         [design-3]
 */
export function designError({ design, bars, count, orientations: k, sdBar, sdPlate }: Design): {
  se: number;
  df: number;
} {
  if (design === 'rounds') {
    const variance = (2 * (sdPlate ** 2 + sdBar ** 2 / bars)) / count;
    return { se: Math.sqrt(variance), df: (k - 1) * (count - 1) };
  }
  const df = count < 2 ? 0 : k * bars * count - k - count + 1;
  return { se: Math.sqrt((2 * sdBar ** 2) / (bars * count)), df };
}

/**
 * Power of one two-sided comparison at alpha/comparisons: P(T' > c), c = t at 1 - alpha/(2 m), nc = difference/se.
 * 0 where the design has no error degrees of freedom.                                                       [design-3]
 */
export function designPower(plan: Design, difference: number, alpha: number, comparisons: number): number {
  const { se, df } = designError(plan);
  return df < 1 ? 0 : comparisonPower(difference / se, df, alpha / comparisons);
}

/** P(T' > c), c = t at 1 - level/2: power of a two-sided comparison, the far side left out. [design-3] */
export function comparisonPower(nc: number, df: number, level: number): number {
  return noncentralTTail(tCritical(level / 2, df), df, nc);
}

/** Least difference that a design sees with the wanted power; null where it allows no test. [design-3] */
export function canSee(plan: Design, power: number, alpha: number, comparisons: number): number | null {
  const { se, df } = designError(plan);
  if (df < 1) return null;
  const level = alpha / (2 * comparisons);
  if (!(power > level))
    throw new Refusal(`A power of ${power} is no more than the level ${level}: any difference has it.`);
  const c = tCritical(level, df);
  return se * findPositiveRoot((nc) => noncentralTTail(c, df, nc) - power, c + 1);
}

/** Fewest plates (mixed) or rounds that see a difference with the wanted power; null beyond 100 000. [design-3] */
export function countNeeded(
  plan: Omit<Design, 'count'>,
  difference: number,
  power: number,
  alpha: number,
  comparisons: number,
): number | null {
  return leastCount((count) => designPower({ ...plan, count }, difference, alpha, comparisons), power, 2);
}

/**
 * Upper limit of a standard deviation that was estimated with df degrees of freedom: s sqrt(df/chi2(1 - conf; df)).
 * Planning on s itself misses the wanted power half the time.                                               [design-4]
 */
export function scatterUpper(s: number, df: number, conf = 0.8): number {
  return s * Math.sqrt(df / chiSquareQuantile(1 - conf, df));
}

/** Least n whose interval of the mean is no wider than +- share of the mean: t(0.975; n - 1) CV/sqrt n. [design-5] */
export function barsForHalfWidth(cv: number, share: number, conf: number): number | null {
  const narrow = (n: number) => ((tCritical((1 - conf) / 2, n - 1) * cv) / Math.sqrt(n) <= share ? 1 : 0);
  return leastCount(narrow, 1, 2);
}
