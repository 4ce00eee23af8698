import { MOLAR_MASS_WATER } from '../air/constants.ts';
import { type Polymer, strandDensity } from './polymer.ts';

/** Strand on a spool: a porous ring between two flanges, axis upright, z = 0 at the lower flange. SI. */
export type Winding = Readonly<{
  strandDiameter: number;
  /** phi: volume share of strand in the ring, below 1; see {@link solidShareOf}. */
  solidShare: number;
  /** Hub and outer winding [m], width between the flanges [m]. */
  innerRadius: number;
  outerRadius: number;
  width: number;
  /** Conductivity of the strand across and of the air between strands [W/(m K)]. */
  strandConductivity: number;
  airConductivity: number;
  /** Factors on the conduction and on the vapour paths of a regular pack. */
  conductionFactor: number;
  vapourFactor: number;
  /** Flanges: thickness [m], conductivity [W/(m K)], permeance for vapour [kg/(s m2 Pa)]; the hub is sealed. */
  flangeThickness: number;
  flangeConductivity: number;
  flangePermeance: number;
}>;

/** phi = m/(rho_s V) for a dry strand of this mass [moisture-10]. */
export function solidShareOf(
  mass: number,
  polymer: Polymer,
  size: Readonly<{ innerRadius: number; outerRadius: number; width: number }>,
): number {
  const volume = Math.PI * (size.outerRadius ** 2 - size.innerRadius ** 2) * size.width;
  return mass / (strandDensity(polymer) * volume);
}

/**
 * Conductivity of the pack [W/(m K)]: parallel cylinders in air (Rayleigh 1892), times the factor for contacts and
 * radiation [moisture-10].
 *
 *   k = k_mult k_a [(k_a + k_s) + phi (k_s - k_a)]/[(k_a + k_s) - phi (k_s - k_a)]
 */
export function packConductivity(w: Winding): number {
  const sum = w.airConductivity + w.strandConductivity;
  const gap = w.solidShare * (w.strandConductivity - w.airConductivity);
  return (w.conductionFactor * w.airConductivity * (sum + gap)) / (sum - gap);
}

/** D_e/D_v of vapour in the pores between parallel cylinders: De_mult eps/(1 + phi) [moisture-10]. */
export function poreShare(w: Winding): number {
  return (w.vapourFactor * (1 - w.solidShare)) / (1 + w.solidShare);
}

/**
 * Heat that takes 1 kg of water out of the polymer [J/kg]: evaporation near 60 C plus the excess heat of sorption,
 * L = 2.36e6 + dH/M [moisture-11]. The first number is that of water in steam tables (from memory).
 */
export function heatOfDrying(polymer: Polymer): number {
  return 2.36e6 + polymer.excessHeat / MOLAR_MASS_WATER;
}
