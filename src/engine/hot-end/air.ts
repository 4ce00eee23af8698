import type { Model } from './model.ts';
import { seriesAt } from './parameters.ts';

/** What surrounds the head at one moment; written in place, so that stepping allocates nothing. */
export type Air = { nozzle: number; chamber: number; air: number; partFan: number };

/** Air round the head: chamber air plus what hangs round the block, stirred away by the part fan.     [hot-end-5] */
export function airAt(model: Model, t: number, into: Air): Air {
  const { surroundings, hotEnd } = model;
  into.nozzle = seriesAt(surroundings.nozzle, t);
  into.chamber = seriesAt(surroundings.chamber, t);
  into.partFan = seriesAt(surroundings.partFan, t);
  into.air = into.chamber + hotEnd.recirculation * Math.max(0, 1 - hotEnd.fanStirring * into.partFan);
  return into;
}

export function gearTemperature(model: Model, air: Air): number {
  return air.chamber + model.hotEnd.gearWarmth;
}

/** A sink fan that stands still still leaves some draught; exponent of forced convection over plates; part fan's help. */
const FAN_LEAST = 0.08;
const FAN_EXPONENT = 0.6;
const PART_FAN_HELP = 0.15;

/** Conductance from sink to air [W/K].     [hot-end-5] */
export function sinkConductance(sinkResistance: number, sinkFan: number, partFan: number): number {
  return (Math.max(FAN_LEAST, sinkFan) ** FAN_EXPONENT * (1 + PART_FAN_HELP * partFan)) / sinkResistance;
}
