import { stepAcross, stepAlong } from '../numerics/chains.ts';
import { type Air, gearTemperature } from './air.ts';
import { type Column, cellsBelow } from './column.ts';
import type { Model } from './model.ts';
import { TABLE_FROM } from './strand.ts';

/** Strand above the sink to the air at the gears [W/(m2 K)]. */
const ABOVE_SINK_COEFFICIENT = 12;

/**
 * Wall temperature that each cell faces, into `scratch.wallSeen`, and the ends of the zones.
 * Melt zone: the nozzle; break: its wall; bore of the sink: the sink, warmed by the break over `spreadLength`.
 */
export type Zones = { throat: number; breakTop: number; sinkTop: number };
export function faceWall(model: Model, column: Column, air: Air, zones: Zones): void {
  const { hotEnd, grid, breakBin, breakBins, cells } = model;
  const { wallSeen, spread } = model.scratch;
  const throat = cellsBelow(model, column, 0);
  const breakTop = cellsBelow(model, column, hotEnd.breakLength);
  const sinkTop = cellsBelow(model, column, hotEnd.breakLength + hotEnd.sinkLength);
  wallSeen.fill(air.nozzle, 0, throat);
  const bottom = -hotEnd.meltLength - column.offset + 0.5 * grid.cell;
  const perBin = 1 / breakBin;
  for (let i = throat; i < breakTop; i++) {
    const k = ((bottom + i * grid.cell) * perBin) | 0;
    wallSeen[i] = column.wall[k < breakBins ? k : breakBins - 1]!;
  }
  const first = bottom + breakTop * grid.cell - hotEnd.breakLength;
  const rise = (column.wall[breakBins - 1]! - column.sink) * Math.exp(-first / hotEnd.spreadLength);
  for (let i = breakTop; i < sinkTop; i++) wallSeen[i] = column.sink + rise * spread[i - breakTop]!;
  wallSeen.fill(gearTemperature(model, air), sinkTop, cells);
  zones.throat = throat;
  zones.breakTop = breakTop;
  zones.sinkTop = sinkTop;
}

/**
 * Heat in the strand over one step: first across, with the wall, then along. Each half is implicit in the temperature
 * with the heat capacity of the old one, and is booked in the enthalpy, so that no heat is lost where the capacity
 * changes on the way; the temperature then follows from the enthalpy.     [hot-end-1]
 *
 * Leaves the mean heat from each wall bin into the strand in `scratch.wallHeat` [W] and adds to the column's books.
 */
export function stepHeat(model: Model, column: Column, zones: Zones, dt: number): void {
  const { cells, shells, scratch, grid, hotEnd, gapConductance, gapFull, breakBin, breakBins } = model;
  const { wallSeen, wallJoint, joint, alongJoint, solved, carry, capacity, wallHeat } = scratch;
  const n = shells.count;
  const { throat, breakTop, sinkTop } = zones;
  const around = Math.PI * hotEnd.strandDiameter;
  for (let j = 0; j < n; j++) {
    joint[j] = j < n - 1 ? shells.conductance[j]! * dt : 0;
    alongJoint[j] = model.along[j]! * dt;
  }
  const free = 1 / gapConductance;
  for (let i = 0; i < sinkTop; i++) {
    const fill = column.fill[i]!;
    wallJoint[i] = (around * dt) / ((1 - fill) * free + fill * gapFull + shells.skin);
  }
  wallJoint.fill((around * dt) / (1 / ABOVE_SINK_COEFFICIENT + shells.skin), sinkTop, cells);

  fillCapacity(model, column);
  stepAcross(cells, n, capacity, joint, wallJoint, wallSeen, solved, carry);
  const outer = n - 1;
  // wallJoint holds conductance times step: the product is the heat of the step per metre of strand.
  let melt = 0;
  for (let i = 0; i < throat; i++) melt += wallJoint[i]! * (wallSeen[i]! - solved[i * n + outer]!);
  wallHeat.fill(0);
  const bottom = -hotEnd.meltLength - column.offset + 0.5 * grid.cell;
  const perBin = 1 / breakBin;
  const watts = grid.cell / dt;
  let breakHeat = 0;
  for (let i = throat; i < breakTop; i++) {
    const k = ((bottom + i * grid.cell) * perBin) | 0;
    const q = wallJoint[i]! * (wallSeen[i]! - solved[i * n + outer]!);
    wallHeat[k < breakBins ? k : breakBins - 1]! += q * watts;
    breakHeat += q;
  }
  let sinkHeat = 0;
  for (let i = breakTop; i < sinkTop; i++)
    sinkHeat += wallJoint[i]! * (wallSeen[i]! - solved[i * n + outer]!);
  wallHeat[breakBins] = sinkHeat * watts;
  let aboveHeat = 0;
  for (let i = sinkTop; i < cells; i++) aboveHeat += wallJoint[i]! * (wallSeen[i]! - solved[i * n + outer]!);
  column.heatMelt += melt * grid.cell;
  column.heatBreak += breakHeat * grid.cell;
  column.heatSink += sinkHeat * grid.cell;
  column.heatAbove += aboveHeat * grid.cell;
  book(model, column, true);

  stepAlong(cells, n, capacity, alongJoint, solved, carry);
  book(model, column, false);
}

/** Heat capacity per metre of each shell at its temperature, and a copy of the temperatures to solve on. */
function fillCapacity(model: Model, column: Column): void {
  const { cells, lineMass, tables } = model;
  const n = model.shells.count;
  const { capacity, solved } = model.scratch;
  const table = tables.capacity;
  const T = column.temperature;
  for (let i = 0, m = 0; i < cells; i++) {
    for (let j = 0; j < n; j++, m++) {
      const value = T[m]!;
      const u = value - (TABLE_FROM + 0.5);
      const k = u | 0;
      const low = table[k]!;
      capacity[m] = lineMass[j]! * (low + (u - k) * (table[k + 1]! - low));
      solved[m] = value;
    }
  }
}

/**
 * Puts the heat of a half step into the enthalpy: capacity times the rise is what flowed in, to rounding. With `again`
 * it leaves capacity and temperatures ready for the other half.
 */
function book(model: Model, column: Column, again: boolean): void {
  const { cells, lineMass, lineMassInverse, tables } = model;
  const n = model.shells.count;
  const { capacity, solved } = model.scratch;
  const { inverse, inversePerJoule, capacity: table } = tables;
  const T = column.temperature;
  const h = column.enthalpy;
  for (let i = 0, m = 0; i < cells; i++) {
    for (let j = 0; j < n; j++, m++) {
      const next = h[m]! + capacity[m]! * lineMassInverse[j]! * (solved[m]! - T[m]!);
      h[m] = next;
      const u = next * inversePerJoule;
      const k = u | 0;
      const low = inverse[k]!;
      const value = low + (u - k) * (inverse[k + 1]! - low);
      T[m] = value;
      if (!again) continue;
      const v = value - (TABLE_FROM + 0.5);
      const l = v | 0;
      const slope = table[l]!;
      capacity[m] = lineMass[j]! * (slope + (v - l) * (table[l + 1]! - slope));
      solved[m] = value;
    }
  }
}
