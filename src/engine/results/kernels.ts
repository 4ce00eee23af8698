import { z } from 'zod';
import { bytesOf } from '../curves/encoding.ts';
import { readCurves } from '../curves/read.ts';
import { specimenOf, specimenTypes } from '../curves/specimen.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { conf, maybe } from '../statistics/kernel-inputs.ts';
import { analyseSeries } from '../statistics/series.ts';
import type { BarFacts, TestFacts } from './bar.ts';
import { barNamed } from './bar-names.ts';
import { reduceBar } from './reduce-bar.ts';

// mm and MPa at this edge; SI inside.
const MM = 1e-3;
const MPA = 1e6;
const sizes = z.array(z.number().positive()).min(1);
const label = z.union([z.string(), z.number()]).transform(String);
const pair = z.tuple([z.string(), z.string()]);
const interval = z.tuple([z.number(), maybe, maybe]).nullable();

/** Uncertainties do not bear on this kernel's numbers. */
const EXACT: Omit<TestFacts, 'gaugeLength' | 'gripDistance'> = {
  compliance: null,
  options: { toe: 'auto' },
  forceError: 0,
  extensometerError: 0,
  caliperError: 0,
  ridge: 0,
};
const NOTHING = { layerTime: null, water: null, mass: null, plateOrder: null, testOrder: null };

const series = kernel({
  name: 'results.series',
  what: 'A whole series: files read, each bar reduced, bars left out by reason, groups and the comparison that the plates allow',
  inputs: z.strictObject({
    bars: z
      .array(
        z.strictObject({
          bar: z.string(),
          orientation: z.string(),
          plate: label,
          round: label.optional(),
          condition: z.string().optional(),
          width_mm: sizes,
          thickness_mm: sizes,
          valid: z.boolean(),
          note: z.string().optional(),
        }),
      )
      .min(1),
    files: z.array(z.string()).min(1),
    specimen: z.string(),
    L0: z.number().positive(),
    L: z.number().positive(),
    ratio: pair.optional(),
    pair: pair.optional(),
    conf,
  }),
  outputs: z.strictObject({
    n: z.record(z.string(), z.int()),
    mean_MPa: z.record(z.string(), z.number()),
    s_MPa: z.record(z.string(), maybe),
    rejected: z.array(z.string()),
    asked: z.array(z.string()),
    analysis: z.enum(['mixed', 'rounds', 'nested', 'none']),
    p: maybe,
    message: z.string(),
    ratio: interval,
    ratio_bars: interval,
    welch_F: maybe,
    pairs_bars: z.array(z.strictObject({ a: z.string(), b: z.string(), half: z.number() })),
    F_plate: maybe,
    pairs: z.array(z.strictObject({ a: z.string(), b: z.string(), p: z.number(), differs: z.boolean() })),
    strength_MPa: z.record(z.string(), z.number()),
  }),
  run(given, host) {
    if (specimenOf(given.specimen) === undefined)
      throw new Refusal(`"${given.specimen}" is no type of bar. Known are ${specimenTypes.join(', ')}.`);
    const test: TestFacts = { ...EXACT, gaugeLength: given.L0 * MM, gripDistance: given.L * MM };
    const facts = given.bars.map(
      (bar): BarFacts => ({
        bar: bar.bar,
        called: null,
        group: bar.orientation,
        orientation: bar.orientation,
        type: given.specimen,
        plate: bar.plate,
        round: bar.round ?? null,
        at: null,
        condition: bar.condition ?? '',
        width: bar.width_mm.map((value) => value * MM),
        thickness: bar.thickness_mm.map((value) => value * MM),
        area: null,
        leftOut: bar.valid ? null : { reason: '', note: bar.note ?? '' },
        note: bar.note ?? '',
        spare: false,
        covariates: NOTHING,
      }),
    );
    const strengths = new Map<string, number>();
    given.files.forEach((path, k) => {
      const source = host.open(path);
      const reading = readCurves(source.name, bytesOf(source), {
        progress: (share) => host.progress?.((k + share) / given.files.length),
      });
      for (const recorded of reading.bars) {
        const bar = barNamed(recorded.name, facts);
        if (bar === null)
          throw new Refusal(`${source.name}: bar "${recorded.name}" is not among the bars of this series.`);
        if (strengths.has(bar.bar))
          throw new Refusal(`Bar "${bar.bar}" stands twice in the files; the second time in ${source.name}.`);
        const origin = {
          file: source.name,
          hash: '',
          lineFirst: recorded.lineFirst,
          lineLast: recorded.lineLast,
          name: recorded.name,
        };
        strengths.set(bar.bar, reduceBar(bar, recorded, origin, test).strength / MPA);
      }
    });
    const lost = facts.filter(({ bar }) => !strengths.has(bar)).map(({ bar }) => bar);
    if (lost.length > 0) throw new Refusal(`The files hold no curve of ${lost.join(', ')}.`);
    const found = analyseSeries(
      facts.map((bar) => ({
        bar: bar.bar,
        orientation: bar.orientation,
        plate: bar.plate,
        ...(bar.round === null ? {} : { round: bar.round }),
        condition: bar.condition,
        strength: strengths.get(bar.bar)!,
        valid: bar.leftOut === null,
      })),
      given.conf,
      { ...(given.ratio ? { ratio: given.ratio } : {}), ...(given.pair ? { pair: given.pair } : {}) },
    );
    const { mean, s, ...rest } = found;
    return { ...rest, mean_MPa: mean, s_MPa: s, strength_MPa: Object.fromEntries(strengths) };
  },
});

export const kernels: Kernel[] = [series];
