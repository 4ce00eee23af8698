import { z } from 'zod';
import { type Kernel, kernel } from '../kernel.ts';
import { boundPlates } from './bound-plates.ts';
import { summary } from './group.ts';
import { above, alpha, conf, count, groups, list, maybe, toGroups, values } from './kernel-inputs.ts';
import { line } from './line.ts';
import { distributionTests } from './normality.ts';
import { grubbs } from './outlier.ts';
import { poolable } from './pooling.ts';
import { boundRank, lowerBound, toleranceFactor } from './tolerance.ts';
import { levene } from './variances.ts';
import { weibullFit, weibullSmall } from './weibull.ts';

/** One group of bars: its numbers, its doubts and its lower bounds. */
export const groupKernels: Kernel[] = [
  kernel({
    name: 'statistics.summary',
    what: 'Mean, standard deviation and interval of the mean',
    inputs: z.strictObject({ x: values, conf }),
    outputs: z.strictObject({ n: z.int(), mean: z.number(), s: maybe, cv: maybe, lo: maybe, hi: maybe }),
    run: (given) => summary(given.x, given.conf),
  }),
  kernel({
    name: 'statistics.line',
    what: 'Least squares line with standard errors',
    inputs: z.strictObject({ x: values, y: values }),
    outputs: z.strictObject({
      b0: z.number(),
      b1: z.number(),
      se_b0: maybe,
      se_b1: maybe,
      resid_sd: maybe,
      r2: maybe,
    }),
    run: ({ x, y }) => line(x, y),
  }),
  kernel({
    name: 'statistics.grubbs',
    what: 'Outlier test of Grubbs: whether the value farthest out deserves a question',
    inputs: z.strictObject({ x: values, alpha, sides: z.union([z.literal(1), z.literal(2)]).default(2) }),
    outputs: z.strictObject({
      G: z.number(),
      crit: z.number(),
      outlier: z.boolean(),
      index: z.int(),
      value: z.number(),
    }),
    run: (given) => grubbs(given.x, given.alpha, given.sides),
  }),
  kernel({
    name: 'statistics.distribution',
    what: 'Anderson-Darling levels for normal, lognormal and Weibull; Shapiro-Wilk',
    inputs: z.strictObject({ x: values }),
    outputs: z.strictObject({
      osl_normal: maybe,
      osl_lognormal: maybe,
      osl_weibull: maybe,
      W: maybe,
      p_W: maybe,
    }),
    run: ({ x }) => distributionTests(x),
  }),
  kernel({
    name: 'statistics.weibull',
    what: 'Weibull distribution by maximum likelihood',
    inputs: z.strictObject({ x: values }),
    outputs: z.strictObject({ shape: z.number(), scale: z.number() }),
    run: ({ x }) => weibullFit(x),
  }),
  kernel({
    name: 'statistics.weibullSmall',
    what: 'How far the Weibull shape of a few values can be trusted: bias and interval factors by seeded simulation',
    inputs: z.strictObject({ n: z.array(z.int().min(3).max(1000)).min(1), conf: conf.default(0.9) }),
    outputs: z.strictObject({ unbias: list, q_lo: list, q_hi: list }),
    run(given) {
      const found = given.n.map((n) => weibullSmall(n, given.conf));
      return {
        unbias: found.map((one) => one.unbias),
        q_lo: found.map((one) => one.q_lo),
        q_hi: found.map((one) => one.q_hi),
      };
    },
  }),
  kernel({
    name: 'statistics.levene',
    what: 'Equal variances? Levene with medians',
    inputs: z.strictObject({ groups }),
    outputs: z.strictObject({ F: maybe, df: z.tuple([z.number(), z.number()]), p: maybe }),
    run: (given) => levene(toGroups(given.groups)),
  }),
  kernel({
    name: 'statistics.poolable',
    what: 'May groups be pooled? k-sample Anderson-Darling, midranks',
    inputs: z.strictObject({ groups, alpha: alpha.default(0.025) }),
    outputs: z.strictObject({ A2: z.number(), ADK: z.number(), sigma: z.number(), same: z.boolean() }),
    run: (given) => poolable(toGroups(given.groups), given.alpha),
  }),
  kernel({
    name: 'statistics.toleranceFactor',
    what: 'Factor k of a one-sided tolerance bound m - k s, exact',
    inputs: z.strictObject({ n: z.array(z.int().min(2)).min(1), p: above, conf }),
    outputs: z.strictObject({ k: list }),
    run: (given) => ({ k: given.n.map((n) => toleranceFactor(n, given.p, given.conf)) }),
  }),
  kernel({
    name: 'statistics.boundRank',
    what: 'Rank of the value that bounds without any distribution; 0 where there are too few',
    inputs: z.strictObject({ n: z.array(count).min(1), p: above, conf }),
    outputs: z.strictObject({ rank: z.array(z.int()) }),
    run: (given) => ({ rank: given.n.map((n) => boundRank(n, given.p, given.conf)) }),
  }),
  kernel({
    name: 'statistics.bound',
    what: 'Lower bounds of one population, with the name that they may carry',
    inputs: z.strictObject({ x: values, p: above.default(0.9), conf, batches: count.default(1) }),
    outputs: z.strictObject({
      n: z.int(),
      k: maybe,
      normal: maybe,
      lognormal: maybe,
      weibull: maybe,
      rank: z.int(),
      rank_bound: maybe,
      shown: z.boolean(),
      b_basis: z.boolean(),
      name: z.string(),
      missing: z.string().nullable(),
    }),
    run: (given) => lowerBound(given.x, given.p, given.conf, given.batches),
  }),
  kernel({
    name: 'statistics.boundPlates',
    what: 'Lower bound from several plates or spools by the one-way random model',
    inputs: z.strictObject({ groups, p: above.default(0.9), conf }),
    outputs: z.strictObject({ bound: z.number(), S: z.number(), u: z.number(), T: z.number() }),
    run: (given) => boundPlates(toGroups(given.groups), given.p, given.conf),
  }),
];
