import { Refusal } from '../kernel.ts';
import { type Analysis, compare } from './compare.ts';
import { INTERVAL_FROM, moments } from './group.ts';
import { plateRatios } from './nested.ts';
import { welchAnova } from './one-way.ts';
import { grubbs } from './outlier.ts';
import { pairs } from './pairs.ts';
import { fieller, plateRatio } from './ratio.ts';
import { singleRatio } from './rounds.ts';
import { groupsOf, type Row } from './rows.ts';

/** One tested bar with its reduced strength. */
export type TestedBar = Readonly<{
  bar: string;
  orientation: string;
  plate: string;
  round?: string;
  /** Dry, conditioned ...: part of the name of the number. */
  condition?: string;
  /** Pa or MPa, the same for all. */
  strength: number;
  /** False only where the person rejected the bar for a physical reason. */
  valid: boolean;
}>;

export type Series = Readonly<{
  /** By orientation, valid bars. */
  n: Record<string, number>;
  mean: Record<string, number>;
  s: Record<string, number | null>;
  rejected: string[];
  /** Bars that the outlier test asks about; they stay in. */
  asked: string[];
  analysis: Analysis;
  p: number | null;
  message: string;
  /** value, lo, hi by that analysis; null where it gives none. */
  ratio: [number, number | null, number | null] | null;
  /** Fieller on the bars: for these plates only. */
  ratio_bars: [number, number | null, number | null] | null;
  welch_F: number | null;
  pairs_bars: { a: string; b: string; half: number }[];
  F_plate: number | null;
  pairs: { a: string; b: string; p: number; differs: boolean }[];
}>;

/** Level of the outlier question and of "differs". */
const ALPHA = 0.05;

/**
 * From reduced bars to the numbers of the report: groups, outlier questions, the comparison that the plates allow, the
 * ratio asked for, and the bars on their own beside it.                                                     [answer-3]
 *
 * @throws Refusal when valid bars of different condition stand together, or none is valid
 */
export function analyseSeries(
  bars: readonly TestedBar[],
  conf: number,
  wanted: Readonly<{ ratio?: readonly [string, string]; pair?: readonly [string, string] }> = {},
): Series {
  const valid = bars.filter((bar) => bar.valid);
  if (valid.length === 0) throw new Refusal('No valid bar is left.');
  const conditions = [...new Set(valid.map((bar) => bar.condition ?? ''))];
  if (conditions.length > 1)
    throw new Refusal(
      `Bars of different condition (${conditions.map((c) => c || 'not said').join(', ')}) are never put together.`,
    );
  const rows: Row[] = valid.map(({ orientation, plate, round, strength }) => ({
    orientation,
    plate,
    ...(round === undefined ? {} : { round }),
    value: strength,
  }));
  const groups = groupsOf(rows, (row) => row.orientation);
  const parts = groups.map(({ name, values }) => [name, moments(values)] as const);
  const asked = groups.flatMap(({ name, values }) => {
    if (values.length < INTERVAL_FROM || new Set(values).size < 2) return [];
    const { outlier, index } = grubbs(values, ALPHA, 2);
    return outlier ? [valid.filter((bar) => bar.orientation === name)[index]!.bar] : [];
  });
  const comparison = groups.length > 1 ? compare(rows, conf) : null;
  const testable = groups.length > 1 && parts.every(([, part]) => (part.s ?? 0) > 0);
  return {
    n: Object.fromEntries(parts.map(([name, part]) => [name, part.n])),
    mean: Object.fromEntries(parts.map(([name, part]) => [name, part.mean])),
    s: Object.fromEntries(parts.map(([name, part]) => [name, part.s])),
    rejected: bars.filter((bar) => !bar.valid).map((bar) => bar.bar),
    asked,
    analysis: comparison?.analysis ?? 'none',
    p: comparison?.p ?? null,
    message: comparison?.message ?? 'There is one orientation only: nothing is compared.',
    ratio: wanted.ratio && comparison ? ratioBy(comparison, rows, wanted.ratio, conf) : null,
    ratio_bars: wanted.ratio ? barsRatio(groups, wanted.ratio, conf) : null,
    welch_F: testable ? welchAnova(groups).F : null,
    pairs_bars: testable
      ? pairs(groups, 'games-howell', conf, wanted.pair).map(({ a, b, half }) => ({ a, b, half }))
      : [],
    F_plate: comparison?.blocks?.F_block ?? null,
    pairs: comparison?.rounds?.pairs.map(({ a, b, p_tukey: p }) => ({ a, b, p, differs: p < ALPHA })) ?? [],
  };
}

function barsRatio(
  groups: readonly { name: string; values: readonly number[] }[],
  [num, den]: readonly [string, string],
  conf: number,
): Series['ratio_bars'] {
  const [above, below] = [num, den].map((name) => groups.find((group) => group.name === name)?.values);
  if (!above || !below || above.length < 2 || below.length < 2) return null;
  const { ratio, lo, hi } = fieller(above, below, conf);
  return [ratio, lo, hi];
}

function ratioBy(
  comparison: ReturnType<typeof compare>,
  rows: readonly Row[],
  [num, den]: readonly [string, string],
  conf: number,
): Series['ratio'] {
  if (comparison.blocks) {
    const found = plateRatio(rows, num, den, conf);
    return found && [found.ratio, found.lo, found.hi];
  }
  const list = comparison.rounds?.pairs ?? (comparison.nested && plateRatios(rows, conf)?.pairs);
  return list ? singleRatio(list, num, den) : null;
}
