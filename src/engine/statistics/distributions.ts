import { betaShare, logGamma } from '../numerics/beta.ts';
import { gammaShare, gammaTail } from '../numerics/gamma.ts';
import { normalQuantile } from '../numerics/normal.ts';
import { findPositiveRoot } from '../numerics/root.ts';

/**
 * Student's t, F, chi-square and the binomial: share below, tail above, quantile. Degrees of freedom are any positive
 * number. Tails keep their relative precision; quantiles are roots of the logarithm of share or tail.
 * [statistics-1]
 */

function requirePositive(named: Readonly<Record<string, number>>): void {
  for (const [name, value] of Object.entries(named))
    if (!(value > 0)) throw new RangeError(`${name} = ${value}: a positive number is needed`);
}

function requireShare(p: number): void {
  if (!(p > 0 && p < 1)) throw new RangeError(`a quantile at ${p}: a share between 0 and 1 is needed`);
}

/** Below t^2 = 2 the tail is found from the middle, beyond it by itself: the middle would leave nothing of a small one. */
const CENTRAL_BELOW = 2;

/** P(T > t) for t >= 0. */
function tUpper(t: number, df: number): number {
  const square = t * t;
  return square < CENTRAL_BELOW ? 0.5 - tCentral(t, df) : 0.5 * betaShare(df / (df + square), 0.5 * df, 0.5);
}

/** P(0 < T < t). */
function tCentral(t: number, df: number): number {
  const square = t * t;
  return 0.5 * betaShare(square / (df + square), 0.5, 0.5 * df);
}

/** P(T > t), Student's t with `df` degrees of freedom. */
export function tTail(t: number, df: number): number {
  requirePositive({ df });
  return t >= 0 ? tUpper(t, df) : 0.5 + tCentral(-t, df);
}

/** P(T <= t). */
export function tShare(t: number, df: number): number {
  return tTail(-t, df);
}

/** The t below which the share p lies. */
export function tQuantile(p: number, df: number): number {
  requireShare(p);
  requirePositive({ df });
  if (p === 0.5) return 0;
  const size = tSize(Math.min(p, 1 - p), Math.abs(p - 0.5), df);
  return p < 0.5 ? -size : size;
}

/** The t above which the share `tail` < 1/2 lies: exact for tails so small that 1 - tail is 1. */
export function tCritical(tail: number, df: number): number {
  requirePositive({ df });
  if (!(tail > 0 && tail < 0.5)) throw new RangeError(`a tail of ${tail}: between 0 and 1/2 is needed`);
  return tSize(tail, 0.5 - tail, df);
}

function tSize(tail: number, central: number, df: number): number {
  const guess = Math.max(Math.abs(normalQuantile(tail)), central);
  return central < 0.25
    ? findPositiveRoot((t) => Math.log(tCentral(t, df) / central), guess)
    : findPositiveRoot((t) => Math.log(tail / tUpper(t, df)), guess);
}

/** P(X <= x), F distribution. */
export function fShare(x: number, df1: number, df2: number): number {
  requirePositive({ df1, df2 });
  return smallFirst(fBelow(x, df1, df2), () => fAbove(x, df1, df2));
}

/** P(X > x). */
export function fTail(x: number, df1: number, df2: number): number {
  requirePositive({ df1, df2 });
  return smallFirst(fAbove(x, df1, df2), () => fBelow(x, df1, df2));
}

function fBelow(x: number, df1: number, df2: number): number {
  return x <= 0 ? 0 : betaShare((df1 * x) / (df1 * x + df2), 0.5 * df1, 0.5 * df2);
}

function fAbove(x: number, df1: number, df2: number): number {
  return x <= 0 ? 1 : betaShare(df2 / (df1 * x + df2), 0.5 * df2, 0.5 * df1);
}

/** A large share is better found from the small rest: its own argument is rounded where it is close to 1. */
function smallFirst(share: number, rest: () => number): number {
  return share < 0.5 ? share : 1 - rest();
}

/** The x below which the share p of F lies. */
export function fQuantile(p: number, df1: number, df2: number): number {
  requireShare(p);
  return positiveQuantile(
    p,
    (x) => fShare(x, df1, df2),
    (x) => fTail(x, df1, df2),
    1,
  );
}

/** Terms of the Poisson mixture on either side of its middle; at noncentrality 1e4 a few hundred are used. */
const MIXTURE_MAX = 100_000;

/**
 * P(X > x) for the noncentral F with noncentrality lambda: Poisson mixture of central beta tails
 * (Johnson, Kotz and Balakrishnan 1995, ch. 30, from memory), summed outwards from its largest weight.
 */
export function noncentralFTail(x: number, df1: number, df2: number, lambda: number): number {
  requirePositive({ df1, df2 });
  if (!(lambda >= 0)) throw new RangeError(`lambda = ${lambda}: a number from 0 on is needed`);
  if (lambda === 0) return fTail(x, df1, df2);
  if (x <= 0) return 1;
  const y = df2 / (df1 * x + df2);
  const half = 0.5 * lambda;
  const term = (j: number) =>
    Math.exp(j * Math.log(half) - half - logGamma(j + 1)) * betaShare(y, 0.5 * df2, 0.5 * df1 + j);
  const middle = Math.floor(half);
  let sum = 0;
  for (let j = middle; j >= 0; j--) {
    const part = term(j);
    sum += part;
    if (part < 1e-18 * sum) break;
  }
  for (let j = middle + 1; j < middle + MIXTURE_MAX; j++) {
    const part = term(j);
    sum += part;
    if (part < 1e-18 * sum) return sum;
  }
  throw new Error(`noncentral F at ${x}, ${df1}, ${df2}, ${lambda} did not settle`);
}

/** P(X <= x), chi-square. */
export function chiSquareShare(x: number, df: number): number {
  requirePositive({ df });
  return gammaShare(0.5 * x, 0.5 * df);
}

/** P(X > x), chi-square. */
export function chiSquareTail(x: number, df: number): number {
  requirePositive({ df });
  return gammaTail(0.5 * x, 0.5 * df);
}

/** The x below which the share p of chi-square lies. */
export function chiSquareQuantile(p: number, df: number): number {
  requireShare(p);
  return positiveQuantile(
    p,
    (x) => chiSquareShare(x, df),
    (x) => chiSquareTail(x, df),
    df,
  );
}

/** Quantile of a positive quantity from its share and its tail: whichever is the smaller at p decides. */
export function positiveQuantile(
  p: number,
  share: (x: number) => number,
  tail: (x: number) => number,
  guess: number,
): number {
  return p < 0.5
    ? findPositiveRoot((x) => Math.log(share(x) / p), guess)
    : findPositiveRoot((x) => Math.log((1 - p) / tail(x)), guess);
}

/** P(X <= k) of n trials with chance p each. */
export function binomialShare(k: number, n: number, p: number): number {
  if (k < 0) return 0;
  if (k >= n) return 1;
  return betaShare(1 - p, n - Math.floor(k), Math.floor(k) + 1);
}
