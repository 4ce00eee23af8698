import { type Air, airAt, gearTemperature } from './air.ts';
import type { Column } from './column.ts';
import type { Model } from './model.ts';
import type { Print } from './print.ts';
import type { Sums } from './simulate.ts';
import { residueAfter, wallAtRing, wornOver } from './skin.ts';
import { stepWall } from './wall.ts';

/** Steps of break and sink across a leap [s]: the sink's time constant is about 50 s, and Euler's error dies out. */
const WALL_STEP = 5;
/** Below this difference of sink and gears the sink's heat into the strand is not scaled with it [K]. */
const DIFFERENCE_LEAST = 2;
/** The scaled heat stays within this of what was measured. */
const SCALE_MOST = 3;

/** What a leap has to know of the window before it. */
export type Pace = {
  /** Mean heat into the strand, from each wall bin of the break, then the sink [W]. */
  heat: Float64Array;
  /** Mean sink over gears [K]. */
  sinkOverGear: number;
  /** Laid on each ring by one return, were it free. */
  laidPerReturn: Float64Array;
};

export function paceOf(sums: Sums, before: Pace | null): Pace {
  const { time, returns } = sums;
  return {
    heat: sums.heat.map((heat) => heat / time),
    sinkOverGear: sums.sinkOverGear / time,
    // A window without a return says nothing about returns: the last one that had some stands.
    laidPerReturn:
      returns > 0
        ? sums.laid.map((laid) => laid / returns)
        : (before?.laidPerReturn ?? new Float64Array(sums.laid.length)),
  };
}

/** What a leap did to the residue, so that it can be done again with a better pace. */
export type Leap = { before: Float64Array; after: Float64Array; returns: number; worn: Float64Array };

const AIR: Air = { nozzle: 0, chamber: 0, air: 0, partFan: 0 };

/**
 * Carries a column over segments from..to-1 that are not followed. Strand and contact stay as they are and settle in
 * the next window; break and sink are stepped with the mean heat of the window before; residue is exact.     [hot-end-19]
 */
export function leap(model: Model, print: Print, column: Column, from: number, to: number, pace: Pace): Leap {
  const start = print.start[from]!;
  const time = print.start[to]! - start;
  const steps = Math.max(1, Math.ceil(time / WALL_STEP));
  const dt = time / steps;
  const heat = pace.heat.slice();
  const last = model.breakBins;
  for (let k = 0; k < steps; k++) {
    airAt(model, start + (k + 1) * dt, AIR);
    // A strand that enters at the gears' temperature takes up heat in proportion to sink over gears.
    if (pace.sinkOverGear > DIFFERENCE_LEAST) {
      const scale = (column.sink - gearTemperature(model, AIR)) / pace.sinkOverGear;
      heat[last] = pace.heat[last]! * Math.min(Math.max(scale, 0), SCALE_MOST);
    }
    column.sink = stepWall(model, column.wall, column.sink, AIR, heat, dt);
  }
  const fed = print.fed[to]! - print.fed[from]!;
  const returns = print.returns[to]! - print.returns[from]!;
  const before = column.residue.slice();
  const worn = before.map((_, ring) =>
    wornOver(
      fed,
      model.contact.scrapeLength,
      wallAtRing(model, column, ring) > model.tables.residueBelow ? time : 0,
    ),
  );
  cover(column, before, pace.laidPerReturn, returns, worn);
  return { before, after: column.residue.slice(), returns, worn };
}

/**
 * Once the next window shows its own pace, the leap is done again with the mean of both: the trapezoidal rule. It can be
 * corrected once more when the window knows its pace better.
 */
export function correctLeap(column: Column, done: Leap, before: Pace, after: Pace): void {
  const mean = before.laidPerReturn.map((laid, ring) => (laid + after.laidPerReturn[ring]!) / 2);
  for (let ring = 0; ring < mean.length; ring++) {
    const better = residueAfter(done.before[ring]!, mean[ring]! * done.returns, done.worn[ring]!);
    const value = column.residue[ring]! + better - done.after[ring]!;
    done.after[ring] = better;
    column.residue[ring] = Math.min(1, Math.max(0, value));
    if (column.residue[ring]! > 0 && ring > column.residueTop) column.residueTop = ring;
  }
}

function cover(
  column: Column,
  before: Float64Array,
  laidPerReturn: Float64Array,
  returns: number,
  worn: Float64Array,
): void {
  for (let ring = 0; ring < before.length; ring++) {
    const next = residueAfter(before[ring]!, laidPerReturn[ring]! * returns, worn[ring]!);
    column.residue[ring] = next;
    if (next > 0 && ring > column.residueTop) column.residueTop = ring;
  }
}
