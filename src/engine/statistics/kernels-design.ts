import { z } from 'zod';
import { type Kernel, kernel } from '../kernel.ts';
import { allocate } from './allocate.ts';
import { alpha, count, maybe, share } from './kernel-inputs.ts';
import { latinRounds } from './latin-rounds.ts';
import {
  barsNeeded,
  canSee,
  type Design,
  designPower,
  leastDifference,
  powerAnova,
  powerTwo,
} from './power.ts';
import { sparesNeeded } from './spares.ts';

const positive = z.number().positive();
const comparisons = count.default(1);
const names = z.array(z.string().min(1)).min(2);

const plan = {
  sd_bar: positive,
  bars: count,
  k: z.int().min(2),
  comparisons,
  alpha,
};
const mixed = { design: z.literal('mixed'), plates: count, sd_plate: z.number().min(0).default(0), ...plan };
const inRounds = { design: z.literal('rounds'), rounds: count, sd_plate: z.number().min(0), ...plan };
type Plan = z.infer<z.ZodObject<typeof mixed>> | z.infer<z.ZodObject<typeof inRounds>>;

function toDesign(given: Plan): Design {
  const { design, bars, k: orientations, sd_bar: sdBar, sd_plate: sdPlate } = given;
  const number = given.design === 'mixed' ? given.plates : given.rounds;
  return { design, bars, count: number, orientations, sdBar, sdPlate };
}

/** Before printing: how many bars and plates, where, in which order. */
export const designKernels: Kernel[] = [
  kernel({
    name: 'design.powerTwo',
    what: 'Power of the two-sided t test, n each, difference d in standard deviations',
    inputs: z.strictObject({ d: z.number(), n: z.int().min(2), alpha }),
    outputs: z.strictObject({ power: z.number() }),
    run: (given) => ({ power: powerTwo(given.d, given.n, given.alpha) }),
  }),
  kernel({
    name: 'design.powerAnova',
    what: 'Power of the one-way F test, n each',
    inputs: z.strictObject({ means: z.array(z.number()).min(2), sd: positive, n: z.int().min(2), alpha }),
    outputs: z.strictObject({ power: z.number() }),
    run: (given) => ({ power: powerAnova(given.means, given.sd, given.n, given.alpha) }),
  }),
  kernel({
    name: 'design.barsNeeded',
    what: 'Bars of each of two orientations that see a relative difference, for each scatter; null beyond 100 000',
    inputs: z.strictObject({
      cv: z.array(positive).min(1),
      rel_diff: positive,
      power: share.default(0.8),
      alpha,
      comparisons,
    }),
    outputs: z.strictObject({ n: z.array(z.int().nullable()) }),
    run: (given) => ({
      n: given.cv.map((cv) => barsNeeded(cv, given.rel_diff, given.power, given.alpha, given.comparisons)),
    }),
  }),
  kernel({
    name: 'design.leastDifference',
    what: 'Least difference that n bars of each see, in % of the mean, for each scatter',
    inputs: z.strictObject({
      n: z.int().min(2),
      cv: z.array(positive).min(1),
      power: share.default(0.8),
      alpha,
      comparisons,
    }),
    outputs: z.strictObject({ percent: z.array(z.number()) }),
    run: (given) => ({
      percent: given.cv.map(
        (cv) => 100 * leastDifference(given.n, cv, given.power, given.alpha, given.comparisons),
      ),
    }),
  }),
  kernel({
    name: 'design.power',
    what: 'Power of mixed plates, or of one orientation a plate in rounds',
    inputs: z.discriminatedUnion('design', [
      z.strictObject({ ...mixed, difference: z.number() }),
      z.strictObject({ ...inRounds, difference: z.number() }),
    ]),
    outputs: z.strictObject({ power: z.number() }),
    run: (given) => ({
      power: designPower(toDesign(given), given.difference, given.alpha, given.comparisons),
    }),
  }),
  kernel({
    name: 'design.canSee',
    what: 'Least difference that a plan can see; null where no test is possible',
    inputs: z.discriminatedUnion('design', [
      z.strictObject({ ...mixed, power: share.default(0.8) }),
      z.strictObject({ ...inRounds, power: share.default(0.8) }),
    ]),
    outputs: z.strictObject({ difference: maybe }),
    run: (given) => ({ difference: canSee(toDesign(given), given.power, given.alpha, given.comparisons) }),
  }),
  kernel({
    name: 'design.allocate',
    what: 'Who goes where on mixed plates, in which order printed and tested; positions from the centre of the plate',
    inputs: z.strictObject({
      treatments: names,
      per_plate: z.array(z.int().min(0)).min(2),
      plates: z.int().positive().max(1000),
      positions_mm: z.array(z.tuple([z.number(), z.number()])).min(1),
      seed: z.int(),
      tries: z.int().positive().max(100_000).default(2000),
    }),
    outputs: z.strictObject({
      bars: z.int(),
      each_plate: z.array(z.int()),
      worst_r2: z.number(),
      r2: z.record(z.string(), z.number()),
      rows: z.array(
        z.strictObject({
          plate: z.int(),
          treatment: z.string(),
          place: z.int(),
          rank: z.int(),
          test_rank: z.int(),
        }),
      ),
    }),
    run: ({ treatments, per_plate, plates, positions_mm, seed, tries }) =>
      allocate({ treatments, perPlate: per_plate, plates, positions: positions_mm, seed, tries }),
  }),
  kernel({
    name: 'design.rounds',
    what: 'Order of one orientation a plate: rounds in Latin-square order',
    inputs: z.strictObject({ treatments: names, rounds: z.int().positive().max(10_000), seed: z.int() }),
    outputs: z.strictObject({
      table: z.array(z.array(z.string())),
      each_row_all: z.boolean(),
      each_column_all: z.boolean(),
    }),
    run: (given) => latinRounds(given.treatments, given.rounds, given.seed),
  }),
  kernel({
    name: 'plan.spares',
    what: 'Fewest spares so that enough good bars come out; the chance of a good bar known, or Beta(a, b)',
    inputs: z.union([
      z.strictObject({ needed: count, chance: z.number().gt(0).max(1), want: share }),
      z.strictObject({ needed: count, beta: z.tuple([positive, positive]), want: share }),
    ]),
    outputs: z.strictObject({ spares: z.int() }),
    run: (given) => ({ spares: sparesNeeded(given.needed, given, given.want) }),
  }),
];
