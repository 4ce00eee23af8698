import { z } from 'zod';
import { caution } from './views.ts';

/**
 * What a page, a terminal and the report show of broken bars: every figure already printed, every sentence already
 * written. Numbers without text are positions in pictures, in the unit that the axis names.
 */

const line = z.strictObject({ what: z.string(), value: z.string() });
const tick = z.strictObject({ at: z.number(), label: z.string() });
const point = z.tuple([z.number(), z.number()]);

/** One row of the table of groups. A dash where there is no such number. */
export const groupRow = z.strictObject({
  group: z.string(),
  /** "flat (XYZ), 1B" */
  built: z.string(),
  plates: z.string(),
  /** "6", or "5 of 6" where some are left out. */
  bars: z.string(),
  /** "97.8 ± 2.7": mean and 95 % interval; the value alone below three bars. MPa, GPa and %. */
  strength: z.string(),
  spread: z.string(),
  cv: z.string(),
  bound: z.string(),
  /** "90/95 lower bound of this plate", or why there is none. */
  boundWords: z.string(),
  modulus: z.string(),
  strainAtStrength: z.string(),
  strainAtBreak: z.string(),
  /** "no spread from one bar", "5 bars at least are asked for by the standard" ... */
  notes: z.array(z.string()),
});

/** Every bar as a mark, in the unit of the axis. Left-out bars are there too, drawn open. */
export const everyBar = z.strictObject({
  low: z.number(),
  high: z.number(),
  ticks: z.array(tick),
  /** "strength, MPa" */
  axis: z.string(),
  /** The finding, read aloud in place of the picture. */
  finding: z.string(),
  rows: z.array(
    z.strictObject({
      group: z.string(),
      points: z.array(z.strictObject({ bar: z.string(), at: z.number(), counts: z.boolean() })),
      mean: z.number().nullable(),
      /** 95 % interval of the mean. */
      lo: z.number().nullable(),
      hi: z.number().nullable(),
      /** Value that 9 in 10 bars exceed, 95 % sure. */
      bound: z.number().nullable(),
    }),
  ),
});

/** All curves over one pair of axes: % and MPa. */
export const curvesChart = z.strictObject({
  xHigh: z.number(),
  yHigh: z.number(),
  xTicks: z.array(tick),
  yTicks: z.array(tick),
  finding: z.string(),
  lines: z.array(
    z.strictObject({
      bar: z.string(),
      /** Which group, by its number in the table: shade and dash. */
      group: z.number(),
      counts: z.boolean(),
      points: z.array(point),
      /** The strength, marked. */
      peak: point.nullable(),
      /** "A1: 98.2 MPa at 2.4 %, modulus 7.1 GPa" */
      words: z.string(),
    }),
  ),
});

/** Something that should not matter against strength (MPa). */
export const covariateView = z.strictObject({
  name: z.string(),
  unit: z.string(),
  xLow: z.number(),
  xHigh: z.number(),
  xTicks: z.array(tick),
  yHigh: z.number(),
  yTicks: z.array(tick),
  points: z.array(z.strictObject({ bar: z.string(), group: z.number(), x: z.number(), y: z.number() })),
  /** "No trend seen: −0.2 MPa a minute (−0.9 to 0.5)." */
  finding: z.string(),
  /** It goes together with the groups, so that the two cannot be told apart; null where it does not. */
  mixedUp: z.string().nullable(),
});

/** One sentence that may be said, and under it by what method and how weak. */
export const saying = z.strictObject({ words: z.string(), small: z.string() });

/** Bars of one condition; they are never put together with bars of another. */
export const seriesView = z.strictObject({
  condition: z.string(),
  groups: z.array(groupRow),
  say: z.array(saying),
  /** How many more bars or plates would settle what is open; empty where nothing is. */
  more: z.array(z.string()),
  leftOut: z.array(z.strictObject({ bar: z.string(), words: z.string(), effect: z.string() })),
  /** Bars that are asked about and stay in. */
  asked: z.array(z.strictObject({ bar: z.string(), words: z.string() })),
  everyBar,
  everyModulus: everyBar,
  curves: curvesChart,
  covariates: z.array(covariateView),
});

/** One bar: its numbers and the way back from them. */
export const barView = z.strictObject({
  bar: z.string(),
  group: z.string(),
  condition: z.string(),
  counts: z.boolean(),
  /** "98.2 MPa" */
  strength: z.string(),
  /** Why it does not count; null where it does. */
  leftOut: z.string().nullable(),
  note: z.string(),
  spare: z.boolean(),
  numbers: z.array(line),
  measured: z.array(line),
  /** Treatments of its curve, and what is asked about it. */
  flags: z.array(z.strictObject({ code: z.string(), sentence: z.string() })),
  questions: z.array(z.string()),
  /** % and MPa. */
  curve: z.array(point),
  xTicks: z.array(tick),
  yTicks: z.array(tick),
  /** File, lines, hash, name in the file, options of the reduction. */
  from: z.array(line),
  plate: z.string(),
  /** Middle of the bar on the sheet, mm; null where the campaign does not say. */
  at: point.nullable(),
});

export const plateView = z.strictObject({
  plate: z.string(),
  bars: z.array(z.strictObject({ bar: z.string(), at: point.nullable(), lies: z.string() })),
  /** Sheet, mm. */
  sheet: point.nullable(),
  /** Print file, order, time between layers, spool, drying, water of the strand while it was printed. */
  facts: z.array(line),
});

export const curveFileView = z.strictObject({
  file: z.string(),
  /** SHA-256 of the bytes as they came. */
  hash: z.string(),
  bars: z.array(z.string()),
  evidence: z.array(z.string()),
  notes: z.array(z.string()),
  columns: z.array(z.strictObject({ heading: z.string(), role: z.string(), unit: z.string() })),
});

export const barsView = z.strictObject({
  campaign: z.string(),
  invented: z.boolean(),
  /** The answer in one sentence. */
  headline: z.string(),
  /** What was done, in one line. */
  lead: z.string(),
  /** Null: nothing is asked. */
  answered: z.boolean().nullable(),
  /** Why it is not answered, and what would settle it; null where it is. */
  open: z.string().nullable(),
  series: z.array(seriesView),
  bars: z.array(barView),
  plates: z.array(plateView),
  files: z.array(curveFileView),
  /** Reasons for which a bar may be left out: the word of the campaign file, and what it means. */
  reasons: z.array(z.strictObject({ code: z.string(), words: z.string() })),
  /** "No curve yet of A3, A4." and bars whose curve gives no number. */
  lacking: z.array(z.string()),
  /** What only a person can say and the report needs: what, where in the campaign, an example of it. */
  blanks: z.array(z.strictObject({ what: z.string(), path: z.string(), hint: z.string() })),
  /** Where the uncertainty of one bar comes from, and what to measure better first. */
  budget: z.array(z.string()),
  method: z.array(line),
  /** What this series does not say. */
  weak: z.array(z.string()),
  cautions: z.array(caution),
});

/** A file of curves before anything of it is kept: what was found, on what evidence, and what is asked. */
export const readingView = z.strictObject({
  file: z.string(),
  hash: z.string(),
  /** True where this layout was confirmed before: nothing needs to be asked but what is odd about this file. */
  known: z.boolean(),
  columns: z.array(
    z.strictObject({
      /** From 1, in the file. */
      column: z.number(),
      heading: z.string(),
      role: z.string(),
      roleWords: z.string(),
      unit: z.string().nullable(),
      evidence: z.string(),
      /** It is asked about. */
      asked: z.boolean(),
    }),
  ),
  /** First rows as they stand. */
  rows: z.array(z.array(z.string())),
  decimal: z.enum(['.', ',']),
  evidence: z.array(z.string()),
  notes: z.array(z.string()),
  questions: z.array(z.string()),
  bars: z.array(z.strictObject({ name: z.string(), bar: z.string().nullable(), words: z.string() })),
  /** First curve as read, force or stress against what it was strained by. */
  first: z.strictObject({ points: z.array(point), xLabel: z.string(), yLabel: z.string() }),
  /** What a column may be, and the units that each role may have. */
  roles: z.array(z.strictObject({ role: z.string(), words: z.string(), units: z.array(z.string()) })),
});

export type GroupRow = z.infer<typeof groupRow>;
export type EveryBar = z.infer<typeof everyBar>;
export type CurvesChart = z.infer<typeof curvesChart>;
export type CovariateView = z.infer<typeof covariateView>;
export type SeriesView = z.infer<typeof seriesView>;
export type BarView = z.infer<typeof barView>;
export type PlateView = z.infer<typeof plateView>;
export type CurveFileView = z.infer<typeof curveFileView>;
export type BarsView = z.infer<typeof barsView>;
export type ReadingView = z.infer<typeof readingView>;
