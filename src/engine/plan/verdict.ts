import { normalShare } from '../numerics/normal.ts';

/**
 * Chances of links and of the chain from shared draws.
 *
 *   p_il = Phi((x_il + b_il)/s_l) q_il      chance that link l holds in draw i        [plan-1]
 *   P_l  = sum_i w_i p_il                   chance of the link                        [plan-2]
 *   P    = sum_i w_i prod_l p_il            chance of the chain: shared causes count  [plan-3]
 *   gain_l = sum_i w_i prod_{k != l} p_ik - P    what is won were link l sure         [plan-4]
 */
export type Verdict = Readonly<{
  chain: number;
  /** Sampling error of `chain`: sqrt(sum w (c_i - P)^2 sum w^2). */
  error: number;
  links: readonly number[];
  /** Index of the lowest link; of equals the one with the larger gain. */
  weakest: number;
  gain: readonly number[];
}>;

/**
 * Chance that a link holds, one a draw [plan-1]. Without scatter it is 1 or 0.
 * @param x ln of the margin, lasting bias included; infinite allowed
 */
export function chanceOf(x: Float64Array, scatter: number, hazard?: Float64Array): Float64Array {
  return x.map((value, i) => {
    const holds = scatter > 0 ? shareOrEnd(value / scatter) : value >= 0 ? 1 : 0;
    return holds * (hazard?.[i] ?? 1);
  });
}

function shareOrEnd(z: number): number {
  if (z === Number.POSITIVE_INFINITY) return 1;
  if (z === Number.NEGATIVE_INFINITY) return 0;
  return normalShare(z);
}

/**
 * Verdict over links [plan-2] to [plan-4].
 * @param chances one column a link: chance that it holds, one a draw
 * @param weights one a draw; need not add up to 1
 */
export function verdict(chances: readonly Float64Array[], weights: Float64Array): Verdict {
  const total = weights.reduce((a, b) => a + b, 0);
  if (!(total > 0)) throw new RangeError('the weights of the draws add up to nothing');
  const w = weights.map((weight) => weight / total);
  const whole = w.map((_, i) => chances.reduce((product, p) => product * p[i]!, 1));
  const mean = (value: (i: number) => number) => w.reduce((sum, weight, i) => sum + weight * value(i), 0);
  const chain = mean((i) => whole[i]!);
  const links = chances.map((p) => mean((i) => p[i]!));
  const gain = chances.map(
    (_, l) =>
      mean((i) => chances.reduce((product, p, k) => (k === l ? product : product * p[i]!), 1)) - chain,
  );
  const spread = mean((i) => (whole[i]! - chain) ** 2);
  let weakest = 0;
  for (let l = 1; l < links.length; l++)
    if (links[l]! < links[weakest]! || (links[l] === links[weakest] && gain[l]! > gain[weakest]!))
      weakest = l;
  const error = Math.sqrt(spread * w.reduce((sum, weight) => sum + weight * weight, 0));
  return { chain, error, links, weakest, gain };
}

/** Where runs end: shares of all runs, in job order [chain-1]. */
export type Fates = Readonly<{ lost: readonly number[]; spoiled: readonly number[]; counts: number }>;

/**
 * Follows the runs through the chain in job order: lost at the first link that fails "comes off"; of those that come
 * off, spoiled at the first link that fails "counts" [chain-1].
 * @param off  chance that link l lets the run come off, one column a link
 * @param both chance that it does and the bars count; nowhere above `off`
 */
export function fates(
  off: readonly Float64Array[],
  both: readonly Float64Array[],
  weights: Float64Array,
): Fates {
  const total = weights.reduce((a, b) => a + b, 0);
  const lost = off.map(() => 0);
  const spoiled = off.map(() => 0);
  let counts = 0;
  weights.forEach((weight, i) => {
    let going = weight / total;
    off.forEach((p, l) => {
      lost[l]! += going * (1 - p[i]!);
      going *= p[i]!;
    });
    both.forEach((p, l) => {
      const kept = off[l]![i]! > 0 ? Math.min(1, p[i]! / off[l]![i]!) : 1;
      spoiled[l]! += going * (1 - kept);
      going *= kept;
    });
    counts += going;
  });
  return { lost, spoiled, counts };
}

/** Shares as whole runs that add up to `runs`: largest remainder; of equal remainders the earlier. */
export function wholeRuns(shares: readonly number[], runs: number): number[] {
  const exact = shares.map((share) => share * runs);
  const whole = exact.map(Math.floor);
  const rest = runs - whole.reduce((a, b) => a + b, 0);
  const byRemainder = exact
    .map((value, index) => ({ index, remainder: value - Math.floor(value) }))
    .sort((a, b) => b.remainder - a.remainder || a.index - b.index);
  for (const { index } of byRemainder.slice(0, rest)) whole[index]!++;
  return whole;
}
