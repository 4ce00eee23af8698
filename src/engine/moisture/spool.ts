import { saturationPressure } from '../air/saturation.ts';
import type { Place } from './place.ts';
import { type Polymer, strandShare } from './polymer.ts';
import { enterHeat, heatHeld, stepHeat } from './spool-heat.ts';
import {
  copyState,
  fillState,
  flip,
  type Grid,
  layWinding,
  makeState,
  type Scratch,
  type SpoolState,
} from './spool-state.ts';
import { enterWater, stepWater, vapourHeld, type WaterFlows, waterHeld } from './spool-water.ts';
import { type Drawn, drawOff, noneDrawn } from './unwind.ts';
import type { Winding } from './winding.ts';

/**
 * A spool through the places where it stays, one after another: heat and water of every winding, what a person can
 * read of it over time, when its targets are met, and how well water and heat are balanced.
 *
 * Shares of water are of the wet strand, 0..1; times are seconds since the start of the plan.
 */
export type Spool = Readonly<{
  polymer: Polymer;
  winding: Winding;
  /** At the start, the same everywhere: water [kg/kg dry polymer] and temperature [K]. */
  water: number;
  temperature: number;
}>;

/** A stretch of time in one place. */
export type Stretch = Readonly<{
  place: Place;
  /** How long [s]. */
  time: number;
  /** When the spool is turned over, since the start of the stretch [s], rising. */
  flips?: readonly number[];
  /** Step [s]; shortened a little so that whole steps end at flips and at the end. */
  step: number;
  /** Steps grow by this factor each, up to `stepMost`; 1 where missing. */
  growth?: number;
  stepMost?: number;
  /** The box is that of the stretch before and was not opened: its air, bed and clock go on. */
  goesOn?: boolean;
  /** Ends early once every target of the plan is met. */
  untilDry?: boolean;
  /** Dry strand that is drawn off the outside, evenly over the stretch [kg]. */
  drawn?: number;
}>;

export type Plan = Readonly<{
  stretches: readonly Stretch[];
  /** Times at which a row of the course is written [s], rising; straight lines between steps. */
  samples?: readonly number[];
  /** Dry enough: the mean below this share and the wettest cell below `worstOver` times it. */
  targets?: readonly number[];
  worstOver?: number;
  /** Too wet: the outer ring above this share. */
  limits?: readonly number[];
  /** Index of the stretch with whose start the clocks of targets and limits begin; 0 where missing. */
  clockFrom?: number;
  /** Index of the stretch at whose end the state is kept, for a link that goes on from it. */
  keepAfter?: number;
}>;

/** One row a sample, in this order. */
export const COLUMNS = [
  'mean',
  'worst',
  'outer',
  'temperatureLeast',
  'temperatureMean',
  'temperatureMost',
  'airTemperature',
  'airHumidity',
  'lost',
  'outerTemperature',
  'outerRadius',
  'lighter',
] as const;
export type Column = (typeof COLUMNS)[number];
const WIDTH = COLUMNS.length;

/** Figures of one moment: the columns by name. `lost` is the water that the strand has lost since the start,
 * what was drawn off left out [kg]; `outerTemperature` the plain mean of the outer ring, `outerRadius` the winding's;
 * `lighter` what a scale under it shows less than at the start, by water and by strand drawn off [kg]. */
export type Moment = Record<Column, number>;

/** What a run leaves; made once for a plan's shape and overwritten by each run. */
export type Outcome = {
  /** `course[column + COLUMNS.length * sample]`, in the order of COLUMNS; NaN for samples after the end. */
  course: Float64Array;
  /** At the end of each stretch, and the greatest of mean, worst and outer within it (its start included). */
  ends: Moment[];
  most: { mean: number; worst: number; outer: number }[];
  /** Seconds since the clock began until each target is met, or each limit passed; Infinity where not in the plan. */
  dryAfter: Float64Array;
  wetAfter: Float64Array;
  /** Water that neither stayed nor left [kg], the sum of its size over the stretches. */
  waterBalance: number;
  /** (in - stored - latent)/in of the heat, in being what passed either way. */
  heatBalance: number;
  /** What left with strand that was drawn off. */
  drawn: Drawn;
  /** After stretch `keepAfter`, else after the last. */
  kept: SpoolState;
  steps: number;
};

export function makeOutcome(plan: Plan, grid: Grid): Outcome {
  return {
    course: new Float64Array(WIDTH * (plan.samples?.length ?? 0)),
    ends: plan.stretches.map(() => emptyMoment()),
    most: plan.stretches.map(() => ({ mean: 0, worst: 0, outer: 0 })),
    dryAfter: new Float64Array(plan.targets?.length ?? 0),
    wetAfter: new Float64Array(plan.limits?.length ?? 0),
    waterBalance: 0,
    heatBalance: 0,
    drawn: noneDrawn(),
    kept: makeState(grid),
    steps: 0,
  };
}

function emptyMoment(): Moment {
  return {
    mean: 0,
    worst: 0,
    outer: 0,
    temperatureLeast: 0,
    temperatureMean: 0,
    temperatureMost: 0,
    airTemperature: 0,
    airHumidity: 0,
    lost: 0,
    outerTemperature: 0,
    outerRadius: 0,
    lighter: 0,
  };
}

/** One column of a course. */
export function columnOf(outcome: Outcome, column: Column): Float64Array {
  const at = COLUMNS.indexOf(column);
  return Float64Array.from(
    { length: outcome.course.length / WIDTH },
    (_, i) => outcome.course[at + WIDTH * i]!,
  );
}

/** A part of a step below this share of it is rounding. */
const ROUNDING = 1e-9;

/**
 * Runs one spool through a plan [moisture-15]. Nothing is allocated inside a stretch; scratch and outcome may be used
 * again for the next draw of the same grid and plan shape.
 *
 * @param from state to start from instead of an even one, such as what another run kept
 * @throws RangeError for sizes that make no winding; Error with the numbers where a step cannot be solved
 */
export function simulate(
  spool: Spool,
  plan: Plan,
  scratch: Scratch,
  outcome: Outcome,
  from?: SpoolState,
): Outcome {
  const s = scratch;
  const { polymer } = spool;
  layWinding(s, polymer, spool.winding);
  if (from) copyState(from, s.state);
  else fillState(s, polymer, spool.water, spool.temperature);

  const run: Run = {
    s,
    polymer,
    plan,
    outcome,
    targets: plan.targets ?? [],
    limits: plan.limits ?? [],
    worstOver: plan.worstOver ?? 1.5,
    clock: Number.NaN,
    sample: 0,
    start: waterHeld(s),
    now: emptyMoment(),
    last: emptyMoment(),
    flows: { leaked: 0, expelled: 0, taken: 0 },
  };
  outcome.course.fill(Number.NaN);
  outcome.dryAfter.fill(Number.POSITIVE_INFINITY);
  outcome.wetAfter.fill(Number.POSITIVE_INFINITY);
  outcome.waterBalance = 0;
  outcome.steps = 0;
  Object.assign(outcome.drawn, noneDrawn());

  const heat = { missing: 0, passed: 0 };
  let time = 0;
  let entered = 0;
  plan.stretches.forEach((stretch, index) => {
    if (!(stretch.goesOn && index > 0)) {
      enterWater(s, stretch.place);
      entered = time;
    }
    if (index === (plan.clockFrom ?? 0)) run.clock = time;
    time = runStretch(run, stretch, index, time, entered, heat);
    if (index === (plan.keepAfter ?? plan.stretches.length - 1)) copyState(s.state, outcome.kept);
  });
  outcome.heatBalance = heat.passed > 0 ? heat.missing / heat.passed : 0;
  return outcome;
}

type Run = {
  s: Scratch;
  polymer: Polymer;
  plan: Plan;
  outcome: Outcome;
  targets: readonly number[];
  limits: readonly number[];
  worstOver: number;
  /** When the clocks of targets and limits began; NaN before. */
  clock: number;
  /** Next sample to be written. */
  sample: number;
  /** Water in the strand at the start [kg]. */
  start: number;
  now: Moment;
  last: Moment;
  flows: WaterFlows;
};

function runStretch(
  run: Run,
  stretch: Stretch,
  index: number,
  from: number,
  entered: number,
  heat: { missing: number; passed: number },
): number {
  const { s, polymer, outcome, flows } = run;
  const { before } = s;
  const { place } = stretch;
  enterHeat(s, place);
  const waterBefore = waterHeld(s) + vapourHeld(s, place) + gone(outcome.drawn);
  const heatBefore = heatHeld(s, place) + outcome.drawn.heat;
  let incoming = 0;
  let latent = 0;
  flows.leaked = 0;
  flows.expelled = 0;
  flows.taken = 0;

  const most = outcome.most[index]!;
  look(run, run.now);
  most.mean = run.now.mean;
  most.worst = run.now.worst;
  most.outer = run.now.outer;
  watch(run, from, from);

  const flips = stretch.flips ?? [];
  let nextFlip = 0;
  while (nextFlip < flips.length && flips[nextFlip]! <= 0) {
    flip(s);
    nextFlip++;
  }
  let wanted = stretch.step;
  let passed = 0;
  const end = stretch.time;
  while (passed < end * (1 - ROUNDING)) {
    const until = nextFlip < flips.length && flips[nextFlip]! < end ? flips[nextFlip]! : end;
    let dt = (until - passed) / Math.ceil((until - passed) / wanted - ROUNDING);
    // The same length keeps the factor of the heat matrix.
    if (Math.abs(dt - s.heatStep) < ROUNDING * dt) dt = s.heatStep;
    const lasts = until - passed < dt * (1 + ROUNDING);
    const reached = lasts ? until : passed + dt;

    before.set(s.state.temperature);
    before[s.cells] = s.box.temperature;
    for (let c = 0; c < s.cells; c++) latent += s.state.evaporation[c]! * s.drying * dt;
    const inStep = stepHeat(s, place, from - entered + reached, dt);
    incoming += inStep;
    heat.passed += Math.abs(inStep);
    stepWater(s, polymer, place, before, dt, flows);
    if (stretch.drawn) {
      drawOff(s, polymer, (stretch.drawn * (reached - passed)) / end, outcome.drawn);
      enterHeat(s, place);
    }
    outcome.steps++;

    const spare = run.last;
    run.last = run.now;
    run.now = spare;
    look(run, run.now);
    most.mean = Math.max(most.mean, run.now.mean);
    most.worst = Math.max(most.worst, run.now.worst);
    most.outer = Math.max(most.outer, run.now.outer);
    watch(run, from + passed, from + reached);
    passed = reached;
    if (lasts && until < end) {
      while (nextFlip < flips.length && flips[nextFlip]! <= passed * (1 + ROUNDING)) {
        flip(s);
        nextFlip++;
      }
    }
    if (stretch.growth)
      wanted = Math.min(wanted * stretch.growth, stretch.stepMost ?? Number.POSITIVE_INFINITY);
    if (stretch.untilDry && run.targets.length > 0 && outcome.dryAfter.every(Number.isFinite)) break;
  }

  Object.assign(outcome.ends[index]!, run.now);
  const waterAfter = waterHeld(s) + vapourHeld(s, place) + gone(outcome.drawn);
  outcome.waterBalance += Math.abs(waterAfter - waterBefore + flows.leaked + flows.expelled + flows.taken);
  heat.missing += incoming - (heatHeld(s, place) + outcome.drawn.heat - heatBefore) - latent;
  return from + passed;
}

/** Water that left with the strand, in its polymer and in its pores [kg]. */
function gone(drawn: Drawn): number {
  return drawn.water + drawn.vapour;
}

/** Figures of this moment. The mean is by mass, the outer one plain over the cells of the outer ring. */
function look(run: Run, into: Moment): void {
  const { s, polymer } = run;
  const { rings, layers } = s.grid;
  const { mean, temperature } = s.state;
  let held = 0;
  let mass = 0;
  let wettest = 0;
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  let sum = 0;
  for (let c = 0; c < s.cells; c++) {
    const water = mean[c]!;
    const t = temperature[c]!;
    held += s.polymerMass[c]! * water;
    mass += s.polymerMass[c]!;
    if (water > wettest) wettest = water;
    if (t < least) least = t;
    if (t > most) most = t;
    sum += t;
  }
  let outer = 0;
  let warmth = 0;
  for (let layer = 0; layer < layers; layer++) {
    const c = (rings - 1) * s.ringStride + layer * s.layerStride;
    outer += strandShare(mean[c]!, polymer.fibreShare);
    warmth += temperature[c]!;
  }
  into.mean = strandShare(held / mass, polymer.fibreShare);
  into.worst = strandShare(wettest, polymer.fibreShare);
  into.outer = outer / layers;
  into.temperatureLeast = least;
  into.temperatureMean = sum / s.cells;
  into.temperatureMost = most;
  into.airTemperature = s.box.temperature;
  into.airHumidity = s.box.vapour / saturationPressure(s.box.temperature);
  into.lost = run.start - held - run.outcome.drawn.water;
  into.outerTemperature = warmth / layers;
  into.outerRadius = s.face[rings]!;
  into.lighter = run.start - held + run.outcome.drawn.strand;
}

/** Writes samples and moments of targets that lie between two ends of a step, by straight lines. */
function watch(run: Run, from: number, to: number): void {
  const { outcome, now, last } = run;
  const samples = run.plan.samples ?? [];
  while (run.sample < samples.length && samples[run.sample]! <= to * (1 + ROUNDING)) {
    const share = to > from ? Math.min(Math.max((samples[run.sample]! - from) / (to - from), 0), 1) : 1;
    const row = run.sample * WIDTH;
    for (let k = 0; k < WIDTH; k++) {
      const column = COLUMNS[k]!;
      outcome.course[row + k] =
        share === 1 ? now[column] : last[column] + share * (now[column] - last[column]);
    }
    run.sample++;
  }
  if (Number.isNaN(run.clock)) return;
  for (let k = 0; k < run.targets.length; k++) {
    if (outcome.dryAfter[k]! < Number.POSITIVE_INFINITY) continue;
    const target = run.targets[k]!;
    const excess = wetness(run, now) - target;
    if (excess < 0) outcome.dryAfter[k] = crossing(from, to, wetness(run, last) - target, excess) - run.clock;
  }
  for (let k = 0; k < run.limits.length; k++) {
    if (outcome.wetAfter[k]! < Number.POSITIVE_INFINITY) continue;
    const limit = run.limits[k]!;
    if (now.outer > limit)
      outcome.wetAfter[k] = crossing(from, to, last.outer - limit, now.outer - limit) - run.clock;
  }
}

/** Both conditions of "dry enough" in one number: it is below the target when both hold. */
function wetness(run: Run, at: Moment): number {
  return Math.max(at.mean, at.worst / run.worstOver);
}

function crossing(from: number, to: number, before: number, after: number): number {
  if (to === from || before === after) return to;
  return from + (to - from) * Math.min(Math.max(before / (before - after), 0), 1);
}
