import { glassTransition, type Polymer } from '../moisture/polymer.ts';

/** When a strand breaks in bending; plain data from cards. */
export type Toughness = Readonly<{
  /** eps_g, eps_r: outer strain at break deep in the glass and above its transition. */
  strainCold: number;
  strainWarm: number;
  /** T_off [K]: middle of the change above the glass transition; w_brk [K]: its width. */
  offset: number;
  width: number;
  /** m_w: Weibull modulus of the brittle share. */
  scatter: number;
  /** L0 [m]: length for which the strains are given. */
  length: number;
}>;

/** s = 1/(1 + exp(-(T - Tg(c) - T_off)/w_brk)): 0 brittle, 1 tough [feed-3]. */
export function toughShare(
  polymer: Polymer,
  toughness: Toughness,
  temperature: number,
  water: number,
): number {
  const above = temperature - glassTransition(polymer, water) - toughness.offset;
  return 1 / (1 + Math.exp(-above / toughness.width));
}

/**
 * Median outer strain at break of a strand [feed-3].
 *
 *   e_b = [eps_g + (eps_r - eps_g) s] (L0/L)^((1 - s)/m_w)
 *
 * Every metre passes every bend, so the weakest of L/L0 pieces counts, in the brittle share alone (a choice: tough
 * strand yields before a flaw matters). Water and warmth make the strand tougher.
 *
 * @param water  of the polymer [kg/kg]
 * @param passed L [m]: strand that has passed; up to L0 there is one piece, and no size effect
 * Source of the size effect: Weibull 1951 (from memory).
 */
export function strainAtBreak(
  polymer: Polymer,
  toughness: Toughness,
  temperature: number,
  water: number,
  passed: number,
): number {
  const s = toughShare(polymer, toughness, temperature, water);
  const strain = toughness.strainCold + (toughness.strainWarm - toughness.strainCold) * s;
  if (passed <= toughness.length) return strain;
  return strain * (toughness.length / passed) ** ((1 - s) / toughness.scatter);
}
