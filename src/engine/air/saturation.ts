/**
 * Saturation pressure for inner loops: a local copy of one published equation, without the range checks and the
 * branch for ice of the package it is checked against.
 */

/** Range of ASHRAE eq. (6) [K]. */
export const SATURATION_FROM = 273.15;
export const SATURATION_UNTIL = 473.15;

/**
 * Saturation pressure of water vapour over liquid water [air-1].
 *
 *   ln p = -5800.2206/T + 1.3914993 - 0.048640239 T + 4.1764768e-5 T^2 - 1.4452093e-8 T^3 + 6.5459673 ln T
 *
 * @param temperature   T [K], 273.15 .. 473.15; not checked here
 * @param lnTemperature ln T, where the caller has it already
 * @returns [Pa]
 *
 * Source: ASHRAE Handbook Fundamentals 2017, ch. 1, eq. (6) (after Hyland and Wexler 1983).
 */
export function saturationPressure(temperature: number, lnTemperature = Math.log(temperature)): number {
  return Math.exp(
    -5.8002206e3 / temperature +
      1.3914993 +
      temperature * (-4.8640239e-2 + temperature * (4.1764768e-5 - 1.4452093e-8 * temperature)) +
      6.5459673 * lnTemperature,
  );
}
