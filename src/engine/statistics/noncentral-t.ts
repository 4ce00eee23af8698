import { logNormalBelow } from '../numerics/error-function.ts';
import { peakIntegral } from '../numerics/peak-integral.ts';
import { findRoot } from '../numerics/root.ts';
import { logChiDensity } from './chi-density.ts';

/** Places in standard deviations of the normal factor where its step is cut into panels of its own. */
const STEP_CUTS = [-9, -4, -1.5, 0, 1.5, 4, 9];

/**
 * P(T' <= t) for the noncentral t with `df` degrees of freedom and noncentrality delta, from its definition:
 *
 *   P = int Phi(t u - delta) f(u) du,   u = chi/sqrt(df)                                        [statistics-2]
 *
 * taken over ln u, where the integrand has one peak for every t, df and delta. Full relative precision in the lower
 * tail; the upper tail is the lower one of -t and -delta.
 *
 * @throws RangeError unless df > 0
 */
export function noncentralTShare(t: number, df: number, delta: number): number {
  if (!(df > 0)) throw new RangeError(`df = ${df}: a positive number is needed`);
  const logF = (v: number) => logNormalBelow(t * Math.exp(v) - delta) + logChiDensity(v, df);
  const width = 1 / Math.sqrt(2 * df);
  const low = -3 - 60 / df - Math.log1p(Math.abs(t));
  const high = Math.log(1 + 14 * width + Math.abs(delta) / Math.sqrt(df));
  const cuts = STEP_CUTS.map((z) => (delta + z) / t)
    .filter((u) => u > 0)
    .map(Math.log);
  return Math.min(1, peakIntegral(logF, low, high, cuts));
}

/** P(T' > t). */
export function noncentralTTail(t: number, df: number, delta: number): number {
  return noncentralTShare(-t, df, -delta);
}

/** The t below which the share p lies. */
export function noncentralTQuantile(p: number, df: number, delta: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a quantile at ${p}: a share between 0 and 1 is needed`);
  const f =
    p < 0.5
      ? (t: number) => Math.log(noncentralTShare(t, df, delta) / p)
      : (t: number) => Math.log((1 - p) / noncentralTTail(t, df, delta));
  const sign = Math.sign(f(delta));
  if (sign === 0) return delta;
  // Outwards from the noncentrality, twice as far each time.
  let inner = delta;
  for (let reach = 1 + 0.1 * Math.abs(delta); reach < 1e300; reach *= 2) {
    const outer = delta - sign * reach;
    if (Math.sign(f(outer)) !== sign) return findRoot(f, inner, outer);
    inner = outer;
  }
  throw new Error(`no quantile of noncentral t at ${p}, ${df}, ${delta}`);
}
