import { meltStress } from './strand.ts';

/** Local exponent of the melt is not taken below this: the formula divides by it. */
const EXPONENT_LEAST = 0.15;

export type Nozzle = Readonly<{
  /** Radius of the hole, length of its land, radius of the bore above the cone [m]. */
  radius: number;
  land: number;
  topRadius: number;
  /** tan of the half angle of the cone; Infinity: no cone. */
  coneTangent: number;
  /** Entrance loss in wall shear stresses. */
  entrance: number;
}>;

/**
 * Pressure over land, cone and entrance of a nozzle.     [hot-end-9]
 *
 *   g_a = 4Q/(pi R^3),  n_l = d ln tau/d ln g at g_a,  tau_w = tau(g_a (3 n_l + 1)/(4 n_l))
 *   dP  = 2 L/R tau_w + 2 tau_w/(3 n_l tan a) (1 - (R/R_0)^(3 n_l)) + n_entr tau_w
 *
 * Isothermal, no slip at the wall; Rabinowitsch's correction with the local exponent (from memory). Exact for
 * Newtonian and power-law melts.
 *
 * @param flow Q [m3/s], > 0
 */
export function nozzlePressure(
  nozzle: Nozzle,
  flow: number,
  lnViscosity: number,
  lnThinningStress: number,
  exponent: number,
): number {
  const { radius, land, topRadius, coneTangent, entrance } = nozzle;
  const lnApparent = Math.log((4 * flow) / (Math.PI * radius ** 3));
  const thinned = Math.exp((1 - exponent) * (lnViscosity + lnApparent - lnThinningStress));
  const local = Math.max(EXPONENT_LEAST, 1 - ((1 - exponent) * thinned) / (1 + thinned));
  const stress = meltStress(
    lnViscosity,
    lnApparent + Math.log((3 * local + 1) / (4 * local)),
    lnThinningStress,
    exponent,
  );
  const cone = Number.isFinite(coneTangent)
    ? ((2 * stress) / (3 * local * coneTangent)) * (1 - (radius / topRadius) ** (3 * local))
    : 0;
  return ((2 * land) / radius) * stress + cone + entrance * stress;
}
