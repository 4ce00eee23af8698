import { GAS_CONSTANT, MOLAR_MASS_WATER } from './constants.ts';
import { saturationPressure } from './saturation.ts';

/**
 * Relative humidity of room air that is warmed or cooled and keeps its vapour pressure [air-5].
 *
 *   rh(T) = rh_room psat(T_room)/psat(T)
 *
 * @returns share of saturation; above 1 where the air would have to condense
 */
export function heatedHumidity(roomTemperature: number, roomHumidity: number, temperature: number): number {
  return (roomHumidity * saturationPressure(roomTemperature)) / saturationPressure(temperature);
}

/** Mass of water vapour by volume [kg/m3], ideal gas: rho_v = p M/(R T) [air-6]. */
export function vapourDensity(vapourPressure: number, temperature: number): number {
  return (vapourPressure * MOLAR_MASS_WATER) / (GAS_CONSTANT * temperature);
}

/**
 * Diffusivity of water vapour in air at 101325 Pa [m2/s] [air-7].
 *
 *   D_v = 2.178e-5 (T/273.15)^1.81
 *
 * Source: form and constants of Massman 1998 (Atmospheric Environment 32, 1111), from memory.
 */
export function vapourDiffusivity(temperature: number): number {
  return vapourDiffusivityFromLn(Math.log(temperature));
}

const LN_ZERO_CELSIUS = Math.log(273.15);

/** The same from ln T, for loops that have it from the saturation pressure. */
export function vapourDiffusivityFromLn(lnTemperature: number): number {
  return 2.178e-5 * Math.exp(1.81 * (lnTemperature - LN_ZERO_CELSIUS));
}
