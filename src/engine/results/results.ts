import { Refusal } from '../kernel.ts';
import { type Answer, answer } from '../statistics/answer.ts';
import { type Comparison, compare } from '../statistics/compare.ts';
import { type Moments, moments } from '../statistics/group.ts';
import { combinations, welch } from '../statistics/pairs.ts';
import type { Row } from '../statistics/rows.ts';
import type { BarResult, TestFacts } from './bar.ts';
import { type Covariate, covariatesOf } from './covariates.ts';
import { type GroupFigures, groupFigures } from './group-figures.ts';
import { type Measure, measureOf } from './measures.ts';

/**
 * From reduced bars to what may be said: groups, the comparison that the plates allow, the answer to each pair of the
 * question, what would settle it. Bars of different condition are told apart first and never meet again.   [results-1]
 */

/** What the campaign asks, fixed before printing. Null of `compare`: every group with every other. */
export type Asked = Readonly<{
  compare: readonly string[];
  measure: Measure;
  /** Smallest relative difference that matters. */
  smallest: number;
  power: number;
  /** Nobody said the smallest difference. */
  assumed: boolean;
}>;

export type PairAnswer = Readonly<{
  /** First over second, the weaker over the stronger. */
  pair: readonly [string, string];
  answer: Answer;
  /** Second less first by the bars as they are: for these plates only. Null without scatter. */
  difference: Readonly<{ value: number; lo: number; hi: number }> | null;
}>;

export type SeriesResult = Readonly<{
  condition: string;
  bars: readonly BarResult[];
  groups: readonly GroupFigures[];
  /** Null where fewer than two groups have a bar that counts. */
  comparison: Comparison | null;
  pairs: readonly PairAnswer[];
  /** Confidence of each pair's interval, so that all of them together hold at `conf`. */
  confEach: number;
  /** Every pair asked for is different or alike; false where one is open, or nothing can be said. */
  settled: boolean;
  covariates: readonly Covariate[];
  /** Shares of the square of a bar's uncertainty on average, and what to measure better first. */
  budget: Readonly<{
    relative: number;
    force: number;
    width: number;
    thickness: number;
    largest: string;
    advice: string;
  }> | null;
}>;

/**
 * @param bars in the order of the campaign
 * @returns one series for each condition, the one with the most bars first
 */
export function resultsOf(
  bars: readonly BarResult[],
  asked: Asked,
  test: TestFacts,
  conf: number,
): SeriesResult[] {
  const conditions = [...new Set(bars.map(({ facts }) => facts.condition))];
  return conditions
    .map((condition) =>
      seriesOf(
        condition,
        bars.filter(({ facts }) => facts.condition === condition),
        asked,
        test,
        conf,
      ),
    )
    .sort((a, b) => b.bars.length - a.bars.length);
}

function seriesOf(
  condition: string,
  bars: readonly BarResult[],
  asked: Asked,
  test: TestFacts,
  conf: number,
): SeriesResult {
  const names = [...new Set(bars.map(({ facts }) => facts.group))];
  const groups = names.map((name) =>
    groupFigures(
      name,
      bars.filter(({ facts }) => facts.group === name),
      test,
      conf,
    ),
  );
  const rows = rowsOf(bars, asked.measure);
  const present = new Set(rows.map(({ orientation }) => orientation));
  const wanted = asked.compare.length > 1 ? asked.compare : names;
  const compared = wanted.filter((name) => present.has(name));
  const used = rows.filter(({ orientation }) => compared.includes(orientation));
  const pairs = combinations(compared);
  const confEach = 1 - (1 - conf) / Math.max(1, combinations(wanted).length);
  const answers = pairs.map((pair) => pairAnswer(used, pair, asked, confEach));
  return {
    condition,
    bars,
    groups,
    comparison: compared.length > 1 ? comparisonOf(used, conf) : null,
    pairs: answers,
    confEach,
    settled:
      answers.length > 0 &&
      compared.length === wanted.length &&
      answers.every(({ answer: { verdict } }) => verdict === 'different' || verdict === 'alike'),
    covariates: covariatesOf(bars, conf),
    budget: budgetOf(bars),
  };
}

/** The comparison, or why there is none where the numbers do not allow it: no scatter, a value that is not positive. */
function comparisonOf(rows: readonly Row[], conf: number): Comparison {
  try {
    return compare(rows, conf);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { analysis: 'none', p: null, message: error.message };
  }
}

function answerOf(rows: readonly Row[], question: Parameters<typeof answer>[1]): Answer {
  try {
    return answer(rows, question);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const nothing = { verdict: 'none', beyond: false, ratio: null, lo: null, hi: null } as const;
    const sentence = `The question is not answered. ${error.message}`;
    return { analysis: 'none', ...nothing, onePlate: false, sentence, more: null };
  }
}

/** The numbers that are compared: of bars that count and whose curve gives one. A group is what the statistics call an orientation. */
function rowsOf(bars: readonly BarResult[], measure: Measure): Row[] {
  return bars.flatMap((bar) => {
    const value = measureOf(bar, measure);
    if (!bar.counts || value === null) return [];
    const { group, plate, round } = bar.facts;
    return [{ orientation: group, plate, ...(round === null ? {} : { round }), value }];
  });
}

function pairAnswer(
  rows: readonly Row[],
  [a, b]: readonly [string, string],
  { smallest, power }: Asked,
  conf: number,
): PairAnswer {
  const of = (name: string) =>
    moments(rows.filter((row) => row.orientation === name).map((row) => row.value));
  const asked = (pair: readonly [string, string]) => answerOf(rows, { pair, smallest, power, conf });
  const first = asked([a, b]);
  // Where the plates give no ratio the means of the bars say which is the weaker.
  const turned = (first.ratio ?? of(a).mean / of(b).mean) > 1;
  const pair: readonly [string, string] = turned ? [b, a] : [a, b];
  const [weaker, stronger] = pair.map(of) as [Moments, Moments];
  const scatters = weaker.s !== null && stronger.s !== null && weaker.s + stronger.s > 0;
  const found = scatters
    ? welch(
        { n: stronger.n, mean: stronger.mean, s: stronger.s! },
        { n: weaker.n, mean: weaker.mean, s: weaker.s! },
        conf,
      )
    : null;
  return {
    pair,
    answer: turned ? asked(pair) : first,
    difference: found && { value: found.difference, lo: found.lo, hi: found.hi },
  };
}

function budgetOf(bars: readonly BarResult[]): SeriesResult['budget'] {
  const found = bars.flatMap(({ uncertainty }) => uncertainty ?? []);
  if (found.length === 0) return null;
  const square = found.map(({ relative }) => relative ** 2);
  const sum = square.reduce((all, one) => all + one, 0);
  const share = (of: (one: (typeof found)[number]) => number) =>
    sum > 0 ? found.reduce((all, one, k) => all + of(one) * square[k]!, 0) / sum : 0;
  const parts = {
    force: share((one) => one.shareForce),
    width: share((one) => one.shareWidth),
    thickness: share((one) => one.shareThickness),
  };
  const largest = (Object.keys(parts) as (keyof typeof parts)[]).reduce((a, b) =>
    parts[b] > parts[a] ? b : a,
  );
  return {
    relative: Math.sqrt(sum / found.length),
    ...parts,
    largest,
    advice: found.find((one) => one.largest === largest)?.advice ?? found[0]!.advice,
  };
}
