/** Standard uncertainty of the modulus of one bar, by propagation (GUM, JCGM 100). */

/** Relative standard uncertainty of a class of n %: even odds between -n and n. */
export function ofClass(percent: number): number {
  return percent / 100 / Math.sqrt(3);
}

/**
 *   u^2(E)/E^2 = u^2(s)/s^2 + u_ext^2 + (se/E)^2     [curves-16]
 *
 * The stress part (force cell, width, thickness), the extensometer and the standard error of the slope, each relative.
 *
 * @param slopeError standard error of the regression [Pa]
 * @returns relative standard uncertainty [-]
 */
export function modulusUncertainty(
  stressRelative: number,
  extensometerRelative: number,
  modulus: number,
  slopeError: number,
): number {
  return Math.hypot(stressRelative, extensometerRelative, slopeError / modulus);
}
