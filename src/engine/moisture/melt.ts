import { GAS_CONSTANT, MOLAR_MASS_WATER, STANDARD_PRESSURE } from '../air/constants.ts';

/** What water does in the melt: steam, foam and the ends of chains. A sign, a word and a bound, never a strength. */
export type Melt = Readonly<{
  /** S270: steam that the melt holds at 270 C [wt% of polymer at 101325 Pa], dHs: its heat [J/mol]. */
  solubilityPercent: number;
  solubilityHeat: number;
  /** Surface tension [N/m] and radius of the seeds of bubbles [m]. */
  surfaceTension: number;
  seedRadius: number;
  /** Factor on the amidation constant. */
  chainFactor: number;
}>;

const REFERENCE_MELT = 543.15; // 270 C, where the solubility is given
/** Calories in a gas constant of 1.9872 cal/(mol K): the published fit of K is in calories. */
const GAS_CONSTANT_CALORIES = 1.9872;

/** S(T) = S270 exp[(dHs/R)(1/T - 1/543.15)]: wt% of polymer under 101325 Pa of steam [moisture-17]. */
export function steamSolubilityPercent(melt: Melt, temperature: number): number {
  return (
    melt.solubilityPercent *
    Math.exp((melt.solubilityHeat / GAS_CONSTANT) * (1 / temperature - 1 / REFERENCE_MELT))
  );
}

/**
 * Steam pressure at balance over the melt, Henry's law [Pa] [moisture-17]: p = 101325 (w/wp)/S(T).
 *
 * @param share        water in the wet strand, 0..1
 * @param polymerShare wp, 0..1
 */
export function steamOverMelt(melt: Melt, share: number, polymerShare: number, temperature: number): number {
  return (STANDARD_PRESSURE * 100 * (share / polymerShare)) / steamSolubilityPercent(melt, temperature);
}

/** F = p/(P + 2 sigma/r): the melt foams above about 1 [moisture-18]. */
export function foamSign(melt: Melt, steam: number, pressure: number): number {
  return steam / (pressure + (2 * melt.surfaceTension) / melt.seedRadius);
}

/** Bands chosen here, no source: below 0.7 calm, up to 1.3 watch, above it foams. */
export function foamWord(sign: number): 'calm' | 'watch' | 'foams' {
  return sign < 0.7 ? 'calm' : sign <= 1.3 ? 'watch' : 'foams';
}

/** Amidation constant K(T) = K_mult exp((0.94374 + 5945.8/T)/1.9872) [-] (Arai et al. 1981, from memory) [moisture-19]. */
export function amidationConstant(melt: Melt, temperature: number): number {
  return melt.chainFactor * Math.exp((0.94374 + 5945.8 / temperature) / GAS_CONSTANT_CALORIES);
}

/**
 * Number-average molar mass with water at balance [kg/mol], a bound: x = sqrt(8.85 [H2O]/K) mol of ends by kg,
 * Mn = 1/x [moisture-19]. 8.85 mol of amide links in 1 kg of polyamide 6. Infinite when dry.
 */
export function balanceMolarMass(
  melt: Melt,
  share: number,
  polymerShare: number,
  temperature: number,
): number {
  const water = share / polymerShare / MOLAR_MASS_WATER;
  return 1 / Math.sqrt((8.85 * water) / amidationConstant(melt, temperature));
}
