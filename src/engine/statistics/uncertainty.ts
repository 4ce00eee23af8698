import { tCritical } from './distributions.ts';

/** An infinite number could not stand in JSON. */
const DF_MAX = 1e6;

export type BarMeasured = Readonly<{
  F_N: number;
  b_mm: number;
  h_mm: number;
  /** Standard uncertainty of the force, relative: class/sqrt 3. */
  u_F_rel: number;
  /** Scatter of the readings of width and thickness. */
  s_b_mm: number;
  s_h_mm: number;
  n_readings: number;
  /** Standard uncertainty of the caliper: half width/sqrt 3. */
  u_b_mm: number;
  u_h_mm: number;
  /** Height of the ridges of a printed face; the caliper rides on them, on either side. */
  rough_mm: number;
  /** Coverage factor. */
  k: number;
}>;

export type StressUncertainty = Readonly<{
  /** MPa. */
  stress: number;
  u_rel: number;
  /** Expanded, MPa. */
  U: number;
  share_force: number;
  share_width: number;
  share_thickness: number;
  /** What to measure better first, and what would halve it. */
  largest: 'force' | 'width' | 'thickness';
  advice: string;
}>;

/**
 * Uncertainty of one strength F/(b h):
 *
 *   u^2(s)/s^2 = u_F^2 + u_b^2/b^2 + u_h^2/h^2,  u_b^2 = s_readings^2/n + caliper^2 + 2 ridge^2/12          [uncertainty-1]
 *
 * Source: JCGM 100 (GUM), 5.1.6. The ridge is taken as evenly spread over its height on each of two faces.
 */
export function stressUncertainty(bar: BarMeasured): StressUncertainty {
  const ridge = (2 * bar.rough_mm ** 2) / 12;
  const side = (readings: number, caliper: number) => ({
    readings: readings ** 2 / bar.n_readings,
    caliper: caliper ** 2,
    ridge,
  });
  const width = side(bar.s_b_mm, bar.u_b_mm);
  const thickness = side(bar.s_h_mm, bar.u_h_mm);
  const total = (parts: typeof width) => parts.readings + parts.caliper + parts.ridge;
  const squares = {
    force: bar.u_F_rel ** 2,
    width: total(width) / bar.b_mm ** 2,
    thickness: total(thickness) / bar.h_mm ** 2,
  };
  const sum = squares.force + squares.width + squares.thickness;
  const stress = bar.F_N / (bar.b_mm * bar.h_mm);
  const u_rel = Math.sqrt(sum);
  const share = (square: number) => (sum > 0 ? square / sum : 0);
  const largest = (Object.keys(squares) as (keyof typeof squares)[]).reduce((a, b) =>
    squares[b] > squares[a] ? b : a,
  );
  const parts = largest === 'width' ? width : thickness;
  return {
    stress,
    u_rel,
    U: bar.k * u_rel * Math.abs(stress),
    share_force: share(squares.force),
    share_width: share(squares.width),
    share_thickness: share(squares.thickness),
    largest,
    advice:
      largest === 'force'
        ? 'A force class half as wide would halve that part.'
        : halve(largest, parts, bar.n_readings),
  };
}

function halve(what: string, parts: { readings: number; caliper: number; ridge: number }, n: number): string {
  const { readings, caliper, ridge } = parts;
  if (readings >= caliper && readings >= ridge)
    return `The readings of the ${what} scatter most: ${4 * n} readings instead of ${n} would halve that part.`;
  if (caliper >= ridge)
    return `The caliper decides the ${what}: an instrument half as coarse would halve that part.`;
  return `The ridges decide the ${what}: measure between them, or weigh the bar for a second opinion on its section.`;
}

export type MeanUncertainty = Readonly<{
  /** Scatter of the mean, s/sqrt n. */
  u_scatter: number;
  /** Part common to all bars: it does not fall with n. */
  u_common: number;
  u: number;
  df: number;
  k: number;
  U: number;
}>;

/**
 * Uncertainty of a group's mean: u^2 = s^2/n + u_common^2 m^2, df = u^4/[(s^2/n)^2/(n - 1)], k = t at (1 + conf)/2.
 * Between groups from the same machine the common part cancels: it belongs to absolute values alone.        [uncertainty-2]
 * Source: JCGM 100 (GUM), G.4, the common part taken as known. Without scatter df stands at 1e6, where t is the normal to six digits.
 */
export function meanUncertainty(
  s: number,
  n: number,
  commonRel: number,
  mean: number,
  conf: number,
): MeanUncertainty {
  const u_scatter = s / Math.sqrt(n);
  const u_common = commonRel * Math.abs(mean);
  const square = u_scatter ** 2 + u_common ** 2;
  const u = Math.sqrt(square);
  const df = u_scatter > 0 ? Math.min(DF_MAX, square ** 2 / (u_scatter ** 4 / (n - 1))) : DF_MAX;
  const k = tCritical((1 - conf) / 2, df);
  return { u_scatter, u_common, u, df, k, U: k * u };
}
