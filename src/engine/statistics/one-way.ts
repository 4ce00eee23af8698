import { Refusal } from '../kernel.ts';
import { fTail } from './distributions.ts';
import { exactSum, type Group, moments } from './group.ts';

export type OneWay = Readonly<{
  df_b: number;
  df_w: number;
  ss_b: number;
  ss_w: number;
  ms_b: number;
  /** Null with one value a group; so is all that needs it. */
  ms_w: number | null;
  F: number | null;
  p: number | null;
  r2: number | null;
  resid_sd: number | null;
}>;

export function requireGroups(groups: readonly Group[], valuesMin: number): void {
  if (groups.length < 2)
    throw new Refusal(`A comparison needs two groups or more; there is ${groups.length}.`);
  for (const { name, values } of groups)
    if (values.length < valuesMin)
      throw new Refusal(
        `Group "${name}" has ${values.length} value${values.length === 1 ? '' : 's'}; ${valuesMin} or more are needed.`,
      );
}

/**
 * One-way analysis of variance: sums of squares between and within groups, F = MS_b/MS_w.                  [statistics-17]
 * @throws Refusal with fewer than two groups or an empty one
 */
export function anova(groups: readonly Group[]): OneWay {
  requireGroups(groups, 1);
  // On data less one of them, so that the mean of all keeps the digits that tell the groups apart.
  const first = groups[0]!.values[0]!;
  const parts = groups.map(({ values }) => moments(values.map((x) => x - first)));
  const N = parts.reduce((sum, part) => sum + part.n, 0);
  const mean = exactSum(parts.map((part) => part.n * part.mean)) / N;
  const ss_b = exactSum(parts.map((part) => part.n * (part.mean - mean) ** 2));
  const ss_w = exactSum(parts.map((part) => part.ss));
  const df_b = groups.length - 1;
  const df_w = N - groups.length;
  const ms_b = ss_b / df_b;
  const r2 = ss_b + ss_w > 0 ? ss_b / (ss_b + ss_w) : null;
  const table = { df_b, df_w, ss_b, ss_w, ms_b, r2 };
  if (df_w === 0) return { ...table, ms_w: null, F: null, p: null, resid_sd: null };
  const ms_w = ss_w / df_w;
  const resid_sd = Math.sqrt(ms_w);
  if (!(ms_w > 0)) return { ...table, ms_w, F: null, p: null, resid_sd };
  const F = ms_b / ms_w;
  return { ...table, ms_w, F, p: fTail(F, df_b, df_w), resid_sd };
}

/**
 * Welch's analysis of variance for unequal variances, w_i = n_i/s_i^2, W = sum w, m~ = sum w m/W:
 *
 *   L = sum (1 - w_i/W)^2/(n_i - 1),  F = [sum w (m_i - m~)^2/(k - 1)]/[1 + 2(k - 2)L/(k^2 - 1)],
 *   df1 = k - 1,  df2 = (k^2 - 1)/(3 L)                                                                     [statistics-18]
 *
 * Source: Welch 1951, Biometrika 38, 330 (from memory, tested against R's oneway.test).
 * @throws Refusal with fewer than two groups, fewer than two values in one, or a group without scatter
 */
export function welchAnova(groups: readonly Group[]): { F: number; df1: number; df2: number; p: number } {
  requireGroups(groups, 2);
  const k = groups.length;
  const parts = groups.map(({ name, values }) => {
    const { n, mean, s } = moments(values);
    if (!s) throw new Refusal(`Group "${name}" has no scatter: its variance cannot be weighed.`);
    return { n, mean, w: n / (s * s) };
  });
  const W = parts.reduce((sum, { w }) => sum + w, 0);
  const centre = parts.reduce((sum, { w, mean }) => sum + w * mean, 0) / W;
  const L = parts.reduce((sum, { w, n }) => sum + (1 - w / W) ** 2 / (n - 1), 0);
  const between = parts.reduce((sum, { w, mean }) => sum + w * (mean - centre) ** 2, 0) / (k - 1);
  const F = between / (1 + (2 * (k - 2) * L) / (k * k - 1));
  const df2 = (k * k - 1) / (3 * L);
  return { F, df1: k - 1, df2, p: fTail(F, k - 1, df2) };
}
