/** Least squares on readings [from, to) of two channels that pass `keep`, shifted by the first so that no digits are lost. */

export type Line = Readonly<{
  count: number;
  slope: number;
  /** y at x = 0. */
  intercept: number;
  slopeError: number;
  /** Share of the variance of y that the line explains. */
  r2: number;
}>;

export type Parabola = Readonly<{
  count: number;
  /** y = p0 + p1 x + p2 x^2. */
  p0: number;
  p1: number;
  p2: number;
  /** Standard error of p0. */
  p0Error: number;
}>;

/** Straight line of y on x over the readings whose index is in `indices`; null with fewer than three or without spread. */
export function fitLine(x: Float64Array, y: Float64Array, indices: Int32Array, count: number): Line | null {
  if (count < 3) return null;
  const x0 = x[indices[0]!]!;
  const y0 = y[indices[0]!]!;
  let sumX = 0;
  let sumY = 0;
  for (let k = 0; k < count; k++) {
    sumX += x[indices[k]!]! - x0;
    sumY += y[indices[k]!]! - y0;
  }
  const meanX = sumX / count;
  const meanY = sumY / count;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let k = 0; k < count; k++) {
    const dx = x[indices[k]!]! - x0 - meanX;
    const dy = y[indices[k]!]! - y0 - meanY;
    sxx += dx * dx;
    sxy += dx * dy;
    syy += dy * dy;
  }
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  const rest = Math.max(0, syy - slope * sxy);
  return {
    count,
    slope,
    intercept: y0 + meanY - slope * (x0 + meanX),
    slopeError: Math.sqrt(rest / (count - 2) / sxx),
    r2: syy > 0 ? 1 - rest / syy : 1,
  };
}

/**
 * Parabola of y on x; null with fewer than six readings or without spread. x is scaled to -1 .. 1, so
 * that the normal equations stay well conditioned.
 */
export function fitParabola(
  x: Float64Array,
  y: Float64Array,
  indices: Int32Array,
  count: number,
): Parabola | null {
  if (count < 6) return null;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < count; k++) {
    const value = x[indices[k]!]!;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const middle = (low + high) / 2;
  const half = (high - low) / 2;
  if (!(half > 0)) return null;
  const y0 = y[indices[0]!]!;
  // Sums of u^k and of y u^k, u = (x - middle)/half.
  let [s1, s2, s3, s4, t0, t1, t2] = [0, 0, 0, 0, 0, 0, 0];
  for (let k = 0; k < count; k++) {
    const u = (x[indices[k]!]! - middle) / half;
    const v = y[indices[k]!]! - y0;
    const uu = u * u;
    s1 += u;
    s2 += uu;
    s3 += uu * u;
    s4 += uu * uu;
    t0 += v;
    t1 += v * u;
    t2 += v * uu;
  }
  const inverse = invert3(count, s1, s2, s2, s3, s4);
  if (inverse === null) return null;
  const [a, b, c, d, e, f] = inverse;
  const q0 = a * t0 + b * t1 + c * t2;
  const q1 = b * t0 + d * t1 + e * t2;
  const q2 = c * t0 + e * t1 + f * t2;
  let rest = 0;
  for (let k = 0; k < count; k++) {
    const u = (x[indices[k]!]! - middle) / half;
    const off = y[indices[k]!]! - y0 - (q0 + q1 * u + q2 * u * u);
    rest += off * off;
  }
  // At x = 0 the basis is 1, m, m^2.
  const m = -middle / half;
  const mm = m * m;
  const leverage = a + 2 * b * m + 2 * c * mm + d * mm + 2 * e * m * mm + f * mm * mm;
  return {
    count,
    p0: y0 + q0 + q1 * m + q2 * mm,
    p1: q1 / half + (2 * q2 * m) / half,
    p2: q2 / (half * half),
    p0Error: Math.sqrt(Math.max(0, leverage) * (rest / (count - 3))),
  };
}

/** Inverse of the symmetric matrix [n a b; a c d; b d e], as its upper half; null where it has none. */
function invert3(n: number, a: number, b: number, c: number, d: number, e: number) {
  const m00 = c * e - d * d;
  const m01 = b * d - a * e;
  const m02 = a * d - b * c;
  const determinant = n * m00 + a * m01 + b * m02;
  if (!(Math.abs(determinant) > 1e-12 * n * n * n)) return null;
  return [
    m00 / determinant,
    m01 / determinant,
    m02 / determinant,
    (n * e - b * b) / determinant,
    (a * b - n * d) / determinant,
    (n * c - a * a) / determinant,
  ] as const;
}
