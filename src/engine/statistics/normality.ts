import { Refusal } from '../kernel.ts';
import { logNormalBelow, normalBelow } from '../numerics/error-function.ts';
import { normalQuantile } from '../numerics/normal.ts';
import { moments } from './group.ts';
import { weibullFit } from './weibull.ts';

/** Below this many values no test of a distribution is worth a number. */
const VALUES_MIN = 3;
/** Royston fitted his formulas up to here. */
const SHAPIRO_MAX = 5000;

function sorted(values: readonly number[]): number[] {
  return values.toSorted((a, b) => a - b);
}

/**
 * Anderson-Darling against a normal with fitted mean and s; observed significance level:
 *
 *   A2 = sum (1 - 2i)/n [ln Phi(z_i) + ln(1 - Phi(z_(n+1-i)))] - n,  A* = (1 + 4/n - 25/n^2) A2
 *   OSL = 1/(1 + exp(-0.48 + 0.78 ln A* + 4.58 A*))                                                        [statistics-7]
 *
 * Source: CMH-17-1G 8.3.4 (from memory, tested against its printed examples). Null without scatter or below 3 values.
 */
export function oslNormal(values: readonly number[]): number | null {
  const { n, mean, s } = moments(values);
  if (n < VALUES_MIN || !s) return null;
  const z = sorted(values).map((x) => (x - mean) / s);
  let sum = 0;
  for (let i = 1; i <= n; i++)
    sum += ((1 - 2 * i) / n) * (logNormalBelow(z[i - 1]!) + logNormalBelow(-z[n - i]!));
  const star = (1 + 4 / n - 25 / (n * n)) * (sum - n);
  // The bracket turns negative below n = 4: no level can be given.
  return star > 0 ? 1 / (1 + Math.exp(-0.48 + 0.78 * Math.log(star) + 4.58 * star)) : null;
}

/** The same on ln x; null where a value is not positive. [statistics-7] */
export function oslLognormal(values: readonly number[]): number | null {
  return values.every((x) => x > 0) ? oslNormal(values.map(Math.log)) : null;
}

/**
 * Anderson-Darling against a Weibull distribution with fitted shape b and scale a, y = (x/a)^b:
 *
 *   A2 = sum (1 - 2i)/n [ln(1 - e^-y_i) - y_(n+1-i)] - n,  A* = (1 + 0.2/sqrt n) A2
 *   OSL = 1/(1 + exp(-0.10 + 1.24 ln A* + 4.48 A*))                                                        [statistics-7]
 */
export function oslWeibull(values: readonly number[]): number | null {
  const n = values.length;
  if (n < VALUES_MIN || !values.every((x) => x > 0) || new Set(values).size < 2) return null;
  const { shape, scale } = weibullFit(values);
  const y = sorted(values).map((x) => (x / scale) ** shape);
  let sum = 0;
  for (let i = 1; i <= n; i++) sum += ((1 - 2 * i) / n) * (Math.log(-Math.expm1(-y[i - 1]!)) - y[n - i]!);
  const star = (1 + 0.2 / Math.sqrt(n)) * (sum - n);
  return 1 / (1 + Math.exp(-0.1 + 1.24 * Math.log(star) + 4.48 * star));
}

function polynomial(x: number, ...ascending: readonly number[]): number {
  return ascending.reduceRight((sum, c) => sum * x + c, 0);
}

/** Weights a_i of the sorted values. */
function shapiroWeights(n: number): Float64Array {
  if (n === 3) return Float64Array.of(-Math.SQRT1_2, 0, Math.SQRT1_2);
  const m = Float64Array.from({ length: n }, (_, i) => normalQuantile((i + 1 - 0.375) / (n + 0.25)));
  const total = m.reduce((sum, value) => sum + value * value, 0);
  const u = 1 / Math.sqrt(n);
  const root = Math.sqrt(total);
  const last = m[n - 1]! / root + polynomial(u, 0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056);
  const next = m[n - 2]! / root + polynomial(u, 0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633);
  const two = n > 5;
  const phi = two
    ? (total - 2 * m[n - 1]! ** 2 - 2 * m[n - 2]! ** 2) / (1 - 2 * last ** 2 - 2 * next ** 2)
    : (total - 2 * m[n - 1]! ** 2) / (1 - 2 * last ** 2);
  const a = m.map((value) => value / Math.sqrt(phi));
  a[n - 1] = last;
  a[0] = -last;
  if (two) {
    a[n - 2] = next;
    a[1] = -next;
  }
  return a;
}

/**
 * Shapiro-Wilk test of a normal distribution after Royston 1995 (Applied Statistics 44, 547, algorithm AS R94; constants
 * from memory, tested against R): W = (sum a x)^2/sum (x - m)^2 and its p.                                [statistics-8]
 * Null below 3 or above 5000 values and without scatter.
 */
export function shapiroWilk(values: readonly number[]): { W: number; p: number } | null {
  const { n, mean, ss } = moments(values);
  if (n < VALUES_MIN || n > SHAPIRO_MAX || !(ss > 0)) return null;
  const a = shapiroWeights(n);
  const sum = sorted(values).reduce((total, x, i) => total + a[i]! * (x - mean), 0);
  const W = Math.min(1, (sum * sum) / ss);
  if (n === 3) {
    const p = (6 / Math.PI) * (Math.asin(Math.sqrt(W)) - Math.asin(Math.sqrt(0.75)));
    return { W, p: Math.max(0, p) };
  }
  const far = Math.log1p(-W);
  if (n <= 11) {
    const g = -2.273 + 0.459 * n;
    if (far >= g) return { W, p: 0 };
    const y = -Math.log(g - far);
    const mu = polynomial(n, 0.544, -0.39978, 0.025054, -0.0006714);
    const sd = Math.exp(polynomial(n, 1.3822, -0.77857, 0.062767, -0.0020322));
    return { W, p: normalBelow((mu - y) / sd) };
  }
  const v = Math.log(n);
  const mu = polynomial(v, -1.5861, -0.31082, -0.083751, 0.0038915);
  const sd = Math.exp(polynomial(v, -0.4803, -0.082676, 0.0030302));
  return { W, p: normalBelow((mu - far) / sd) };
}

/** All of them on one sample; what cannot be had is null. @throws Refusal without any value */
export function distributionTests(values: readonly number[]) {
  if (values.length === 0) throw new Refusal('There is no value in the group.');
  const shapiro = shapiroWilk(values);
  return {
    osl_normal: oslNormal(values),
    osl_lognormal: oslLognormal(values),
    osl_weibull: oslWeibull(values),
    W: shapiro?.W ?? null,
    p_W: shapiro?.p ?? null,
  };
}
