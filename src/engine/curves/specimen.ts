import { integrate } from '../numerics/gauss-legendre.ts';

/**
 * Dumbbell bars of the tensile standards as the reduction of a curve needs them. Lengths in m; x runs along the bar
 * from mid-length, half widths are measured from the axis.
 */

export type Specimen = Readonly<{
  /** l3: overall length. */
  length: number;
  /** l1: narrow parallel part. */
  lengthNarrow: number;
  /** b1. */
  widthNarrow: number;
  /** b2: of the broad ends. */
  widthBroad: number;
  /** r1: fillet beside the narrow part. */
  radius: number;
  /** r2: fillet beside the broad part, curved the other way; null where r1 alone leads from b1 to b2. */
  radiusOuter: number | null;
  /** h. */
  thickness: number;
  /** L0. */
  gaugeLength: number;
  /** L: between the grips. */
  gripDistance: number;
}>;

// mm: l3, l1, b1, b2, r1, r2, h, L0, L. ISO 527-2 and ASTM D638 from memory: compare with your copy of the standard.
// For 1BA the standard asks r1 >= 30 and 58 mm between the broad parts; 40.45 is the radius that gives both.
type Row = readonly [number, number, number, number, number, number | null, number, number, number];
const ROWS: Readonly<Record<string, Row>> = {
  '1A': [170, 80, 10, 20, 24, null, 4, 75, 115],
  '1B': [150, 60, 10, 20, 60, null, 4, 50, 115],
  '1BA': [75, 30, 5, 10, 40.45, null, 2, 25, 60],
  '1BB': [30, 12, 2, 4, 12, null, 2, 10, 23],
  '5A': [75, 25, 4, 12.5, 8, 12.5, 2, 20, 50],
  '5B': [35, 12, 2, 6, 3, 3, 1, 10, 20],
  'D638-I': [165, 57, 13, 19, 76, null, 3.2, 50, 115],
  'D638-II': [183, 57, 6, 19, 76, null, 3.2, 50, 135],
  'D638-III': [246, 57, 19, 29, 76, null, 7, 50, 115],
  'D638-IV': [115, 33, 6, 19, 14, 25, 3.2, 25, 65],
  'D638-V': [63.5, 9.53, 3.18, 9.53, 12.7, null, 3.2, 7.62, 25.4],
};

export const specimenTypes: readonly string[] = Object.keys(ROWS);

/** The bar of that type, or undefined where the type is not known. */
export function specimenOf(type: string): Specimen | undefined {
  const row = Object.hasOwn(ROWS, type) ? ROWS[type] : undefined;
  if (row === undefined) return undefined;
  const [l3, l1, b1, b2, r1, r2, h, gauge, grips] = row;
  return {
    length: l3 / 1000,
    lengthNarrow: l1 / 1000,
    widthNarrow: b1 / 1000,
    widthBroad: b2 / 1000,
    radius: r1 / 1000,
    radiusOuter: r2 === null ? null : r2 / 1000,
    thickness: h / 1000,
    gaugeLength: gauge / 1000,
    gripDistance: grips / 1000,
  };
}

/** What keeps a bar of these sizes from being one, as a sentence; null where nothing does. */
export function specimenFault(bar: Specimen): string | null {
  const rise = (bar.widthBroad - bar.widthNarrow) / 2;
  const radii = bar.radius + (bar.radiusOuter ?? 0);
  const mm = (value: number) => `${Number((value * 1000).toPrecision(6))} mm`;
  if (rise < 0)
    return `The ends (b2 = ${mm(bar.widthBroad)}) are narrower than the middle (b1 = ${mm(bar.widthNarrow)}).`;
  if (rise > radii) return `Radii of ${mm(radii)} in all do not rise by the ${mm(rise)} from b1 to b2.`;
  if (lengthBetweenBroad(bar) > bar.length * (1 + 1e-12))
    return `The parts add up to ${mm(lengthBetweenBroad(bar))}, more than the overall length l3 = ${mm(bar.length)}.`;
  if (bar.gripDistance > bar.length)
    return `The grips stand ${mm(bar.gripDistance)} apart, the bar is ${mm(bar.length)} long.`;
  return null;
}

/**
 * Length of one fillet along the bar, and how much of it the first radius takes [m].
 *
 *   d = (b2 - b1)/2;  one radius: xe = sqrt(2 r1 d - d^2);  two, S = r1 + r2: xe = sqrt(S^2 - (S - d)^2), xj = xe r1/S   [curves-1]
 */
function fillet(bar: Specimen): { length: number; joint: number } {
  const rise = (bar.widthBroad - bar.widthNarrow) / 2;
  const radii = bar.radius + (bar.radiusOuter ?? 0);
  const length = Math.sqrt(Math.max(0, 2 * radii * rise - rise * rise));
  return { length, joint: bar.radiusOuter === null ? length : (length * bar.radius) / radii };
}

/** Length between the broad parallel parts, l2 = l1 + 2 xe [m]. */
export function lengthBetweenBroad(bar: Specimen): number {
  return bar.lengthNarrow + 2 * fillet(bar).length;
}

/** Half the width at the distance x >= 0 from mid-length [m]. */
export function halfWidth(bar: Specimen, x: number): number {
  const { length, joint } = fillet(bar);
  const t = x - bar.lengthNarrow / 2;
  if (t <= 0) return bar.widthNarrow / 2;
  if (t >= length) return bar.widthBroad / 2;
  if (t <= joint) return bar.widthNarrow / 2 + bar.radius - Math.sqrt(bar.radius ** 2 - t ** 2);
  const outer = bar.radiusOuter ?? 0;
  return bar.widthBroad / 2 - outer + Math.sqrt(outer ** 2 - (length - t) ** 2);
}

/** int_0^x sqrt(r^2 - t^2) dt. */
function underArc(radius: number, x: number): number {
  return (x * Math.sqrt(Math.max(0, radius ** 2 - x ** 2)) + radius ** 2 * Math.asin(x / radius)) / 2;
}

/** Area seen from the broad face [m2], exact by segments [curves-1]. */
export function planArea(bar: Specimen): number {
  const { length, joint } = fillet(bar);
  const ends = bar.length / 2 - bar.lengthNarrow / 2 - length;
  let quarter = (bar.lengthNarrow / 2) * (bar.widthNarrow / 2) + ends * (bar.widthBroad / 2);
  quarter += joint * (bar.widthNarrow / 2 + bar.radius) - underArc(bar.radius, joint);
  if (bar.radiusOuter !== null) {
    const rest = length - joint;
    quarter += rest * (bar.widthBroad / 2 - bar.radiusOuter) + underArc(bar.radiusOuter, rest);
  }
  return 4 * quarter;
}

/** Points of the quadrature in each piece: 1e-15 for every bar of the table. */
const QUADRATURE_POINTS = 20;

/**
 * Length of a bar of constant width b1 that would give as much as this one between the grips [m], elastic:
 *
 *   Leq = 2 int_0^(L/2) b1/(2 w(x)) dx     [curves-2]
 *
 * by Gauss and Legendre, piece by piece, so that no piece holds a corner. Treats the section as evenly loaded, which
 * errs a little on the stiff side in the fillets.
 */
export function equivalentLength(bar: Specimen, gripDistance: number = bar.gripDistance): number {
  const { length, joint } = fillet(bar);
  const start = bar.lengthNarrow / 2;
  const end = gripDistance / 2;
  let sum = 0;
  let from = 0;
  for (const corner of [start, start + joint, start + length, end]) {
    const to = Math.min(corner, end);
    if (to <= from) continue;
    sum += integrate((x) => bar.widthNarrow / (2 * halfWidth(bar, x)), from, to, QUADRATURE_POINTS);
    from = to;
  }
  return 2 * sum;
}
