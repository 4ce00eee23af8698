import { Refusal } from '../kernel.ts';
import { tCritical, tTail } from './distributions.ts';
import { exactSum, moments } from './group.ts';

export type Line = Readonly<{
  b0: number;
  b1: number;
  /** Null for two points, which any line meets. */
  se_b0: number | null;
  se_b1: number | null;
  resid_sd: number | null;
  /** Null where y does not vary. */
  r2: number | null;
}>;

/**
 * Least squares line y = b0 + b1 x with standard errors, on data less their means:
 *
 *   b1 = Sxy/Sxx,  s^2 = sum residual^2/(n - 2),  se(b1) = s/sqrt(Sxx),  se(b0) = s sqrt(1/n + mx^2/Sxx)   [statistics-5]
 *
 * @throws Refusal with fewer than two points, unequal counts, or one x only
 */
export function line(x: readonly number[], y: readonly number[]): Line {
  if (x.length !== y.length)
    throw new Refusal(`A line needs pairs: ${x.length} x and ${y.length} y are given.`);
  if (x.length < 2) throw new Refusal('A line needs two points or more.');
  const { n, mean: mx, ss: sxx } = moments(x);
  const { mean: my, ss: syy } = moments(y);
  if (!(sxx > 0)) throw new Refusal('All x are equal: no line can be laid through the points.');
  const sxy = exactSum(x.map((value, i) => (value - mx) * (y[i]! - my)));
  const b1 = sxy / sxx;
  const b0 = my - b1 * mx;
  const ssRest = exactSum(x.map((value, i) => (y[i]! - my - b1 * (value - mx)) ** 2));
  const r2 = syy > 0 ? 1 - ssRest / syy : null;
  if (n === 2) return { b0, b1, se_b0: null, se_b1: null, resid_sd: null, r2 };
  const s = Math.sqrt(ssRest / (n - 2));
  return {
    b0,
    b1,
    se_b0: s * Math.sqrt(1 / n + (mx * mx) / sxx),
    se_b1: s / Math.sqrt(sxx),
    resid_sd: s,
    r2,
  };
}

export type Trend = Readonly<{ slope: number; lo: number; hi: number; p: number; df: number }>;

/**
 * Slope of y on something that should not matter (print rank, plate order, water at the print, place), with its
 * interval b1 +- t se(b1), n - 2 degrees of freedom. Shown so that mixing-up is seen; nothing is corrected with it.
 * Null where it cannot be had: fewer than three points or one x only.                                      [statistics-5]
 */
export function trend(x: readonly number[], y: readonly number[], conf: number): Trend | null {
  if (x.length < 3 || new Set(x).size < 2) return null;
  const { b1, se_b1 } = line(x, y);
  const df = x.length - 2;
  const half = tCritical((1 - conf) / 2, df) * se_b1!;
  const p = se_b1! > 0 ? 2 * tTail(Math.abs(b1) / se_b1!, df) : b1 === 0 ? 1 : 0;
  return { slope: b1, lo: b1 - half, hi: b1 + half, p, df };
}

/**
 * The same within groups: means of the groups are taken out of x and y first, so that a difference between orientations
 * does not pass for a trend. Degrees of freedom: values less groups less 1.                                 [statistics-5]
 */
export function trendWithin(
  groups: readonly Readonly<{ x: readonly number[]; y: readonly number[] }>[],
  conf: number,
): Trend | null {
  const centred = groups
    .filter(({ x }) => x.length > 0)
    .map(({ x, y }) => {
      const mx = moments(x).mean;
      const my = moments(y).mean;
      return { x: x.map((value) => value - mx), y: y.map((value) => value - my) };
    });
  const x = centred.flatMap((group) => group.x);
  const y = centred.flatMap((group) => group.y);
  const df = x.length - centred.length - 1;
  const sxx = exactSum(x.map((value) => value * value));
  if (df < 1 || !(sxx > 0)) return null;
  const slope = exactSum(x.map((value, i) => value * y[i]!)) / sxx;
  const ssRest = exactSum(x.map((value, i) => (y[i]! - slope * value) ** 2));
  const se = Math.sqrt(ssRest / df / sxx);
  const half = tCritical((1 - conf) / 2, df) * se;
  const p = se > 0 ? 2 * tTail(Math.abs(slope) / se, df) : slope === 0 ? 1 : 0;
  return { slope, lo: slope - half, hi: slope + half, p, df };
}
