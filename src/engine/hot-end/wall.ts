import { solveTridiagonal } from '../numerics/tridiagonal.ts';
import { type Air, sinkConductance } from './air.ts';
import type { Model } from './model.ts';

/**
 * Break and sink over one step, implicit Euler; heat given to the strand is explicit.     [hot-end-4]
 *
 *   break   rho c A dT/dt = d/dx(k A dT/dx) - q,      half a cell to the nozzle's temperature below,
 *                                                     half a cell and the contact in series to the sink above
 *   sink    C dT/dt = (T_last - T)/(R_contact + half a cell) + G_leak (T_n - T) - G_s (T - T_air) - q
 *
 * @param dt   step [s]; Infinity gives the steady state
 * @param heat into the strand from each cell of the break, then from the sink [W]
 * @returns the sink at the end of the step [K]; `scratch.wallGained[0]` is the heat that came into break and sink from
 *   nozzle and air [J], 0 for the steady state
 */
export function stepWall(
  model: Model,
  wall: Float64Array,
  sink: number,
  air: Air,
  heat: Float64Array,
  dt: number,
): number {
  const { hotEnd, breakBins, breakBin, wallArea, scratch } = model;
  const { below, diagonal, above, right, wallScratch } = scratch;
  const last = breakBins - 1;
  const joint = (hotEnd.breakConductivity * wallArea) / breakBin;
  const toSink = 1 / (hotEnd.contactResistance + 0.5 / joint);
  const toAir = sinkConductance(hotEnd.sinkResistance, model.surroundings.sinkFan, air.partFan);
  const perBin = (hotEnd.breakHeatCapacity * wallArea * breakBin) / dt;
  for (let k = 0; k <= last; k++) {
    const down = k === 0 ? 2 * joint : joint;
    const up = k === last ? toSink : joint;
    below[k] = -down;
    above[k] = -up;
    diagonal[k] = perBin + down + up;
    right[k] = perBin * wall[k]! - heat[k]!;
  }
  right[0]! += 2 * joint * air.nozzle;
  const sinkCapacity = hotEnd.sinkHeatCapacity / dt;
  below[breakBins] = -toSink;
  diagonal[breakBins] = sinkCapacity + toSink + hotEnd.leak + toAir;
  right[breakBins] = sinkCapacity * sink + hotEnd.leak * air.nozzle + toAir * air.air - heat[breakBins]!;
  solveTridiagonal(breakBins + 1, below, diagonal, above, right, wallScratch);
  for (let k = 0; k <= last; k++) wall[k] = right[k]!;
  const next = right[breakBins]!;
  const flow =
    2 * joint * (air.nozzle - wall[0]!) + hotEnd.leak * (air.nozzle - next) - toAir * (next - air.air);
  scratch.wallGained[0] = Number.isFinite(dt) ? flow * dt : 0;
  return next;
}
