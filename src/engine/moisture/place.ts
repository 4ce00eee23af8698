import { GAS_CONSTANT, MOLAR_MASS_WATER } from '../air/constants.ts';
import { saturationPressure } from '../air/saturation.ts';
import { heatedHumidity } from '../air/vapour.ts';
import type { Sorbent } from './desiccant.ts';
import { balanceWater, type Polymer, strandShare } from './polymer.ts';

/** Desiccant in the box: dry mass [kg], water at the start [kg/kg], rate of uptake [1/s]. */
export type Desiccant = Readonly<{ mass: number; sorbent: Sorbent; start: number; rate: number }>;

type AnyPlace = Readonly<{
  /** Air around the spool [m3], changes of it by room air [1/s], permeance [kg/(s m2 Pa)] and area of its walls [m2]. */
  volume: number;
  airChanges: number;
  wallPermeance: number;
  wallArea: number;
  /** Air that leaks in, [K] and 0..1: its vapour pressure counts, also where the surroundings are warmer. */
  roomTemperature: number;
  roomHumidity: number;
  /** What the box stands in [K]: room, or a warm chamber. */
  surroundings: number;
  /** Films on the spool and in its hub [W/(m2 K)]. */
  film: number;
  hubFilm: number;
  desiccant: Desiccant | null;
  /** Air in the box at the start [K], [Pa]; missing: as warm as the surroundings, as moist as the room. */
  airStart?: number;
  vapourStart?: number;
}>;

/** Spool with its lower flange on a heated bed, under a cover. */
export type BedPlace = AnyPlace &
  Readonly<{
    mode: 'bed';
    /** Bed wanted, at the start [K], and how fast it rises [K/s]. */
    bedTemperature: number;
    bedStart: number;
    bedRamp: number;
    /** Bed beside the spool under the cover [m2], film over it, contact with the flange [W/(m2 K)]. */
    bedArea: number;
    bedFilm: number;
    contact: number;
    /** Losses of the cover [W/(m2 K)] and heat that it and its air hold [J/K]. */
    wallLoss: number;
    wallHeat: number;
  }>;

/** Spool in air whose temperature is given: oven, dryer, heated box, sealed box, open room. */
export type AirPlace = AnyPlace &
  Readonly<{
    mode: 'air';
    /** Air wanted [K], reached from its start at this rate [K/s]. */
    airTemperature: number;
    airRamp: number;
  }>;

/** Where a spool can be; plain data. */
export type Place = BedPlace | AirPlace;

/** Vapour pressure of the room air [Pa]. */
export function roomVapour(place: Place): number {
  return place.roomHumidity * saturationPressure(place.roomTemperature);
}

/** Water that leaves the box by leaks and through walls, by vapour pressure above the room's [kg/(s Pa)] [moisture-12]. */
export function leakage(place: Place, airTemperature: number): number {
  const byAir = (place.volume * place.airChanges * MOLAR_MASS_WATER) / (GAS_CONSTANT * airTemperature);
  return byAir + place.wallPermeance * place.wallArea;
}

/**
 * Floor of a place: share of water in the strand at balance with heated room air, below which it cannot dry and above
 * which it does not stay for long [moisture-13]. A desiccant can bring it lower.
 *
 * @param temperature of the air at the strand [K]
 */
export function floorOfPlace(
  polymer: Polymer,
  temperature: number,
  roomTemperature: number,
  roomHumidity: number,
): number {
  const humidity = Math.min(heatedHumidity(roomTemperature, roomHumidity, temperature), 1);
  return strandShare(balanceWater(polymer, temperature, humidity), polymer.fibreShare);
}
