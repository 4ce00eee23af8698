import { type BarSizes, barNames, barShape, fillet, halfWidth, lengthBetweenBroad } from '../bars/shapes.ts';
import { integrate } from '../numerics/gauss-legendre.ts';

/** Bars of the tensile standards as the reduction of a curve needs them, under the names that kernels use. Lengths in m. */

/** ASTM D638 types carry their standard, since a bare numeral says too little in a file of results. */
const kernelName = (name: string) => (/^[IV]+$/.test(name) ? `D638-${name}` : name);

export const specimenTypes: readonly string[] = barNames.map(kernelName);

/** The bar of that type, or undefined where the type is not known. */
export function specimenOf(type: string): BarSizes | undefined {
  const name = barNames.find((one) => kernelName(one) === type);
  return name === undefined ? undefined : barShape(name);
}

/** What keeps a bar of these sizes from being one, as a sentence; null where nothing does. */
export function specimenFault(bar: BarSizes): string | null {
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
export function equivalentLength(bar: BarSizes, gripDistance: number = bar.gripDistance): number {
  const { length, joint } = fillet(bar);
  const start = bar.lengthNarrow / 2;
  const end = gripDistance / 2;
  // Grips beyond the ends of the bar hold what is as wide as its ends.
  const widthAt = (x: number) => halfWidth(bar, Math.min(x, bar.length / 2));
  let sum = 0;
  let from = 0;
  for (const corner of [start, start + joint, start + length, end]) {
    const to = Math.min(corner, end);
    if (to <= from) continue;
    sum += integrate((x) => bar.widthNarrow / (2 * widthAt(x)), from, to, QUADRATURE_POINTS);
    from = to;
  }
  return 2 * sum;
}
