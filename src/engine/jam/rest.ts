import { GAS_CONSTANT } from '../air/constants.ts';

/** How long melt may rest hot: the rest after which 1 restart in 20 gives trouble, and how it grows on. */
export type RestLaw = Readonly<{
  /** At `at` [s]. */
  allowed: number;
  at: number;
  /** Energy of decay [J/mol]. */
  energy: number;
  shape: number;
}>;

/** Chance of trouble that the allowed rest stands for. */
const CHANCE_AT_ALLOWED = 0.05;
const LN_HOLDS = Math.log(1 - CHANCE_AT_ALLOWED);

/** Rest after which 1 restart in 20 gives trouble at a temperature [s].     [jam-7] */
export function allowedRest(law: RestLaw, temperature: number): number {
  return law.allowed * Math.exp((law.energy / GAS_CONSTANT) * (1 / temperature - 1 / law.at));
}

/** Dose in units of the allowed rest: sum of time over the allowed rest at each temperature.     [jam-7] */
export function restDose(
  law: RestLaw,
  held: readonly Readonly<{ temperature: number; time: number }>[],
): number {
  return held.reduce((sum, { temperature, time }) => sum + time / allowedRest(law, temperature), 0);
}

/** Chance that the restart gives trouble, 1 - 0.95^(dose^shape).     [jam-7] */
export function restChance(law: RestLaw, dose: number): number {
  return -Math.expm1(LN_HOLDS * dose ** law.shape);
}

/** Time at a temperature that costs a chance [s]: the window of the moment "unload", and where hot and full are equal. [jam-8] */
export function restFor(law: RestLaw, temperature: number, chance: number): number {
  return allowedRest(law, temperature) * (Math.log1p(-chance) / LN_HOLDS) ** (1 / law.shape);
}

/** What to do at the end of a print with the hot end, and what it costs. */
export type EndChoice = Readonly<{ how: 'unload' | 'hold' | 'cool full'; chance: number }>;

/** Holding is warmest just above melting [K]. */
const HOLD_ABOVE_MELTING = 10;

/** The temperature to hold at when nobody can unload [K]. */
export function holdAt(meltsAt: number): number {
  return meltsAt + HOLD_ABOVE_MELTING;
}

/**
 * Unload where somebody is there; else the less of cooling full and holding just above melting until hands are back. [jam-8]
 * @param back time until hands are back [s]; 0: somebody is there
 * @param full chance that a hot end cooled full stops the next start
 */
export function chooseEnd(law: RestLaw, meltsAt: number, back: number, full: number): EndChoice {
  if (back <= 0) return { how: 'unload', chance: 0 };
  const hold = restChance(law, restDose(law, [{ temperature: holdAt(meltsAt), time: back }]));
  return hold < full ? { how: 'hold', chance: hold } : { how: 'cool full', chance: full };
}

/**
 * Share that decomposes per second, first order, from the temperature at which the rate peaks when heated evenly
 * (Kissinger 1957, from memory): k(T) = (beta E/(R Tp^2)) exp(E/R (1/Tp - 1/T)).
 */
export function decompositionRate(
  energy: number,
  peak: number,
  heating: number,
  temperature: number,
): number {
  const inverse = energy / GAS_CONSTANT;
  return ((heating * inverse) / peak ** 2) * Math.exp(inverse * (1 / peak - 1 / temperature));
}
