import { normalBelow } from '../numerics/error-function.ts';
import { integrate } from '../numerics/gauss-legendre.ts';
import { normalDensity } from '../numerics/normal.ts';
import { peakIntegral } from '../numerics/peak-integral.ts';
import { logChiDensity } from './chi-density.ts';
import { positiveQuantile, tCritical } from './distributions.ts';

/** Beyond 8.7 standard deviations lies 3e-18 of a normal. */
const FAR = 8.7;
/** The same for a product of two normal flanks. */
const FAR_BOTH = 6.3;

/** The integrand over the largest of k narrows as k^-1/2 and more; with these, twice as many change nothing above 1e-13. */
const pointsFor = (k: number) => 72 + 4 * k;

/** P(range of k standard normals <= w) = k int phi(z) [Phi(z) - Phi(z - w)]^(k-1) dz, z the largest of them. */
export function rangeShare(w: number, k: number): number {
  const between = (z: number) => normalDensity(z) * (normalBelow(z) - normalBelow(z - w)) ** (k - 1);
  return k * integrate(between, -FAR, FAR, pointsFor(k));
}

/** P(range > w): the same with Phi(z)^(k-1) - [Phi(z) - Phi(z - w)]^(k-1), written as a sum of positive terms. */
export function rangeTail(w: number, k: number): number {
  const beyond = (z: number) => {
    const low = normalBelow(z - w);
    const all = normalBelow(z);
    const between = all - low;
    let sum = 1;
    let power = 1;
    for (let j = 0; j < k - 2; j++) {
      power *= between;
      sum = sum * all + power;
    }
    return normalDensity(z) * low * sum;
  };
  // Far out the integrand is a peak at z = w/2 with two flanks; near w = 0 the flank on the right is that of phi alone.
  return k * integrate(beyond, 0.5 * w - FAR_BOTH, Math.sqrt(FAR * FAR + 0.5 * w * w), pointsFor(k));
}

function requireGroups(k: number, df: number): void {
  if (!(Number.isInteger(k) && k >= 2)) throw new RangeError(`k = ${k}: two or more groups are needed`);
  if (!(df > 0)) throw new RangeError(`df = ${df}: a positive number is needed`);
}

function overChi(logW: (w: number) => number, q: number, k: number, df: number): number {
  const low = -3 - 60 / df - Math.log1p(q);
  const high = Math.log(Math.sqrt(1 + k / df) + 14 / Math.sqrt(2 * df));
  return Math.min(
    1,
    peakIntegral((v) => logW(q * Math.exp(v)) + logChiDensity(v, df), low, high),
  );
}

/**
 * P(Q > q) for the studentized range of k groups with df degrees of freedom:
 *
 *   P(Q <= q) = int f(u) W(q u) du,   W the range of k standard normals, u = chi/sqrt(df)       [statistics-3]
 *
 * The tail integrates 1 - W, so that it keeps its relative precision.
 */
export function studentizedRangeTail(q: number, k: number, df: number): number {
  requireGroups(k, df);
  return q <= 0 ? 1 : overChi((w) => Math.log(rangeTail(w, k)), q, k, df);
}

/** P(Q <= q). */
export function studentizedRangeShare(q: number, k: number, df: number): number {
  requireGroups(k, df);
  return q <= 0 ? 0 : overChi((w) => Math.log(rangeShare(w, k)), q, k, df);
}

/** The q below which the share p lies. */
export function studentizedRangeQuantile(p: number, k: number, df: number): number {
  requireGroups(k, df);
  if (!(p > 0 && p < 1)) throw new RangeError(`a quantile at ${p}: a share between 0 and 1 is needed`);
  // Bonferroni's bound over all pairs lies within a few hundredths of the root where it is used most.
  const tail = (1 - p) / (k * (k - 1));
  return positiveQuantile(
    p,
    (q) => studentizedRangeShare(q, k, df),
    (q) => studentizedRangeTail(q, k, df),
    Math.SQRT2 * tCritical(tail, df),
  );
}
