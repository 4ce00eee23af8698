import { Refusal } from '../kernel.ts';
import { tCritical, tTail } from './distributions.ts';
import { type Group, moments } from './group.ts';
import { anova, requireGroups } from './one-way.ts';
import { studentizedRangeQuantile, studentizedRangeTail } from './studentized-range.ts';

/** A group known by three numbers. */
export type Known = Readonly<{ n: number; mean: number; s: number }>;

export type Difference = Readonly<{
  /** First less second. */
  difference: number;
  t: number;
  df: number;
  p: number;
  lo: number;
  hi: number;
}>;

/** Degrees of freedom of v1 + v2 (Welch and Satterthwaite), v = s^2/n. */
export function satterthwaite(v1: number, n1: number, v2: number, n2: number): number {
  return (v1 + v2) ** 2 / ((v1 * v1) / (n1 - 1) + (v2 * v2) / (n2 - 1));
}

/**
 * Difference of two means with unequal variances, t = d/sqrt(v1 + v2), df of Satterthwaite, interval d +- t se. [statistics-19]
 * @throws Refusal with fewer than two values in one group, or without any scatter
 */
export function welch(first: Known, second: Known, conf: number): Difference {
  if (first.n < 2 || second.n < 2)
    throw new Refusal('A difference with its interval needs two values or more in each group.');
  const v1 = first.s ** 2 / first.n;
  const v2 = second.s ** 2 / second.n;
  const se = Math.sqrt(v1 + v2);
  if (!(se > 0)) throw new Refusal('Neither group has scatter: the difference has no interval.');
  const difference = first.mean - second.mean;
  const df = satterthwaite(v1, first.n, v2, second.n);
  const t = difference / se;
  const half = tCritical((1 - conf) / 2, df) * se;
  return { difference, t, df, p: 2 * tTail(Math.abs(t), df), lo: difference - half, hi: difference + half };
}

/** What `welch` needs of raw values. @throws Refusal with fewer than two */
export function known(values: readonly number[]): Known {
  const { n, mean, s } = moments(values);
  if (s === null) throw new Refusal('A difference with its interval needs two values or more in each group.');
  return { n, mean, s };
}

export type Pair = Readonly<{
  a: string;
  b: string;
  /** a less b. */
  difference: number;
  df: number;
  p: number;
  half: number;
  lo: number;
  hi: number;
}>;

/**
 * All differences between groups with simultaneous intervals from the studentized range of k groups, d +- q se:
 *
 *   Games-Howell  se = sqrt((v_i + v_j)/2), v = s^2/n, df of Satterthwaite                                   [statistics-20]
 *   Tukey-Kramer  se = sqrt(MSE/2 (1/n_i + 1/n_j)), df = N - k: to compare with reports that use it          [statistics-21]
 *
 * Source: Games and Howell 1976, J. Educ. Stat. 1, 113 (from memory); R's TukeyHSD.
 * @param only one pair by name, its first less its second; otherwise all in the order of the groups
 */
export function pairs(
  groups: readonly Group[],
  method: 'games-howell' | 'tukey',
  conf: number,
  only?: readonly [string, string],
): Pair[] {
  requireGroups(groups, method === 'tukey' ? 1 : 2);
  const k = groups.length;
  const error = method === 'tukey' ? anova(groups) : null;
  if (error && !error.ms_w) throw new Refusal('There is no scatter within the groups.');
  const wanted = only ? [only.map((name) => byName(groups, name)) as [Group, Group]] : combinations(groups);
  const common = error && pairScale(k, error.df_w, conf);
  return wanted.map(([first, second]) => {
    const a = moments(first.values);
    const b = moments(second.values);
    const difference = a.mean - b.mean;
    if (error && common) {
      const se = Math.sqrt(error.ms_w! * (1 / a.n + 1 / b.n));
      return studentizedPair(first.name, second.name, difference, se, common);
    }
    const va = a.s! ** 2 / a.n;
    const vb = b.s! ** 2 / b.n;
    if (!(va + vb > 0)) throw new Refusal(`Neither "${first.name}" nor "${second.name}" has scatter.`);
    const own = pairScale(k, satterthwaite(va, a.n, vb, b.n), conf);
    return studentizedPair(first.name, second.name, difference, Math.sqrt(va + vb), own);
  });
}

/** What all pairs with the same error share: found once, it takes ten times as long as the rest. */
export type PairScale = Readonly<{ k: number; df: number; q: number }>;

export function pairScale(k: number, df: number, conf: number): PairScale {
  return { k, df, q: studentizedRangeQuantile(conf, k, df) };
}

/** One difference with its simultaneous interval and p; `se` is its standard error. */
export function studentizedPair(
  a: string,
  b: string,
  difference: number,
  se: number,
  { k, df, q }: PairScale,
): Pair {
  const unit = se / Math.SQRT2;
  const half = q * unit;
  const p = studentizedRangeTail(Math.abs(difference) / unit, k, df);
  return { a, b, difference, df, p, half, lo: difference - half, hi: difference + half };
}

export function combinations<T>(list: readonly T[]): [T, T][] {
  return list.flatMap((a, i) => list.slice(i + 1).map((b): [T, T] => [a, b]));
}

function byName(groups: readonly Group[], name: string): Group {
  const group = groups.find((one) => one.name === name);
  if (!group)
    throw new Refusal(`There is no group "${name}"; the groups are ${groups.map((g) => g.name).join(', ')}.`);
  return group;
}

/**
 * Holm's adjustment of several p: sorted, running maximum of (m - rank + 1) p, at most 1, in the order given.  [statistics-22]
 * Source: Holm 1979, Scand. J. Statist. 6, 65.
 */
export function holm(p: readonly number[]): number[] {
  const order = p.map((_, i) => i).sort((i, j) => p[i]! - p[j]!);
  const adjusted = new Array<number>(p.length);
  let running = 0;
  order.forEach((index, rank) => {
    running = Math.max(running, Math.min(1, (p.length - rank) * p[index]!));
    adjusted[index] = running;
  });
  return adjusted;
}
