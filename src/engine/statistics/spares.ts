import { Refusal } from '../kernel.ts';
import { logGamma } from '../numerics/beta.ts';
import { binomialShare } from './distributions.ts';

/** Chance that a bar is good: known, or itself Beta(a, b) as learned by counting. */
export type GoodChance = Readonly<{ chance: number } | { beta: readonly [number, number] }>;

/** More spares than this mean that the bars cannot be made this way. */
const SPARES_MAX = 10_000;

/**
 * Fewest spares s so that `needed` good bars come out of needed + s with the wanted chance:
 * P(good >= needed | needed + s) >= want, binomial, or beta-binomial where the chance itself is uncertain.  [design-6]
 *
 * @throws Refusal where more than 10 000 would be needed
 */
export function sparesNeeded(needed: number, good: GoodChance, want: number): number {
  for (let spares = 0; spares <= SPARES_MAX; spares++) {
    const enough =
      'chance' in good
        ? 1 - binomialShare(needed - 1, needed + spares, good.chance)
        : 1 - betaBinomialShare(needed - 1, needed + spares, ...good.beta);
    if (enough >= want) return spares;
  }
  throw new Refusal(`Even ${SPARES_MAX} spares would not be enough: too many bars are lost.`);
}

/** P(X <= k) of n trials whose common chance is Beta(a, b): sum of C(n, x) B(x + a, n - x + b)/B(a, b). */
function betaBinomialShare(k: number, n: number, a: number, b: number): number {
  const logBeta = (p: number, q: number) => logGamma(p) + logGamma(q) - logGamma(p + q);
  const whole = logBeta(a, b);
  let sum = 0;
  for (let x = 0; x <= k; x++) {
    const ways = logGamma(n + 1) - logGamma(x + 1) - logGamma(n - x + 1);
    sum += Math.exp(ways + logBeta(x + a, n - x + b) - whole);
  }
  return sum;
}
