import { type Air, airAt, gearTemperature } from './air.ts';
import { type Column, cellsBelow, meanTemperature, moveStrand } from './column.ts';
import { faceWall, stepHeat, type Zones } from './heat.ts';
import { march } from './march.ts';
import type { Model } from './model.ts';
import { type Nozzle, nozzlePressure } from './nozzle.ts';
import { seriesAt } from './parameters.ts';
import { PRINT, type Print, RETRACT, RETURN } from './print.ts';
import { layResidue, residueLength, stepSkin, wearResidue } from './skin.ts';
import { atTemperature } from './strand.ts';
import { stepWall } from './wall.ts';

/** A retraction and its return are cut in at least this many steps. */
const STROKE_STEPS = 4;
/** A segment is not cut once more for rounding of its length in steps. */
const STEP_SLACK = 1e-9;
/** Pressure falls this much slower at rest than it follows the flow. */
const REST_SLOWER = 4;
/** Least push asked for, and given [N]: a strand that moves freely has a large margin, not an infinite one; a drive whose
 * whole grip goes into the way to it a small one, not none, so that ratios of two grids exist. */
const FORCE_LEAST = 0.05;
/** Margins before this are not judged: the hot end is still settling [s]. */
export const JUDGED_FROM = 60;
/** A cell belongs to the front where it is molten through or fuller than this. */
const FRONT_FILL = 0.5;
/** Temperature at which the grip is given [K]. */
const GRIP_GIVEN_AT = 298.15;

/** What a stretch of print leaves behind: the instant of least margin, and the highest front. */
export type Row = {
  margin: number;
  at: number;
  /** At that instant: push asked for, push there, push of the nozzle's pressure [N]. */
  force: number;
  available: number;
  nozzleForce: number;
  /** Top of the touching polymer above the throat [m]. */
  front: number;
  /** At the end of the stretch: sink [K] and residue [m of full ring]. */
  sink: number;
  residue: number;
};

export function emptyRow(): Row {
  return { margin: Infinity, at: 0, force: 0, available: 0, nozzleForce: 0, front: 0, sink: 0, residue: 0 };
}

/** Sums over a stretch, for the leap to the next window; arrays are the caller's. */
export type Sums = {
  time: number;
  /** Heat into the strand from each wall bin of the break, then the sink [J]. */
  heat: Float64Array;
  /** Sink over gears, times time [K s]. */
  sinkOverGear: number;
  returns: number;
  /** Strand fed while printing [m]. */
  fed: number;
  /** Laid on each ring by all returns, were it free. */
  laid: Float64Array;
};

export function emptySums(model: Model): Sums {
  return {
    time: 0,
    heat: new Float64Array(model.breakBins + 1),
    sinkOverGear: 0,
    returns: 0,
    fed: 0,
    laid: new Float64Array(model.wallBins),
  };
}

export function clearSums(sums: Sums): void {
  sums.time = 0;
  sums.sinkOverGear = 0;
  sums.returns = 0;
  sums.fed = 0;
  sums.heat.fill(0);
  sums.laid.fill(0);
}

/** One run in progress; scratch that steps write to lies here too. */
export type Run = {
  readonly model: Model;
  readonly print: Print;
  column: Column;
  readonly nozzle: Nozzle;
  readonly air: Air;
  readonly zones: Zones;
  /** First judged time with a margin below 1 [s], or Infinity. */
  firstBelow: number;
  /** Grip at the gears falls with temperature: it is computed anew where this changes. */
  gripAt: number;
  grip: number;
  steps: number;
  /** Turn the lattice of cells at each retraction, as windows do, see {@link turnLattice}. */
  turns: boolean;
};

export function startRun(model: Model, print: Print, column: Column): Run {
  const { hotEnd } = model;
  return {
    model,
    print,
    column,
    nozzle: {
      radius: hotEnd.nozzleBore / 2,
      land: hotEnd.landLength,
      topRadius: hotEnd.bore / 2,
      coneTangent: Math.tan(hotEnd.coneHalfAngle),
      entrance: hotEnd.entranceLoss,
    },
    air: { nozzle: 0, chamber: 0, air: 0, partFan: 0 },
    zones: { throat: 0, breakTop: 0, sinkTop: 0 },
    firstBelow: Infinity,
    gripAt: Number.NaN,
    grip: 0,
    steps: 0,
    turns: false,
  };
}

/** Follows the segments from..to-1 step by step; order of a step: docs/equations/hot-end.md, [hot-end-16]. */
export function follow(run: Run, from: number, to: number, row: Row, sums: Sums): void {
  const { model, print } = run;
  const { kind, time, feed, start } = print;
  for (let i = from; i < to; i++) {
    const stroke = kind[i] === RETRACT || kind[i] === RETURN;
    const needed = Math.ceil(time[i]! / model.grid.step - STEP_SLACK);
    const steps = Math.max(1, needed, stroke ? STROKE_STEPS : 1);
    const dt = time[i]! / steps;
    if (run.turns && kind[i] === PRINT && i > 0 && kind[i - 1] === RETURN) turnLattice(run, i);
    const begins = kind[i] === RETURN && (i === 0 || kind[i - 1] !== RETURN);
    for (let q = 0; q < steps; q++) {
      step(run, kind[i]!, start[i]! + q * dt, dt, feed[i]! / steps, q === 0 && begins, row, sums);
    }
  }
  row.sink = run.column.sink;
  row.residue = residueLength(run.column);
}

/** The turn of a lattice is at most this share of the strand fed until the next retraction. */
const TURN_MOST = 0.02;
/** Golden ratio less 1: its multiples fall evenly on (0, 1), in any number. */
const GOLDEN = 0.6180339887498949;

/**
 * The cells ride on the strand, so the top of the touching polymer sits on a lattice of one cell. What a return lays
 * depends on where that lattice stands (by a sixth on the coarse grid, far more where little is laid), and a print in
 * even cycles beats slowly against it: a window of 100 s may see half a beat, a whole run all of it. Where the lattice
 * stands is a matter of the grid, not of the print: windows turn it after each return by less than half a cell, so that
 * the next retractions begin evenly on all places. By then the front has forgotten the turn.     [hot-end-19]
 */
function turnLattice(run: Run, segment: number): void {
  const { model, print, column, air } = run;
  const { cell } = model.grid;
  let ahead = 0;
  for (let i = segment; i < print.count && print.kind[i] !== RETRACT; i++) ahead += print.feed[i]!;
  const wanted = (print.returns[segment]! * GOLDEN) % 1;
  const turn = wanted - (column.offset + ahead) / cell;
  const feed = (turn - Math.round(turn)) * cell;
  if (Math.abs(feed) > TURN_MOST * ahead) return;
  airAt(model, print.start[segment]!, air);
  moveStrand(model, column, feed, air.nozzle, gearTemperature(model, air));
}

function step(
  run: Run,
  kind: number,
  t: number,
  dt: number,
  feed: number,
  lays: boolean,
  row: Row,
  sums: Sums,
): void {
  const { model, column, air, zones } = run;
  const { surroundings, strandArea } = model;
  airAt(model, t, air);
  const gear = gearTemperature(model, air);
  const speed = feed / dt;
  faceWall(model, column, air, zones);
  stepPressure(run, kind, speed, feed, dt);

  const available = Math.max(
    push(run, gear, Math.max(speed, 0)) - seriesAt(surroundings.pull, t),
    FORCE_LEAST,
  );
  const stress = march(model, column, zones, Math.max(speed, 0), kind === PRINT && speed > 0, available, dt);
  if (speed > 0) judge(run, t, available, Math.max(FORCE_LEAST, stress * strandArea), row);
  if (lays) {
    layResidue(model, column, zones, sums.laid);
    sums.returns++;
  }

  moveStrand(model, column, feed / 2, air.nozzle, gear);
  if (feed !== 0) faceWall(model, column, air, zones);
  stepHeat(model, column, zones, dt);
  const { wallHeat, wallGained } = model.scratch;
  column.sink = stepWall(model, column.wall, column.sink, air, wallHeat, dt);
  column.heatWall += wallGained[0]!;
  stepSkin(model, column, zones, air.nozzle, dt);
  moveStrand(model, column, feed / 2, air.nozzle, gear);
  wearResidue(model, column, kind === PRINT ? feed : 0, dt);

  for (let k = 0; k < wallHeat.length; k++) sums.heat[k]! += wallHeat[k]! * dt;
  sums.sinkOverGear += (column.sink - gear) * dt;
  sums.time += dt;
  if (kind === PRINT) sums.fed += feed;
  run.steps++;
}

/** Pressure in the nozzle: it follows the flow, is gone while the strand is drawn back, and comes back with it. [hot-end-9] */
function stepPressure(run: Run, kind: number, speed: number, feed: number, dt: number): void {
  const { model, column } = run;
  const { hotEnd, tables } = model;
  if (kind === RETRACT) {
    if (!column.retracted) {
      column.pressureKept = column.pressure;
      column.retracted = true;
      column.drawn = 0;
      column.drawnMost = 0;
    }
    column.drawn -= feed;
    column.drawnMost = Math.max(column.drawnMost, column.drawn);
    column.pressure = 0;
    return;
  }
  if (kind === RETURN && column.retracted) {
    column.drawn = Math.max(0, column.drawn - feed);
    const back = column.drawnMost > 0 ? 1 - column.drawn / column.drawnMost : 1;
    column.pressure = column.pressureKept * back;
    if (back > 1 - STEP_SLACK) column.retracted = false;
    return;
  }
  if (kind === PRINT && speed > 0) {
    column.retracted = false;
    const lnViscosity = atTemperature(tables.lnViscosity, meanTemperature(model, column, 0));
    const target = nozzlePressure(
      run.nozzle,
      speed * model.strandArea,
      lnViscosity,
      tables.lnThinningStress,
      tables.thinningExponent,
    );
    column.pressure += (target - column.pressure) * (1 - Math.exp(-dt / hotEnd.pressureTime));
    return;
  }
  if (column.retracted) column.pressure = 0;
  else column.pressure *= Math.exp(-dt / (REST_SLOWER * hotEnd.pressureTime));
}

/** Push that the drive gives before it slips [N]: grip follows the yield stress at the gears, and falls with speed. [hot-end-17] */
function push(run: Run, gear: number, speed: number): number {
  const { hotEnd, tables } = run.model;
  if (gear !== run.gripAt) {
    const softer = atTemperature(tables.lnYield, gear) - atTemperature(tables.lnYield, GRIP_GIVEN_AT);
    run.grip = hotEnd.grip * Math.exp(hotEnd.gripExponent * softer);
    run.gripAt = gear;
  }
  return run.grip / (1 + speed / hotEnd.gearSpeed);
}

function judge(run: Run, t: number, available: number, force: number, row: Row): void {
  const { model, column } = run;
  const margin = available / force;
  if (margin < row.margin) {
    row.margin = margin;
    row.at = t;
    row.force = force;
    row.available = available;
    row.nozzleForce = column.pressure * model.strandArea;
  }
  if (margin < 1 && t > JUDGED_FROM && t < run.firstBelow) run.firstBelow = t;
  const front = frontOf(run);
  if (front > row.front) row.front = front;
}

/** Top of the highest cell above the throat that is molten through or that polymer fills by more than half [m]. */
export function frontOf(run: Run): number {
  const { model, column, zones } = run;
  const { grid, hotEnd } = model;
  const throat = cellsBelow(model, column, 0);
  for (let i = zones.sinkTop - 1; i >= throat; i--) {
    if (column.fill[i]! > FRONT_FILL) return -hotEnd.meltLength + (i + 0.5) * grid.cell - column.offset;
  }
  return 0;
}
