import { normalShare } from '../numerics/normal.ts';
import { correlation, ranks } from '../numerics/rank.ts';

/**
 * Chance that the drive never slips, over draws of everything but the grip, whose log-normal spread is integrated
 * exactly: P = mean over draws of Phi(ln(least margin)/sigma). It takes most of the noise of sampling out.     [hot-end-20]
 *
 * @param least least margin of each draw, at the median grip; Infinity where nothing is judged
 * @param sigma spread of ln grip, > 0
 * @returns the chance and its standard error over the draws
 */
export function holdChance(least: ArrayLike<number>, sigma: number): { holds: number; se: number } {
  const n = least.length;
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const p = holdShare(least[i]!, sigma);
    sum += p;
    squares += p * p;
  }
  const holds = sum / n;
  return { holds, se: Math.sqrt(Math.max(0, squares / n - holds * holds) / n) };
}

/** Share of grips with which a draw of this least margin holds. */
export function holdShare(margin: number, sigma: number): number {
  if (margin <= 0) return 0;
  return margin === Infinity ? 1 : normalShare(Math.log(margin) / sigma);
}

/**
 * Chance that print B holds on the machine on which print A jammed: the same draws, reweighted. A machine jams in A
 * with the grips that A asks too much of; of these, B holds with those it does not.     [hot-end-21]
 */
export function holdsGivenJam(leastA: ArrayLike<number>, leastB: ArrayLike<number>, sigma: number): number {
  let both = 0;
  let jammed = 0;
  for (let i = 0; i < leastA.length; i++) {
    const a = holdShare(leastA[i]!, sigma);
    both += Math.max(0, holdShare(leastB[i]!, sigma) - a);
    jammed += 1 - a;
  }
  // Nobody jammed in A: what was seen is impossible in all draws, and says nothing about B.
  return jammed > 0 ? both / jammed : holdChance(leastB, sigma).holds;
}

/**
 * Weight of each draw after a print was seen to hold or to jam, summing to the number of draws.     [hot-end-21]
 */
export function weightsAfter(least: ArrayLike<number>, sigma: number, jammed: boolean): Float64Array {
  const weights = Float64Array.from(least, (margin) => {
    const holds = holdShare(margin, sigma);
    return jammed ? 1 - holds : holds;
  });
  const total = weights.reduce((sum, w) => sum + w, 0);
  return total > 0 ? weights.map((w) => (w * weights.length) / total) : weights.fill(1);
}

/** What drives the least margin: rank correlation with each unknown, strongest first. */
export function driversOf(
  columns: Readonly<Record<string, Float64Array>>,
  least: Float64Array,
): { name: string; correlation: number }[] {
  const even = new Float64Array(least.length).fill(1);
  const order = ranks(least);
  return Object.entries(columns)
    .map(([name, column]) => ({ name, correlation: correlation(ranks(column), order, even) }))
    .sort((a, b) => Math.abs(b.correlation) - Math.abs(a.correlation));
}
