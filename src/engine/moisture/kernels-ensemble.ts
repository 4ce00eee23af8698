import { z } from 'zod';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { weightedQuantile } from '../numerics/weighted-quantile.ts';
import {
  type Draw,
  drawBox,
  drawPlace,
  drawSpool,
  type EnsembleSpreads,
  type StepSpreads,
  seededDraw,
} from './ensemble.ts';
import { boxSpreads, gridInput, polymerSpreads, spoolSpreads } from './kernel-inputs.ts';
import { STEPS_MOST, wholeSteps } from './kernels-spool.ts';
import { columnOf, makeOutcome, type Outcome, type Plan, type Stretch, simulate } from './spool.ts';
import { type Grid, makeScratch, type Scratch } from './spool-state.ts';
import { type Spread, spreadAt, spreadSchema } from './spreads.ts';
import { weighIn } from './weigh-in.ts';

const DRAWS_MOST = 100_000;
const QUANTILES = [0.05, 0.5, 0.95] as const;
const band = z.tuple([z.number(), z.number(), z.number()]);
const drawsInput = z.int().min(1).max(DRAWS_MOST);
const flipsInput = z.array(z.number().min(0)).default([]);

const step = z.strictObject({
  box: boxSpreads.default({}),
  hours: spreadSchema,
  flips_h: flipsInput,
  dt_s: z.number().positive().default(120),
});
const gridOfDraws = z.strictObject({ cells: gridInput.shape.cells, nodes: gridInput.shape.nodes });

const common = {
  polymer: polymerSpreads,
  spool: spoolSpreads.default({}),
  box: boxSpreads.default({}),
  start_wt: spreadSchema,
};

function gridOf(given: { cells: [number, number]; nodes: number }): Grid {
  return { rings: given.cells[0], layers: given.cells[1], shells: given.nodes };
}

/** Stretches of one draw. The hours of step number i have one column, so that other steps can be compared with it. */
function stretchesOf(from: EnsembleSpreads, steps: readonly StepSpreads[], draw: Draw): Stretch[] {
  return steps.map((given, i) => {
    const time = wholeSteps(draw(`hours ${i}`, given.hours), given.dt_s);
    if (time / given.dt_s > STEPS_MOST)
      throw new Refusal(`A step of the ensemble takes more than ${STEPS_MOST} steps of ${given.dt_s} s.`);
    return {
      place: drawPlace(from.box, given.box, draw),
      time,
      step: given.dt_s,
      flips: given.flips_h.map((h) => wholeSteps(h, given.dt_s)).sort((a, b) => a - b),
    };
  });
}

/** The scratch and, by number of stretches, the outcomes are shared by all draws. */
function runDraw(
  from: EnsembleSpreads,
  steps: readonly StepSpreads[],
  draw: Draw,
  scratch: Scratch,
): Outcome {
  const stretches = stretchesOf(from, steps, draw);
  const first = stretches[0]!.place.roomTemperature;
  const plan: Plan = { stretches };
  return simulate(drawSpool(from, draw, first), plan, scratch, makeOutcome(plan, scratch.grid));
}

const ensemble: Kernel = kernel({
  name: 'moisture.ensemble',
  what: 'Share of possible spools for which a drying or a storage does what is asked',
  inputs: z.strictObject({
    ...common,
    steps: z.array(step).min(1),
    limits: z.strictObject({ strict: spreadSchema, visible: spreadSchema }),
    ask: z.union([
      z.strictObject({
        water: z.enum(['mean', 'worst', 'outer']),
        when: z.enum(['end', 'most']),
        is: z.enum(['below', 'above']),
        limit: z.enum(['strict', 'visible']),
      }),
      z.strictObject({
        water: z.enum(['mean', 'worst', 'outer']),
        when: z.enum(['end', 'most']),
        is: z.enum(['below', 'above']),
        than: z.array(step).min(1),
      }),
    ]),
    draws: drawsInput,
    seed: z.int(),
    grid: gridOfDraws.default({ cells: [8, 8], nodes: 8 }),
  }),
  outputs: z.strictObject({ share: z.number(), water_wt: band }),
  run: (of, host) => {
    const scratch = makeScratch(gridOf(of.grid));
    const { ask } = of;
    const waterPercent = new Float64Array(of.draws);
    let holds = 0;
    const asked = (steps: readonly StepSpreads[], draw: Draw) => {
      const outcome = runDraw(of, steps, draw, scratch);
      const last = steps.length - 1;
      return 100 * (ask.when === 'end' ? outcome.ends[last]! : outcome.most[last]!)[ask.water];
    };
    for (let i = 0; i < of.draws; i++) {
      const draw = seededDraw(of.seed, i);
      const water = asked(of.steps, draw);
      const other = 'than' in ask ? asked(ask.than, draw) : draw(`limits.${ask.limit}`, of.limits[ask.limit]);
      if (ask.is === 'below' ? water < other : water > other) holds++;
      waterPercent[i] = water;
      host.progress?.((i + 1) / of.draws);
    }
    return { share: holds / of.draws, water_wt: bandOf(waterPercent, new Float64Array(of.draws).fill(1)) };
  },
});

function bandOf(values: Float64Array, weights: Float64Array): [number, number, number] {
  return QUANTILES.map((q) => weightedQuantile(values, weights, q)) as [number, number, number];
}

/** What a weighing never knows better than, besides the scale: 5 % of the loss and 0.2 g (frozen with the page). */
const SHARE_OF_LOSS = 0.05;
const ALWAYS_KG = 2e-4;

const weigh: Kernel = kernel({
  name: 'moisture.weigh',
  what: 'What weighings during a drying say about start, rest and diffusivity',
  inputs: z.strictObject({
    ...common,
    hours: z.number().positive(),
    flips_h: flipsInput,
    weighings: z.array(z.strictObject({ hours: z.number().positive(), loss_g: z.number() })).min(1),
    scaleSd_g: z.number().min(0),
    draws: drawsInput,
    seed: z.int(),
    grid: gridInput.default({ cells: [8, 8], nodes: 8, dt_s: 120 }),
  }),
  outputs: z.strictObject({
    start_wt: band.nullable(),
    left_wt: band.nullable(),
    D23: band.nullable(),
    effective: z.number(),
    believable: z.boolean(),
  }),
  run: (of, host) => {
    const late = of.weighings.find((w) => w.hours > of.hours);
    if (late) throw new Refusal(`A weighing at ${late.hours} h lies after the end at ${of.hours} h.`);
    const weighings = [...of.weighings].sort((a, b) => a.hours - b.hours);
    const scratch = makeScratch(gridOf(of.grid));
    const unknowns = unknownsOf(of);
    const names = [...unknowns.keys()];
    if (names.length === 0)
      throw new Refusal('Nothing here is uncertain: give at least one spread that weighings can narrow.');
    const normals = new Float64Array(names.length * of.draws);
    for (let i = 0; i < of.draws; i++) {
      const row = seededDraw(of.seed, i);
      names.forEach((name, k) => {
        normals[k + names.length * i] = row(name, { normal: [0, 1] });
      });
    }
    const steps: StepSpreads[] = [{ box: {}, hours: of.hours, flips_h: of.flips_h, dt_s: of.grid.dt_s }];
    let done = 0;
    const found = weighIn(
      normals,
      names.length,
      weighings.map((w) => w.loss_g / 1000),
      { scaleSd: of.scaleSd_g / 1000, shareOfLoss: SHARE_OF_LOSS, always: ALWAYS_KG },
      3,
      (row, foretold, answers) => {
        const draw: Draw = (name, spread) =>
          typeof spread === 'number' ? spread : spreadAt(spread, row[names.indexOf(name)]!);
        const stretches = stretchesOf(of, steps, draw);
        const plan: Plan = { stretches, samples: weighings.map((w) => w.hours * 3600) };
        const spool = drawSpool(of, draw, stretches[0]!.place.roomTemperature);
        const outcome = simulate(spool, plan, scratch, makeOutcome(plan, scratch.grid));
        foretold.set(columnOf(outcome, 'lost'));
        answers[0] = draw('start_wt', of.start_wt);
        answers[1] = 100 * outcome.ends[0]!.mean;
        answers[2] = spool.polymer.diffusivity;
        done++;
        host.progress?.(Math.min(done / of.draws, 1));
      },
      of.seed,
    );
    if (!found.believable)
      return { start_wt: null, left_wt: null, D23: null, effective: 0, believable: false };
    const column = (k: number) =>
      bandOf(
        Float64Array.from({ length: of.draws }, (_, i) => found.answers[k + 3 * i]!),
        found.weights,
      );
    return {
      start_wt: column(0),
      left_wt: column(1),
      D23: column(2),
      effective: found.effective,
      believable: true,
    };
  },
});

/** Names of all unknowns, found by drawing once. */
function unknownsOf(from: EnsembleSpreads): Map<string, Spread> {
  const found = new Map<string, Spread>();
  const note: Draw = (name, spread) => {
    if (typeof spread === 'number') return spread;
    found.set(name, spread);
    return spreadAt(spread, 0);
  };
  drawBox(from.box, {}, note);
  drawSpool(from, note, 300);
  return found;
}

export const ensembleKernels: Kernel[] = [ensemble, weigh];
