import { z } from 'zod';
import { type Kernel, kernel } from '../kernel.ts';
import { blocks } from './blocks.ts';
import {
  conf,
  groups,
  list,
  maybe,
  orientationFirst,
  plateFirst,
  toGroups,
  toRows,
  values,
} from './kernel-inputs.ts';
import { nested } from './nested.ts';
import { anova, welchAnova } from './one-way.ts';
import { holm, known, pairs, welch } from './pairs.ts';
import { fieller, logRatio } from './ratio.ts';
import { rounds } from './rounds.ts';
import { studentizedRangeTail } from './studentized-range.ts';

const two = z.tuple([z.number(), z.number()]);
const three = z.tuple([z.number(), z.number(), z.number()]);
const pair = z.strictObject({
  a: z.string(),
  b: z.string(),
  difference: z.number(),
  df: z.number(),
  p: z.number(),
  half: z.number(),
  lo: z.number(),
  hi: z.number(),
});

/** Several groups against each other, with the plate as block or unit where there are plates. */
export const comparisonKernels: Kernel[] = [
  kernel({
    name: 'statistics.anova',
    what: 'One-way analysis of variance',
    inputs: z.strictObject({ groups }),
    outputs: z.strictObject({
      df_b: z.int(),
      df_w: z.int(),
      ss_b: z.number(),
      ss_w: z.number(),
      ms_b: z.number(),
      ms_w: maybe,
      F: maybe,
      p: maybe,
      r2: maybe,
      resid_sd: maybe,
    }),
    run: (given) => anova(toGroups(given.groups)),
  }),
  kernel({
    name: 'statistics.welchAnova',
    what: 'Analysis of variance for unequal variances',
    inputs: z.strictObject({ groups }),
    outputs: z.strictObject({ F: z.number(), df1: z.number(), df2: z.number(), p: z.number() }),
    run: (given) => welchAnova(toGroups(given.groups)),
  }),
  kernel({
    name: 'statistics.welch',
    what: 'Difference of two means with its interval, unequal variances; from values or from n, mean and s',
    inputs: z.union([
      z.strictObject({ x: values, y: values, conf }),
      z.strictObject({
        n: z.tuple([z.int().min(2), z.int().min(2)]),
        mean: two,
        s: z.tuple([z.number().min(0), z.number().min(0)]),
        conf,
      }),
    ]),
    outputs: z.strictObject({
      difference: z.number(),
      t: z.number(),
      df: z.number(),
      p: z.number(),
      lo: z.number(),
      hi: z.number(),
    }),
    run(given) {
      if ('x' in given) return welch(known(given.x), known(given.y), given.conf);
      const { n, mean, s } = given;
      return welch({ n: n[0], mean: mean[0], s: s[0] }, { n: n[1], mean: mean[1], s: s[1] }, given.conf);
    },
  }),
  kernel({
    name: 'statistics.pairs',
    what: 'All differences between groups with simultaneous intervals',
    inputs: z.strictObject({
      groups,
      method: z.enum(['games-howell', 'tukey']).default('games-howell'),
      conf,
      pair: z.tuple([z.string(), z.string()]).optional(),
    }),
    outputs: z.strictObject({ pairs: z.array(pair) }),
    run: (given) => ({ pairs: pairs(toGroups(given.groups), given.method, given.conf, given.pair) }),
  }),
  kernel({
    name: 'statistics.holm',
    what: "Holm's adjustment of several p",
    inputs: z.strictObject({ p: z.array(z.number().min(0).max(1)).min(1) }),
    outputs: z.strictObject({ adjusted: list }),
    run: ({ p }) => ({ adjusted: holm(p) }),
  }),
  kernel({
    name: 'statistics.blocks',
    what: 'Mixed plates: orientation with the plate as block; rows [plate, orientation, y]',
    inputs: z.strictObject({ rows: plateFirst, conf }),
    outputs: z.strictObject({
      ss_treatment: z.number(),
      ss_block: z.number(),
      ss_error: z.number(),
      df_treatment: z.int(),
      df_block: z.int(),
      df_error: z.int(),
      F_treatment: maybe,
      p_treatment: maybe,
      F_block: maybe,
      p_block: maybe,
      interaction: z
        .strictObject({
          ss: z.number(),
          df: z.int(),
          ss_within: z.number(),
          df_within: z.int(),
          F: z.number(),
          p: z.number(),
          is_error: z.boolean(),
        })
        .nullable(),
      ms_used: maybe,
      df_used: z.int(),
      pairs: z.array(pair),
    }),
    run: (given) =>
      blocks(
        given.rows.map(([plate, orientation, value]) => ({
          plate: String(plate),
          orientation: String(orientation),
          value,
        })),
        given.conf,
      ),
  }),
  kernel({
    name: 'statistics.rounds',
    what: 'One orientation a plate, in rounds: ratios with the plate as unit; rows [orientation, round, y]',
    inputs: z.strictObject({ rows: orientationFirst, conf }),
    outputs: z.strictObject({
      df: z.int(),
      F: z.number(),
      p: z.number(),
      s_plate_log: z.number(),
      pairs: z.array(
        z.strictObject({
          a: z.string(),
          b: z.string(),
          ratio: z.number(),
          lo: z.number(),
          hi: z.number(),
          lo_single: z.number(),
          hi_single: z.number(),
          p_tukey: z.number(),
        }),
      ),
    }),
    run: (given) =>
      rounds(
        given.rows.map(([orientation, round, value]) => ({
          orientation: String(orientation),
          plate: `${orientation} ${round}`,
          round: String(round),
          value,
        })),
        given.conf,
      ),
  }),
  kernel({
    name: 'statistics.nested',
    what: 'Plates nested in orientations, the plate as unit; rows [orientation, plate, y]',
    inputs: z.strictObject({ rows: orientationFirst }),
    outputs: z.strictObject({
      df: three,
      ss: three,
      n0: z.number(),
      n1: z.number(),
      var_plate: maybe,
      var_bar: maybe,
      F: z.number(),
      df_den: z.number(),
      p: z.number(),
      F_bars_as_units: maybe,
      p_bars_as_units: maybe,
    }),
    run: (given) => nested(toRows(given.rows)),
  }),
  kernel({
    name: 'statistics.ratio',
    what: 'Ratio of two means with its interval: Fieller, or by the logs',
    inputs: z.strictObject({
      num: values,
      den: values,
      conf,
      method: z.enum(['fieller', 'log']).default('fieller'),
    }),
    outputs: z.strictObject({
      ratio: z.number(),
      df: z.number(),
      g: z.number().optional(),
      lo: maybe,
      hi: maybe,
    }),
    run: ({ num, den, conf: level, method }) =>
      method === 'fieller' ? fieller(num, den, level) : logRatio(num, den, level),
  }),
  kernel({
    name: 'statistics.studentizedRange',
    what: 'Upper tail of the studentized range for each [q, groups, degrees of freedom]',
    inputs: z.strictObject({
      q_k_df: z.array(z.tuple([z.number(), z.int().min(2).max(100), z.number().positive()])).min(1),
    }),
    outputs: z.strictObject({ p: list }),
    run: (given) => ({ p: given.q_k_df.map(([q, k, df]) => studentizedRangeTail(q, k, df)) }),
  }),
];
