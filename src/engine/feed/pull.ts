import type { WindingSet } from './bend.ts';

/** Stiff strand in a tube with play: Young's modulus [Pa], diameters of strand and tube [m], friction. */
export type StiffStrand = Readonly<{ modulus: number; diameter: number; inside: number; friction: number }>;

/**
 * Tension behind a bend of radius R and angle theta [N] [feed-6].
 *
 *   M = E I |1/R - k_set/R_set|,  I = pi d^4/64,  l = sqrt(6 (d_i - d) R)
 *   T_out = (T_in + 2 mu M/l) exp(mu theta) + 2 mu M/l
 *
 * The stiff strand leans on the wall where the bend begins and ends, over the length l that its play allows: own
 * derivation, and no pull has been measured; an order of magnitude. Limp strand (E = 0) is Euler and Eytelwein's rope.
 *
 * @param tension T_in [N]
 * @param angle   theta [rad]
 */
export function pullBehindBend(
  tension: number,
  radius: number,
  angle: number,
  strand: StiffStrand,
  set: WindingSet,
): number {
  const { diameter, friction } = strand;
  const inertia = (Math.PI * diameter ** 4) / 64;
  const moment = strand.modulus * inertia * Math.abs(1 / radius - set.share / set.radius);
  const reach = Math.sqrt(6 * (strand.inside - diameter) * radius);
  const lean = moment > 0 ? (2 * friction * moment) / reach : 0;
  return (tension + lean) * Math.exp(friction * angle) + lean;
}

/** Two temperatures at which the stiffness of the strand is given [K]: 23 C and 65 C, a definition of its cards. */
const STIFF_AT = 296.15;
const SOFTER_AT = 338.15;

/** Young's modulus at a temperature [Pa]: straight between 23 C (1) and 65 C (`left`), even beyond [feed-7]. */
export function modulusAt(modulus: number, left: number, temperature: number): number {
  const share = Math.min(Math.max((temperature - STIFF_AT) / (SOFTER_AT - STIFF_AT), 0), 1);
  return modulus * (1 + share * (left - 1));
}
