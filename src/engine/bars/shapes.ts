/**
 * Tensile bars of the published standards: dimensions, and what follows from them by geometry.
 * Lengths in m. x runs along the bar from mid-length, the half width is measured from the bar's axis.
 */

/** Sizes of a dumbbell: a narrow parallel part, fillets of one or two radii, broad ends. */
export type BarSizes = Readonly<{
  /** l3: overall. */
  length: number;
  /** l1: narrow parallel part. */
  lengthNarrow: number;
  /** b1. */
  widthNarrow: number;
  /** b2: of the ends. */
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

/** The bar of a standard. `source`: where its dimensions were taken from. */
export type BarShape = BarSizes & Readonly<{ name: string; source: string }>;

const iso = 'ISO 527-2, from memory: compare with your copy of the standard';
const astm = 'ASTM D638, from memory: compare with your copy of the standard';

// The columns of the standards' tables, mm: l3, l1, b1, b2, r1, r2, h, L0, L. For 1BA the standard asks r1 >= 30
// and 58 mm between the broad parts; 40.45 is the radius that gives both.
type Row = readonly [number, number, number, number, number, number | null, number, number, number];
const rows: Readonly<Record<string, Row>> = {
  '1A': [170, 80, 10, 20, 24, null, 4, 75, 115],
  '1B': [150, 60, 10, 20, 60, null, 4, 50, 115],
  '1BA': [75, 30, 5, 10, 40.45, null, 2, 25, 60],
  '1BB': [30, 12, 2, 4, 12, null, 2, 10, 23],
  '5A': [75, 25, 4, 12.5, 8, 12.5, 2, 20, 50],
  '5B': [35, 12, 2, 6, 3, 3, 1, 10, 20],
  I: [165, 57, 13, 19, 76, null, 3.2, 50, 115],
  II: [183, 57, 6, 19, 76, null, 3.2, 50, 135],
  III: [246, 57, 19, 29, 76, null, 7, 50, 115],
  IV: [115, 33, 6, 19, 14, 25, 3.2, 25, 65],
  V: [63.5, 9.53, 3.18, 9.53, 12.7, null, 3.2, 7.62, 25.4],
};

const metre = (millimetres: number): number => millimetres / 1000;

/** Names that `barShape` knows. */
export const barNames: readonly string[] = Object.keys(rows);

/** The standard bar of that name, or undefined where the name is not known. */
export function barShape(name: string): BarShape | undefined {
  const row = Object.hasOwn(rows, name) ? rows[name] : undefined;
  if (row === undefined) return undefined;
  const [length, lengthNarrow, widthNarrow, widthBroad, radius, radiusOuter, thickness, gauge, grips] = row;
  return {
    name,
    source: /^[IV]+$/.test(name) ? astm : iso,
    length: metre(length),
    lengthNarrow: metre(lengthNarrow),
    widthNarrow: metre(widthNarrow),
    widthBroad: metre(widthBroad),
    radius: metre(radius),
    radiusOuter: radiusOuter === null ? null : metre(radiusOuter),
    thickness: metre(thickness),
    gaugeLength: metre(gauge),
    gripDistance: metre(grips),
  };
}

/**
 * Length of the fillet along the bar [m], and how much of it the first radius takes.
 *
 *   d = (b2 - b1)/2;  one radius: xe = sqrt(2 r1 d - d^2);  two, S = r1 + r2: xe = sqrt(S^2 - (S - d)^2), xj = xe r1/S   [curves-1]
 *
 * @throws RangeError when the radii are too small to lead from b1 to b2
 */
export function fillet(shape: BarSizes): { length: number; joint: number } {
  const rise = (shape.widthBroad - shape.widthNarrow) / 2;
  const radii = shape.radius + (shape.radiusOuter ?? 0);
  if (!(rise >= 0 && rise <= radii)) throw new RangeError(`radii of ${radii} m do not rise by ${rise} m`);
  const length = Math.sqrt(2 * radii * rise - rise * rise);
  return { length, joint: shape.radiusOuter === null ? length : (length * shape.radius) / radii };
}

/** Half the width of the bar at the distance x from mid-length [m]; 0 beyond its ends. */
export function halfWidth(shape: BarSizes, x: number): number {
  const distance = Math.abs(x);
  if (distance > shape.length / 2) return 0;
  const { length, joint } = fillet(shape);
  const t = distance - shape.lengthNarrow / 2;
  const narrow = shape.widthNarrow / 2;
  if (t <= 0) return narrow;
  if (t >= length) return shape.widthBroad / 2;
  if (t <= joint) return narrow + shape.radius - Math.sqrt(shape.radius ** 2 - t ** 2);
  const outer = shape.radiusOuter ?? 0;
  return shape.widthBroad / 2 - outer + Math.sqrt(outer ** 2 - (length - t) ** 2);
}

/**
 * Distance from mid-length at which the bar first is as wide as 2 `half` [m]: the inverse of `halfWidth`
 * within a fillet. 0 where the narrow part is as wide already; null where no part of the bar is.
 */
export function reach(shape: BarSizes, half: number): number | null {
  const narrow = shape.widthNarrow / 2;
  const broad = shape.widthBroad / 2;
  if (half <= narrow) return 0;
  if (half > broad) return null;
  const { length, joint } = fillet(shape);
  const start = shape.lengthNarrow / 2;
  const first = Math.sqrt(Math.max(0, shape.radius ** 2 - (narrow + shape.radius - half) ** 2));
  if (shape.radiusOuter === null || half <= halfWidth(shape, start + joint)) return start + first;
  const outer = shape.radiusOuter;
  return start + length - Math.sqrt(Math.max(0, outer ** 2 - (half - broad + outer) ** 2));
}

/** int_0^x sqrt(r^2 - t^2) dt. */
function underArc(radius: number, x: number): number {
  return (x * Math.sqrt(Math.max(0, radius ** 2 - x ** 2)) + radius ** 2 * Math.asin(x / radius)) / 2;
}

/** Area of the bar seen from its broad face [m2], exact. */
export function planArea(shape: BarSizes): number {
  const { length, joint } = fillet(shape);
  const ends = shape.length / 2 - shape.lengthNarrow / 2 - length;
  let quarter = (shape.lengthNarrow / 2) * (shape.widthNarrow / 2) + ends * (shape.widthBroad / 2);
  quarter += joint * (shape.widthNarrow / 2 + shape.radius) - underArc(shape.radius, joint);
  if (shape.radiusOuter !== null) {
    const rest = length - joint;
    quarter += rest * (shape.widthBroad / 2 - shape.radiusOuter) + underArc(shape.radiusOuter, rest);
  }
  return 4 * quarter;
}

/** Length between the broad parallel parts, l2 = l1 + 2 xe [m]. */
export function lengthBetweenBroad(shape: BarSizes): number {
  return shape.lengthNarrow + 2 * fillet(shape).length;
}

/** Volume [m3]. */
export function barVolume(shape: BarSizes): number {
  return planArea(shape) * shape.thickness;
}

/** Section of the narrow part [m2], the one that stress is counted on. */
export function gaugeSection(shape: BarSizes): number {
  return shape.widthNarrow * shape.thickness;
}
