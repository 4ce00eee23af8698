import { z } from 'zod';
import { normalQuantile, normalShare } from '../numerics/normal.ts';
import { hashText, stratifiedPoint } from '../numerics/random.ts';

/** A number that is not known, as the kernels that draw take it; a plain number is certain. */
export const spreadSchema = z.union([
  z.number(),
  z.strictObject({ even: z.tuple([z.number(), z.number()]) }),
  z.strictObject({ ln: z.array(z.number()).min(2).max(4) }),
  z.strictObject({ normal: z.array(z.number()).min(2).max(4) }),
  z.strictObject({ tri: z.tuple([z.number(), z.number(), z.number()]) }),
]);
export type Spread = z.infer<typeof spreadSchema>;

/**
 * Value of a spread for a standard normal u [moisture-20]: even a + (b - a) Phi(u), ln median exp(sd u), normal
 * mean + sd u, tri by its inverse; beyond a bound, the bound.
 */
export function spreadAt(spread: Spread, u: number): number {
  if (typeof spread === 'number') return spread;
  if ('even' in spread) {
    const [low, high] = spread.even;
    return low + (high - low) * normalShare(u);
  }
  if ('tri' in spread) {
    const [low, peak, high] = spread.tri;
    const share = normalShare(u);
    const rise = (peak - low) / (high - low);
    return share < rise
      ? low + Math.sqrt(share * (high - low) * (peak - low))
      : high - Math.sqrt((1 - share) * (high - low) * (high - peak));
  }
  const [first, second, low, high] = 'ln' in spread ? spread.ln : spread.normal;
  const value = 'ln' in spread ? first! * Math.exp(second! * u) : first! + second! * u;
  return Math.min(Math.max(value, low ?? Number.NEGATIVE_INFINITY), high ?? Number.POSITIVE_INFINITY);
}

/** The standard normal of one unknown in one draw: keyed by seed and name alone. */
export function normalOf(seed: number, name: string, draw: number): number {
  return normalQuantile(stratifiedPoint(draw, hashText(`${seed}|${name}`)));
}
