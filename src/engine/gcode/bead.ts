/**
 * Bead as a flat strip with half-round sides.
 *
 *   S = V/L,  w = S/h + h (1 - pi/4)                                                              [gcode-6]
 *
 * @param volume laid [mm3]
 * @param length L of the way [mm], > 0
 * @param height h of the layer [mm], > 0
 * @returns section [mm2] and width [mm]. Source: analytic.
 */
export function bead(volume: number, length: number, height: number): { section: number; width: number } {
  const section = volume / length;
  return { section, width: beadWidth(section, height) };
}

/** Width of a bead of the section S [mm2] in a layer of height h [mm]. */
export function beadWidth(section: number, height: number): number {
  return section / height + height * (1 - Math.PI / 4);
}

/** What heat needs to know of the polymer. */
export type Melt = Readonly<{ rhoKgM3: number; cJKgK: number; meltJKg: number; fromC: number; toC: number }>;

/**
 * Heat that laid polymer brings with it, above the reference temperature.
 *
 *   Q = V (rho c (Tn - Tref) + rho dH)                                                            [gcode-9]
 *
 * @param volumeMm3 V
 * @returns Q [J]. Source: analytic.
 */
export function laidHeat(volumeMm3: number, melt: Melt): number {
  const perKg = melt.cJKgK * (melt.fromC - melt.toC) + melt.meltJKg;
  return volumeMm3 * 1e-9 * melt.rhoKgM3 * perKg;
}
