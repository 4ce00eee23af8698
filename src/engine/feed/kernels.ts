import { z } from 'zod';
import { ZERO_CELSIUS } from '../air/constants.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { seededDraw } from '../moisture/ensemble.ts';
import { polymerMedians } from '../moisture/kernel-defaults.ts';
import {
  type PolymerValues,
  polymerEntries,
  polymerInput,
  polymerSpreads,
  polymerValues,
  toPolymer,
} from '../moisture/kernel-inputs.ts';
import { balanceWater, type Polymer } from '../moisture/polymer.ts';
import { cylinderUptake, LEAST_FO } from '../moisture/series.ts';
import { normalOf, type Spread, spreadSchema } from '../moisture/spreads.ts';
import { normalShare } from '../numerics/normal.ts';
import { weightedQuantile } from '../numerics/weighted-quantile.ts';
import { bendingStrain, type Sense, smallestRadius } from './bend.ts';
import { strainAtBreak, type Toughness } from './break.ts';
import { coolingLength, heatLoss, temperatureAlong, warmLength } from './cooling.ts';
import { pullBehindBend } from './pull.ts';
import { bendMargin } from './snap.ts';
import { meanDiffusivity } from './uptake.ts';

const positive = z.number().positive();
const notNegative = z.number().min(0);
const share = z.number().min(0).max(1);
const temperatureC = z.number().min(-60).max(200);
const sense = z.union([z.literal(1), z.literal(-1), z.literal(0)]);

const TOUGHNESS = ['eps_g', 'eps_r', 'T_off', 'w_brk', 'm_w', 'L0'] as const;
type ToughnessValues = Record<(typeof TOUGHNESS)[number], number>;
const toughnessOf = <V extends z.ZodType>(value: V) =>
  z.strictObject({ eps_g: value, eps_r: value, T_off: value, w_brk: value, m_w: value, L0: value });

function toToughness(v: ToughnessValues): Toughness {
  for (const key of ['eps_g', 'eps_r', 'w_brk', 'm_w', 'L0'] as const)
    if (!(v[key] > 0)) throw new Refusal(`The strand has ${key} = ${v[key]}: a positive number is needed.`);
  return {
    strainCold: v.eps_g,
    strainWarm: v.eps_r,
    offset: v.T_off,
    width: v.w_brk,
    scatter: v.m_w,
    length: v.L0,
  };
}

export const kernels: Kernel[] = [
  kernel({
    name: 'feed.bend',
    what: 'Outer strain of the strand in a bend, smallest radius for a strain, margin of both',
    inputs: z.strictObject({
      d: positive,
      R: positive.optional(),
      eps: positive.optional(),
      R_set: positive,
      k_set: share,
      sense,
    }),
    outputs: z.strictObject({
      strain: z.number().optional(),
      smallestR: z.number().nullable().optional(),
      margin: z.number().nullable().optional(),
    }),
    run: ({ d, R, eps, R_set, k_set, sense: way }) => {
      if (R === undefined && eps === undefined)
        throw new Refusal('Neither a radius R nor a strain eps is given: there is nothing to compute.');
      const set = { radius: R_set, share: k_set };
      const strain = R === undefined ? undefined : bendingStrain(d, R, set, way);
      const least = eps === undefined ? undefined : smallestRadius(d, eps, set, way);
      return {
        ...(strain === undefined ? {} : { strain }),
        ...(least === undefined ? {} : { smallestR: Number.isFinite(least) ? least : null }),
        ...(strain === undefined || eps === undefined ? {} : { margin: strain > 0 ? eps / strain : null }),
      };
    },
  }),
  kernel({
    name: 'feed.breakStrain',
    what: 'Median outer strain at break of a strand of which so many metres have passed',
    inputs: z.strictObject({
      T_C: temperatureC,
      c: share,
      L_passed: notNegative,
      polymer: polymerInput,
      feed: toughnessOf(z.number()),
    }),
    outputs: z.strictObject({ strain: z.number() }),
    run: ({ T_C, c, L_passed, polymer, feed }) => ({
      strain: strainAtBreak(
        toPolymer(polymerValues(polymer)),
        toToughness(feed),
        T_C + ZERO_CELSIUS,
        c,
        L_passed,
      ),
    }),
  }),
  kernel({
    name: 'feed.pull',
    what: 'Tension behind each bend of a stiff strand in a tube with play',
    inputs: z.strictObject({
      bends_m_deg: z.array(z.tuple([positive, notNegative])).min(1),
      T_in: notNegative,
      mu: notNegative,
      E: notNegative,
      d: positive,
      d_i: positive,
      k_set: share,
      R_set: positive,
    }),
    outputs: z.strictObject({ T: z.array(z.number()) }),
    run: ({ bends_m_deg, T_in, mu, E, d, d_i, k_set, R_set }) => {
      if (!(d_i > d)) throw new Refusal(`A strand of ${d} m does not run through a tube of ${d_i} m.`);
      const strand = { modulus: E, diameter: d, inside: d_i, friction: mu };
      const tensions: number[] = [];
      for (const [radius, degrees] of bends_m_deg)
        tensions.push(
          pullBehindBend(tensions.at(-1) ?? T_in, radius, (degrees * Math.PI) / 180, strand, {
            radius: R_set,
            share: k_set,
          }),
        );
      return { T: tensions };
    },
  }),
  kernel({
    name: 'feed.cooling',
    what: 'Heat loss of the strand in its tube, temperature along it and how far it stays warm',
    inputs: z.strictObject({
      d: positive,
      U: positive.optional(),
      d_i: positive.optional(),
      d_o: positive.optional(),
      k_t: positive.optional(),
      h_o: positive.optional(),
      k_a: positive.optional(),
      v: positive.optional(),
      rho: positive.optional(),
      cp: positive.optional(),
      T0_C: temperatureC.optional(),
      T_env_C: temperatureC.optional(),
      T_need_C: temperatureC.optional(),
      x: notNegative.optional(),
    }),
    outputs: z.strictObject({
      U: z.number(),
      warmLength: z.number().nullable().optional(),
      T_C: z.number().optional(),
    }),
    run: (given) => {
      const loss = given.U ?? lossOf(given);
      const { v, rho, cp, T0_C, T_env_C, T_need_C, x } = given;
      if (T_need_C === undefined && x === undefined) return { U: loss };
      const lacking = Object.entries({ v, rho, cp, T0_C, T_env_C }).filter(
        ([, value]) => value === undefined,
      );
      if (lacking.length > 0)
        throw new Refusal(
          `A temperature along the tube needs ${lacking.map(([key]) => key).join(', ')} too.`,
        );
      const strand = { diameter: given.d, density: rho!, heatCapacity: cp!, speed: v! };
      const length = coolingLength(strand, loss);
      const [start, around] = [T0_C! + ZERO_CELSIUS, T_env_C! + ZERO_CELSIUS];
      const reach =
        T_need_C === undefined ? undefined : warmLength(start, around, T_need_C + ZERO_CELSIUS, length);
      return {
        U: loss,
        ...(reach === undefined ? {} : { warmLength: Number.isFinite(reach) ? reach : null }),
        ...(x === undefined ? {} : { T_C: temperatureAlong(start, around, x, length) - ZERO_CELSIUS }),
      };
    },
  }),
  kernel({
    name: 'feed.uptake',
    what: 'Water that a dry strand takes up in the tube at most, and how long it is in there',
    inputs: z.strictObject({
      length: positive,
      v: positive,
      T_C: z.number().min(0).max(200),
      rh: share,
      d_mm: positive,
      polymer: polymerInput,
    }),
    outputs: z.strictObject({ uptake_wt: z.number(), residence_s: z.number() }),
    run: ({ length, v, T_C, rh, d_mm, polymer }) => {
      const p = toPolymer(polymerValues(polymer));
      const temperature = T_C + ZERO_CELSIUS;
      const balance = balanceWater(p, temperature, rh);
      const residence = length / v;
      const radius = 0.0005 * d_mm;
      const fo = (meanDiffusivity(p, temperature, 0, balance) * residence) / (radius * radius);
      if (fo < LEAST_FO)
        throw new Refusal(
          `${residence} s in the tube are too short for the series: a slower strand or a longer tube is needed.`,
        );
      return { uptake_wt: 100 * (1 - p.fibreShare) * balance * cylinderUptake(fo), residence_s: residence };
    },
  }),
  kernel({
    name: 'feed.snap',
    what: 'Share of draws in which the strand snaps at a bend, and the margin there',
    inputs: z.strictObject({
      d: positive,
      R: positive,
      R_set: positive,
      k_set: spreadSchema,
      sense: z.union([sense, z.literal('any')]),
      T_C: temperatureC,
      c: share,
      L_passed: notNegative,
      polymer: polymerSpreads,
      feed: toughnessOf(spreadSchema),
      draws: z.int().min(1).max(1_000_000),
      seed: z.int(),
    }),
    outputs: z.strictObject({ snaps: z.number(), passes: z.number(), margin: z.array(z.number()).length(3) }),
    run: (given) => {
      const margins = new Float64Array(given.draws);
      for (let i = 0; i < given.draws; i++) {
        const draw = seededDraw(given.seed, i);
        const values = Object.fromEntries(
          TOUGHNESS.map((key) => [key, draw(`feed.${key}`, given.feed[key])]),
        ) as ToughnessValues;
        values.eps_r = Math.max(values.eps_r, values.eps_g);
        margins[i] = bendMargin({
          diameter: given.d,
          radius: given.R,
          set: { radius: given.R_set, share: draw('k_set', given.k_set) },
          sense: given.sense === 'any' ? anySense(given.seed, i) : given.sense,
          temperature: given.T_C + ZERO_CELSIUS,
          water: given.c,
          passed: given.L_passed,
          polymer: drawPolymer(given.polymer, draw),
          toughness: toToughness(values),
        });
      }
      const snaps = margins.filter((margin) => margin < 1).length / given.draws;
      const even = new Float64Array(given.draws).fill(1);
      return {
        snaps,
        passes: 1 - snaps,
        margin: [0.05, 0.5, 0.95].map((p) => weightedQuantile(margins, even, p)),
      };
    },
  }),
];

type TubeInput = Readonly<
  Partial<Record<'d_i' | 'd_o' | 'k_t' | 'h_o' | 'k_a', number | undefined>> & { d: number }
>;

function lossOf({ d, d_i, d_o, k_t, h_o, k_a }: TubeInput): number {
  const lacking = Object.entries({ d_i, d_o, k_t, h_o, k_a }).filter(([, value]) => value === undefined);
  if (lacking.length > 0)
    throw new Refusal(`Without U the heat loss needs ${lacking.map(([key]) => key).join(', ')}.`);
  if (!(d_i! > d && d_o! > d_i!))
    throw new Refusal(
      `A strand of ${d} m, a tube of ${d_i} m inside and ${d_o} m outside do not fit together.`,
    );
  return heatLoss(d, { inside: d_i!, outside: d_o!, conductivity: k_t!, airConductivity: k_a!, film: h_o! });
}

/** Each draw lies with the bend, against it or across it, even odds. */
function anySense(seed: number, draw: number): Sense | 'straight' {
  const third = Math.floor(3 * normalShare(normalOf(seed, 'sense', draw)));
  return third === 0 ? 1 : third === 1 ? -1 : 'straight';
}

function drawPolymer(given: z.infer<typeof polymerSpreads>, draw: ReturnType<typeof seededDraw>): Polymer {
  const values: Record<string, number> = { ...polymerMedians };
  for (const [key, spread] of Object.entries(polymerEntries<Spread>(given as never)))
    if (spread !== undefined) values[key] = draw(`polymer.${key}`, spread);
  return toPolymer(values as PolymerValues);
}
