import { Refusal } from '../kernel.ts';
import { type Group, moments } from './group.ts';
import { anova } from './one-way.ts';
import { toleranceFactor } from './tolerance.ts';

export type PlateBound = Readonly<{
  bound: number;
  /** Standard deviation of one bar from any plate. */
  S: number;
  /** MSB/MSE as computed, before it is held at 1. */
  u: number;
  T: number;
}>;

/**
 * Lower bound from several plates or spools by the one-way random model:
 *
 *   S^2 = MSB/n' + (n' - 1) MSE/n',  u = max(1, MSB/MSE),  w = sqrt(u/(u + n' - 1)),  n' = (N - n*)/(k - 1),  n* = sum n^2/N
 *   T = [k_N - k_k/sqrt n' + (k_k - k_N) w]/(1 - 1/sqrt n'),  bound = mean - T S                             [statistics-16]
 *
 * k_N and k_k are the factors for N bars and for k plates. MSB <= MSE gives w = 1/sqrt n' and T = k_N.
 * Source: CMH-17-1G 8.3.5 (from memory, tested against its printed example); Vangel 1992.
 *
 * @throws Refusal with fewer than two plates, one bar a plate, or no scatter within plates
 */
export function boundPlates(groups: readonly Group[], p: number, conf: number): PlateBound {
  const { ms_b, ms_w, df_b } = anova(groups);
  if (ms_w === null)
    throw new Refusal(
      'Every plate has one bar only: scatter between and within plates cannot be told apart.',
    );
  if (!(ms_w > 0)) throw new Refusal('There is no scatter within the plates.');
  const sizes = groups.map(({ values }) => values.length);
  const N = sizes.reduce((sum, n) => sum + n, 0);
  const nPrime = (N - sizes.reduce((sum, n) => sum + n * n, 0) / N) / df_b;
  const S = Math.sqrt(ms_b / nPrime + ((nPrime - 1) * ms_w) / nPrime);
  const u = ms_b / ms_w;
  const held = Math.max(1, u);
  const w = Math.sqrt(held / (held + nPrime - 1));
  const kN = toleranceFactor(N, p, conf);
  const kPlates = toleranceFactor(groups.length, p, conf);
  const root = 1 / Math.sqrt(nPrime);
  const T = u <= 1 ? kN : (kN - kPlates * root + (kPlates - kN) * w) / (1 - root);
  const { mean } = moments(groups.flatMap(({ values }) => values));
  return { bound: mean - T * S, S, u, T };
}
