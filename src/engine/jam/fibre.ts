import { logGamma } from '../numerics/beta.ts';

/** Short fibres in a strand: what the law of clogs needs to know of it. SI; shares by mass 0..1. */
export type Fibres = Readonly<{
  /** kg fibre per kg strand. */
  share: number;
  fibreDensity: number;
  polymerDensity: number;
  /** Mean length by number, shape of its Weibull spread, diameter [m]. */
  length: number;
  lengthShape: number;
  diameter: number;
}>;

/** The law of clogs: how often clumps of fibres bridge a hole of reference, and how that scales. */
export type ClogLaw = Readonly<{
  /** Clogs per kg through the reference hole with the reference share of fibres, of the fibres `reference`. */
  perKg: number;
  reference: Fibres;
  bore: number;
  /** Size of a clump that bridges, in lengths of which 95 % of fibres are shorter. */
  clump: number;
  widthExponent: number;
  crowdingExponent: number;
  /** kg after which what sticks in the hole has doubled the rate. */
  doublesAfter: number;
  /** Share of clogs that stop the flow; the rest thin it. */
  hard: number;
  /** The rate is not followed further up [1/kg]. */
  perKgMost: number;
}>;

/** Share of fibres by volume, and density of the strand (rule of mixtures).     [jam-1] */
export function fibreVolumeShare(f: Fibres): number {
  const fibre = f.share / f.fibreDensity;
  return fibre / (fibre + (1 - f.share) / f.polymerDensity);
}
export function strandDensity(f: Fibres): number {
  return 1 / (f.share / f.fibreDensity + (1 - f.share) / f.polymerDensity);
}

/** Crowding number N = (2/3) phi (L/d)^2 (Kerekes and Schell 1992, from memory: flocs from about 60).     [jam-1] */
export function crowding(f: Fibres): number {
  return (2 / 3) * fibreVolumeShare(f) * (f.length / f.diameter) ** 2;
}

/** Size of a clump that bridges a hole [m]: `clump` times the length of which 95 % of fibres are shorter.     [jam-1] */
export function bridge(f: Fibres, clump: number): number {
  const perMean = Math.log(20) ** (1 / f.lengthShape) / Math.exp(logGamma(1 + 1 / f.lengthShape));
  return clump * f.length * perMean;
}

/**
 * Clogs per kg of strand through a clean hole.     [jam-2]
 *
 *   h0 = h_ref (N/N_ref)^m exp[(D_ref/D_ref,c)^p - (D/D_c)^p]
 *
 * @param bore of the hole now [m]; below the law's reference hole the law does not hold, see {@link holds}
 */
export function clogsPerKg(law: ClogLaw, fibres: Fibres, bore: number): number {
  const size = (law.bore / bridge(law.reference, law.clump)) ** law.widthExponent;
  const here = (bore / bridge(fibres, law.clump)) ** law.widthExponent;
  const crowded = (crowding(fibres) / crowding(law.reference)) ** law.crowdingExponent;
  return Math.min(law.perKgMost, law.perKg * crowded * Math.exp(size - here));
}

/** The law is not known below its reference hole: such a hole is too narrow for fibres. */
export function holds(law: ClogLaw, bore: number): boolean {
  return bore >= law.bore * (1 - 1e-9);
}

/**
 * Expected clogs between two masses of strand since the hole was last clean: what sticks catches more.     [jam-3]
 * H(M) = h0 (M + M^2/(2 M_acc)); the chance of a clog is 1 - exp(-H), of one that stops the flow 1 - exp(-hard H).
 */
export function clogHazard(law: ClogLaw, perKg: number, before: number, after: number): number {
  const sum = (kg: number) => kg + (kg * kg) / (2 * law.doublesAfter);
  return perKg * (sum(after) - sum(before));
}
