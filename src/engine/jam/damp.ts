import { GAS_CONSTANT, MOLAR_MASS_WATER, STANDARD_PRESSURE } from '../air/constants.ts';
import { normalShare } from '../numerics/normal.ts';

/** What damp does in the hot end, from the foam sign of the melt. */
export type DampLaw = Readonly<{
  popsAt: number;
  popsScatter: number;
  thinAt: number;
  thinScatter: number;
  /** Hard jams per second and unit of foam sign above 1. */
  hardRate: number;
  /** Share of yield stress lost at 0.8 wt %, and the power with which grip follows yield. */
  yieldLost: number;
  gripExponent: number;
}>;

/** Water at which the yield stress begins to fall, and over which it has fallen by all of `yieldLost` [kg/kg]. */
const SOFTENS_FROM = 0.001;
const SOFTENS_OVER = 0.007;

function above(sign: number, at: number, scatter: number): number {
  return sign > 0 ? normalShare(Math.log(sign / at) / scatter) : 0;
}

/** Chance of pops and strings, and of weak, gappy flow, by the foam sign.     [jam-10] */
export function popsChance(law: DampLaw, foam: number): number {
  return above(foam, law.popsAt, law.popsScatter);
}
export function thinChance(law: DampLaw, foam: number): number {
  return above(foam, law.thinAt, law.thinScatter);
}

/** Chance of a hard jam by steam over a time [s].     [jam-10] */
export function hardChance(law: DampLaw, foam: number, time: number): number {
  return -Math.expm1(-law.hardRate * Math.max(0, foam - 1) * time);
}

/** Factor on the grip by water in the strand [kg/kg]: damp's main way to a hard jam.     [jam-10] */
export function gripFactor(law: DampLaw, water: number): number {
  const share = Math.min(1, Math.max(0, (water - SOFTENS_FROM) / SOFTENS_OVER));
  return (1 - law.yieldLost * share) ** law.gripExponent;
}

/** Volume of steam over volume of melt at one atmosphere, w rho R T/(M p).     [jam-10] */
export function steamOverMelt(steam: number, density: number, temperature: number): number {
  return (steam * density * GAS_CONSTANT * temperature) / (MOLAR_MASS_WATER * STANDARD_PRESSURE);
}
