/**
 * Heat of the moving strand in its tube: one temperature across the strand (Biot number below 0.2), steady.
 */

/** Tube round the strand: inner and outer diameter [m], its conductivity and that of the air in the gap [W/(m K)]. */
export type Tube = Readonly<{
  inside: number;
  outside: number;
  conductivity: number;
  airConductivity: number;
  /** Film outside, free convection and radiation [W/(m2 K)]. */
  film: number;
}>;

/** The strand that carries heat along: diameter [m], density [kg/m3], heat capacity [J/(kg K)], speed [m/s]. */
export type MovingStrand = Readonly<{
  diameter: number;
  density: number;
  heatCapacity: number;
  speed: number;
}>;

/**
 * Heat loss of the strand in its tube, by strand surface [W/(m2 K)] [feed-4]: gap, wall and film in series.
 *
 *   1/U = r ln(d_i/d)/k_air + r ln(d_o/d_i)/k_t + d/(d_o h_o),  r = d/2
 */
export function heatLoss(diameter: number, tube: Tube): number {
  const radius = 0.5 * diameter;
  return (
    1 /
    ((radius * Math.log(tube.inside / diameter)) / tube.airConductivity +
      (radius * Math.log(tube.outside / tube.inside)) / tube.conductivity +
      diameter / (tube.outside * tube.film))
  );
}

/** Length over which the excess temperature falls to 1/e [m]: rho cp d v/(4 U). */
export function coolingLength(strand: MovingStrand, loss: number): number {
  return (strand.density * strand.heatCapacity * strand.diameter * strand.speed) / (4 * loss);
}

/** T(x) = T_env + (T0 - T_env) exp(-4 U x/(rho cp d v)) [K] [feed-5]. */
export function temperatureAlong(start: number, surroundings: number, x: number, length: number): number {
  return surroundings + (start - surroundings) * Math.exp(-x / length);
}

/**
 * How far the strand stays warmer than needed [m] [feed-5]: (rho cp d v/4U) ln((T0 - T_env)/(T_need - T_env)).
 *
 * @returns 0 where it is not so warm at the start, Infinity where the surroundings are warm enough
 */
export function warmLength(start: number, surroundings: number, needed: number, length: number): number {
  if (needed <= surroundings && start >= needed) return Number.POSITIVE_INFINITY;
  if (start <= needed) return 0;
  return length * Math.log((start - surroundings) / (needed - surroundings));
}
