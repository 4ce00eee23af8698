import psychrolib from 'psychrolib';
import { ZERO_CELSIUS } from './constants.ts';

/**
 * Moist air by the published ASHRAE relations: the one file that calls `psychrolib`, which has a global switch for
 * its units. It is set here, once.
 */
psychrolib.SetUnitSystem(psychrolib.SI);

/**
 * Saturation pressure of water vapour over liquid water, or over ice below 0.01 C [air-1].
 *
 * @param temperature [K], 173.15 .. 473.15
 * @returns [Pa]
 * @throws Error outside this range (from the package)
 *
 * Source: ASHRAE Handbook Fundamentals 2017, ch. 1, eqs. (5) and (6).
 */
export function saturationByHandbook(temperature: number): number {
  return psychrolib.GetSatVapPres(temperature - ZERO_CELSIUS);
}

/**
 * Temperature at which air of this vapour pressure begins to condense [air-2].
 *
 * @param temperature     of the air [K]: the upper bound of the answer
 * @param vapourPressure  [Pa], > 0
 * @returns [K]
 * @throws Error where the vapour pressure lies outside saturation at 173.15 .. 473.15 K
 *
 * Source: inverse of ASHRAE eqs. (5) and (6) by Newton's method in ln p.
 */
export function dewPoint(temperature: number, vapourPressure: number): number {
  return psychrolib.GetTDewPointFromVapPres(temperature - ZERO_CELSIUS, vapourPressure) + ZERO_CELSIUS;
}

/**
 * Mass of water by mass of dry air [air-3].
 *
 * @param vapourPressure [Pa], >= 0, below `pressure`
 * @param pressure       of the moist air [Pa]
 * @returns [kg/kg]
 *
 * Source: ASHRAE Handbook Fundamentals 2017, ch. 1, eq. (20).
 */
export function humidityRatio(vapourPressure: number, pressure: number): number {
  return psychrolib.GetHumRatioFromVapPres(vapourPressure, pressure);
}
