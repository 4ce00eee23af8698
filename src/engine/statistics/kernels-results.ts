import { z } from 'zod';
import { type Kernel, kernel } from '../kernel.ts';
import { compare } from './compare.ts';
import { roundDigits } from './digits.ts';
import { alpha, conf, count, list, maybe, toRows, values, withRounds } from './kernel-inputs.ts';
import { askedGroup } from './outlier.ts';
import { meanUncertainty, stressUncertainty } from './uncertainty.ts';

const positive = z.number().positive();
const notNegative = z.number().min(0);

/** What stands in the report: groups with their questions, the comparison that is allowed, uncertainty, digits. */
export const resultKernels: Kernel[] = [
  kernel({
    name: 'bars.uncertainty',
    what: 'Uncertainty of one strength from force, width and thickness, and which part is the largest',
    inputs: z.strictObject({
      F_N: positive,
      b_mm: positive,
      h_mm: positive,
      u_F_rel: notNegative,
      s_b_mm: notNegative,
      s_h_mm: notNegative,
      n_readings: count,
      u_b_mm: notNegative,
      u_h_mm: notNegative,
      rough_mm: notNegative,
      k: positive.default(2),
    }),
    outputs: z.strictObject({
      stress: z.number(),
      u_rel: z.number(),
      U: z.number(),
      share_force: z.number(),
      share_width: z.number(),
      share_thickness: z.number(),
      largest: z.enum(['force', 'width', 'thickness']),
      advice: z.string(),
    }),
    run: (given) => stressUncertainty(given),
  }),
  kernel({
    name: 'bars.meanUncertainty',
    what: "Uncertainty of a group's mean: scatter falls with n, the common part stays",
    inputs: z.strictObject({
      s: notNegative,
      n: z.int().min(2),
      u_common_rel: notNegative,
      mean: z.number(),
      conf,
    }),
    outputs: z.strictObject({
      u_scatter: z.number(),
      u_common: z.number(),
      u: z.number(),
      df: z.number(),
      k: z.number(),
      U: z.number(),
    }),
    run: (given) => meanUncertainty(given.s, given.n, given.u_common_rel, given.mean, given.conf),
  }),
  kernel({
    name: 'results.digits',
    what: 'Values rounded to significant digits, half to even on the shortest decimal form',
    inputs: z.strictObject({ cases: z.array(z.tuple([z.number(), z.int().min(1).max(17)])) }),
    outputs: z.strictObject({ rounded: list }),
    run: ({ cases }) => ({ rounded: cases.map(([value, digits]) => roundDigits(value, digits)) }),
  }),
  kernel({
    name: 'results.group',
    what: 'A group with all its bars in it, and the bar that the outlier test asks about',
    inputs: z.strictObject({ x: values, alpha, conf }),
    outputs: z.strictObject({
      n_used: z.int(),
      mean: z.number(),
      s: maybe,
      lo: maybe,
      hi: maybe,
      asks: z.boolean(),
      index: z.int().nullable(),
      without: z
        .strictObject({ n: z.int(), mean: z.number(), s: maybe, cv: maybe, lo: maybe, hi: maybe })
        .nullable(),
    }),
    run: (given) => askedGroup(given.x, given.alpha, given.conf),
  }),
  kernel({
    name: 'results.compare',
    what: 'The comparison of orientations that the plates allow; rows [orientation, plate, y] or [orientation, plate, round, y]',
    inputs: z.strictObject({ rows: withRounds, conf }),
    outputs: z.strictObject({
      analysis: z.enum(['mixed', 'rounds', 'nested', 'none']),
      p: maybe,
      message: z.string(),
    }),
    run(given) {
      const { analysis, p, message } = compare(toRows(given.rows), given.conf);
      return { analysis, p, message };
    },
  }),
];
