import { REASONS } from '../engine/curves/validity.ts';
import { NOT_SAID } from '../engine/results/facts.ts';
import type { GroupFigures } from '../engine/results/group-figures.ts';
import type { Measure } from '../engine/results/measures.ts';
import type { Asked, PairAnswer, SeriesResult } from '../engine/results/results.ts';
import { roundDigits } from '../engine/statistics/digits.ts';
import { showNumber } from '../units.ts';
import { bareDigits, digitsOf, pWords, ratioWords, STRESS_DIGITS } from './bars-figures.ts';
import { listed } from './link-words.ts';

/** Sentences about broken bars: the same on page, terminal and report. */

/** How a bar lies, with the letters of ISO/ASTM 52921 (from memory). */
const BUILT: Readonly<Record<string, string>> = {
  flat: 'flat (XYZ)',
  'on edge': 'on edge (XZY)',
  upright: 'upright (ZXY)',
};
export const builtWords = (orientation: string) => BUILT[orientation] ?? orientation;

const CONDITION: Readonly<Record<string, string>> = {
  'dry as printed': 'dry as printed',
  '23/50': 'conditioned at 23\u00a0°C and 50\u00a0%RH (ISO 291)',
  accelerated: 'conditioned at 70\u00a0°C and 62\u00a0%RH (ISO 1110)',
  wet: 'wet',
  [NOT_SAID]: 'condition not said',
};
export const conditionWords = (condition: string) => CONDITION[condition] ?? condition;

/** What holds most of it, and what keeps a part of it. */
const MOST: Readonly<Record<Measure, string>> = {
  strength: 'is strongest',
  modulus: 'is stiffest',
  'strain at strength': 'is strained furthest at its strength',
  'strain at break': 'is strained furthest at the break',
  'yield stress': 'yields last',
};
const OF: Readonly<Record<Measure, string>> = {
  strength: 'strength',
  modulus: 'modulus',
  'strain at strength': 'strain at strength',
  'strain at break': 'strain at break',
  'yield stress': 'yield stress',
};

export const sentenceCase = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
export const shareWords = (share: number) => `${roundDigits(100 * share, 3)}\u00a0%`;

export const reasonWords = (code: string) => REASONS.find((reason) => reason.code === code)?.words ?? code;

const kept = ({ answer: { ratio, lo, hi } }: PairAnswer) => ratioWords(ratio!, lo, hi);

/** The answer in one sentence, without its full stop. */
export function headlineOf({ pairs, comparison, groups }: SeriesResult, asked: Asked): string {
  if (groups.every(({ measures }) => measures[asked.measure] === null))
    return `Not answered: these curves give no ${OF[asked.measure]}`;
  if (pairs.length === 0) return 'One group alone: its numbers, and nothing to compare';
  const withRatio = pairs.filter(({ answer }) => answer.verdict !== 'none');
  if (withRatio.length === 0)
    return comparison?.analysis === 'none'
      ? 'Not answered: plate and group cannot be told apart'
      : 'Not answered: no interval can be given';
  const { measure } = asked;
  const names = [...new Set(pairs.flatMap(({ pair }) => pair))];
  if (names.length === 2) return sentenceCase(pairWords(pairs[0]!, asked, measure));
  // The strongest is never the weaker one of its pairs.
  const strongest = names.find((name) => !pairs.some(({ pair }) => pair[0] === name))!;
  const against = withRatio.filter(({ pair }) => pair[1] === strongest);
  const apart = against.filter(({ answer }) => answer.verdict === 'different');
  const others = against.filter(({ answer }) => answer.verdict !== 'different');
  const keeps = apart.map((one, k) => `${one.pair[0]} ${k === 0 ? 'keeps ' : ''}${kept(one)}`);
  if (others.length === 0 && apart.length === names.length - 1)
    return `${sentenceCase(strongest)} ${MOST[measure]}; of its ${OF[measure]} ${listed(keeps)}`;
  const rest = others.map((one) => pairWords(one, asked, measure));
  return sentenceCase(
    [...apart.map((one) => `${one.pair[0]} keeps ${kept(one)} of ${strongest}`), ...rest].join('; '),
  );
}

function pairWords(one: PairAnswer, { smallest }: Asked, measure: Measure): string {
  const [weaker, stronger] = one.pair;
  const of = measure === 'strength' ? '' : ` of the ${OF[measure]}`;
  switch (one.answer.verdict) {
    case 'different':
      return `${weaker} keeps ${kept(one)}${of} of ${stronger}`;
    case 'alike':
      return `${weaker} and ${stronger} are alike within ${shareWords(smallest)}`;
    case 'open':
      return `whether ${weaker} and ${stronger} differ by ${shareWords(smallest)} is open (${weaker} keeps ${kept(one)}${of})`;
    case 'none':
      return `${weaker} against ${stronger} is not answered`;
  }
}

/** Sentences that may be said of a pair, with the interval, the method and its weakness. */
export function pairSaying(
  one: PairAnswer,
  { comparison, confEach, pairs }: SeriesResult,
  asked: Asked,
): { words: string; small: string } {
  const { answer, difference, pair } = one;
  const sure = `${roundDigits(100 * confEach, 3)}\u00a0% interval${pairs.length > 1 ? `, so that all ${pairs.length} hold together 95 times in 100` : ''}`;
  if (answer.verdict === 'none')
    return {
      words: `${sentenceCase(pair[0])} against ${pair[1]}: nothing can be said.`,
      small: comparison?.message ?? answer.sentence,
    };
  const beyond =
    answer.verdict !== 'different'
      ? ''
      : answer.beyond
        ? `; they differ by more than ${shareWords(asked.smallest)}`
        : `; they differ, and whether by ${shareWords(asked.smallest)} is open`;
  const plate = answer.onePlate ? ' One plate alone tells the two apart: it holds for this plate.' : '';
  const bars = difference === null || asked.measure !== 'strength' ? '' : barsWords(difference, pair);
  const size = answer.verdict === 'alike' ? `: ${pair[0]} keeps ${kept(one)} of ${pair[1]}` : '';
  return {
    words: `${sentenceCase(pairWords(one, asked, asked.measure))}${size}${beyond}.`,
    small: `${sure}. ${methodWords(answer.analysis)}${plate}${bars}`,
  };
}

/** The difference by the bars as they are, told from the higher one. */
function barsWords(difference: NonNullable<PairAnswer['difference']>, pair: PairAnswer['pair']): string {
  const { value, lo, hi } = difference;
  const [size, from, to, higher] =
    value < 0 ? [-value, -hi, -lo, pair[0]] : ([value, lo, hi, pair[1]] as const);
  const digits = size >= (to - from) / 4 ? 2 : 1;
  const shown = (stress: number) => bareDigits(stress, 'MPa', digits);
  return ` By the bars as they are ${higher} is ${shown(size)}\u00a0MPa higher (${shown(from)} to ${shown(to)}), for these plates.`;
}

function methodWords(analysis: PairAnswer['answer']['analysis']): string {
  switch (analysis) {
    case 'mixed':
      return 'Compared within plates that carry both.';
    case 'rounds':
      return 'The plate is the unit, rounds are taken out.';
    case 'nested':
      return 'The plate is the unit, not the bar.';
    case 'none':
      return '';
  }
}

/** Whether the groups differ at all: the p value, or the sentence why there is none. */
export function comparisonSaying({ comparison }: SeriesResult): { words: string; small: string } | null {
  if (comparison === null) return null;
  return comparison.p === null
    ? { words: 'No p value is given.', small: comparison.message }
    : {
        words: `Whether the groups differ at all: ${pWords(comparison.p)}.`,
        small: comparison.message,
      };
}

/** The lower bound of a group, with its honest name. */
export function boundSaying({ group, bound, bars }: GroupFigures): { words: string; small: string } | null {
  if (bound === null) return null;
  if (bound.value === null)
    return {
      words: `${sentenceCase(group)}: no lower bound is given.`,
      small: bound.missing ?? 'Too few bars for a bound.',
    };
  const how =
    bound.method === 'plates as batches'
      ? 'plates as batches, one-way random model'
      : `normal spread, k = ${bareDigits(bound.k!, '', 3)}`;
  return {
    words: `${sentenceCase(group)}, the value 9 in 10 bars exceed is ${digitsOf(bound.value, 'MPa', STRESS_DIGITS)}.`,
    small:
      `${bound.name}, 95\u00a0% sure, ${bars.length} bars, ${how}. ${bound.missing ?? ''} No safety factor is in it.`.replace(
        /\s+/g,
        ' ',
      ),
  };
}

/** What a test for the normal shape says, and how little that is. */
export function distributionSaying(groups: readonly GroupFigures[]): { words: string; small: string } | null {
  const tested = groups.filter(({ distribution }) => distribution?.p_W != null);
  if (tested.length === 0) return null;
  const doubted = tested.filter(({ distribution }) => distribution!.p_W! < 0.05);
  const figures = tested.map(({ group, distribution }) => `${group} ${pWords(distribution!.p_W!)}`);
  return {
    words:
      doubted.length === 0
        ? 'Nothing seen speaks against a normal spread.'
        : `The spread of ${listed(doubted.map(({ group }) => group))} does not look normal.`,
    small: `Shapiro-Wilk: ${figures.join(', ')}. With n = 5 this test finds one far-off bar in about 20\u00a0% of cases.`,
  };
}

export function weibullSaying({
  group,
  weibull,
  bars,
}: GroupFigures): { words: string; small: string } | null {
  if (weibull === null) return null;
  const { shape, unbias, q_lo, q_hi, scale } = weibull;
  return {
    words: `${sentenceCase(group)}: Weibull shape ${bareDigits(shape * unbias, '', 2)} (${bareDigits(shape / q_hi, '', 2)} to ${bareDigits(shape / q_lo, '', 2)}), scale ${digitsOf(scale, 'MPa', STRESS_DIGITS)}.`,
    small: `Maximum likelihood, shape less its bias, 90\u00a0% interval. ${bars.length < 10 ? `${bars.length} bars` : 'So few bars'} cannot tell Weibull from normal.`,
  };
}

/** Notes on few bars. */
const STANDARD_BARS = 5;
export function fewWords({ bars, measures }: GroupFigures): string[] {
  const notes: string[] = [];
  if (bars.length === 1) notes.push('No spread from one bar.');
  else if (bars.length === 2) notes.push('Two bars: no interval, it would be more than ten spreads wide.');
  else if (bars.length < STANDARD_BARS && bars.length > 0)
    notes.push(`The interval is wide because there are ${bars.length} bars.`);
  if (bars.length < STANDARD_BARS)
    notes.push(
      `ISO 527-1 asks for at least ${STANDARD_BARS} valid bars (from memory: compare with your copy); here ${bars.length === 1 ? 'is 1' : `are ${bars.length}`}.`,
    );
  for (const [measure, figures] of Object.entries(measures))
    if (figures !== null && figures.without.length > 0 && measure !== 'yield stress')
      notes.push(`No ${measure} of ${listed(figures.without)}.`);
  return notes;
}

export const countWords = ({ bars, leftOut }: GroupFigures) =>
  leftOut.length === 0 ? `${bars.length}` : `${bars.length} of ${bars.length + leftOut.length}`;

export const cvWords = (cv: number | null) =>
  cv === null ? '–' : showNumber(100 * cv, 100 * cv < 10 ? 1 : 0);
