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
  /** Strand fed from return to return [m]; 0 where nothing was returned yet. */
  fedPerReturn: number;
};

export function paceOf(sums: Sums, before: Pace | null): Pace {
  const { time, returns, fed } = sums;
  return {
    heat: sums.heat.map((heat) => heat / time),
    sinkOverGear: sums.sinkOverGear / time,
    // A window without a return says nothing about returns: the last one that had some stands.
    laidPerReturn:
      returns > 0
        ? sums.laid.map((laid) => laid / returns)
        : (before?.laidPerReturn ?? new Float64Array(sums.laid.length)),
    fedPerReturn: returns > 0 ? fed / returns : (before?.fedPerReturn ?? 0),
  };
}

/** What a leap did to the residue, so that it can be done again with a better pace. */
export type Leap = {
  before: Float64Array;
  after: Float64Array;
  returns: number;
  from: number;
  to: number;
  worn: Float64Array;
};

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
  return { before, after: column.residue.slice(), returns, from, to, worn };
}

/**
 * Once the next window shows its own pace, the leap is done again with both. Each return counts for the window whose
 * strand from return to return is more like its own, so that a change of the print counts from where it stands; where
 * both windows are alike, straight between them in time (the trapezoidal rule). It can be corrected once more when the
 * window knows its pace better.
 */
export function correctLeap(print: Print, column: Column, done: Leap, before: Pace, after: Pace): void {
  const place = placeOf(print, done, before.fedPerReturn, after.fedPerReturn);
  const mean = before.laidPerReturn.map(
    (laid, ring) => (1 - place) * laid + place * after.laidPerReturn[ring]!,
  );
  for (let ring = 0; ring < mean.length; ring++) {
    const better = residueAfter(done.before[ring]!, mean[ring]! * done.returns, done.worn[ring]!);
    const value = column.residue[ring]! + better - done.after[ring]!;
    done.after[ring] = better;
    column.residue[ring] = Math.min(1, Math.max(0, value));
    if (column.residue[ring]! > 0 && ring > column.residueTop) column.residueTop = ring;
  }
}

/** Paces closer than this, as a ratio, tell nothing about which is nearer. */
const ALIKE = 1.1;

/** Mean place of the returns of a leap between the window before, 0, and the window after, 1. */
function placeOf(print: Print, { from, to, returns }: Leap, fedBefore: number, fedAfter: number): number {
  if (returns === 0) return 0.5;
  const span = Math.log(fedAfter / fedBefore);
  const alike = !(fedBefore > 0 && fedAfter > 0 && Math.abs(span) > Math.log(ALIKE));
  const begin = print.start[from]!;
  const time = print.start[to]! - begin;
  let sum = 0;
  let fedAt = print.fed[from]!;
  for (let i = from; i < to; i++) {
    if (print.returns[i + 1]! === print.returns[i]!) continue;
    const fed = print.fed[i]! - fedAt;
    fedAt = print.fed[i]!;
    const place = alike || !(fed > 0) ? (print.start[i]! - begin) / time : Math.log(fed / fedBefore) / span;
    sum += Math.min(1, Math.max(0, place));
  }
  return sum / returns;
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
