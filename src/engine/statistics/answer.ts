import { type Analysis, compare } from './compare.ts';
import { roundDigits } from './digits.ts';
import { tCritical } from './distributions.ts';
import { plateRatios } from './nested.ts';
import { comparisonPower, leastCount, scatterUpper } from './power.ts';
import { blockRatio, logRatio, plateRatio } from './ratio.ts';
import { type RatioPair, singleRatio } from './rounds.ts';
import { groupsOf, namesOf, type Row } from './rows.ts';

/** What the campaign wants to know, fixed before printing. */
export type Question = Readonly<{
  /** First over second. */
  pair: readonly [string, string];
  /** Smallest relative difference that matters, such as 0.1. */
  smallest: number;
  power: number;
  conf: number;
}>;

export type Answer = Readonly<{
  analysis: Analysis;
  /** different: the interval leaves out 1; alike: it lies within the smallest difference; open; none: no interval. */
  verdict: 'different' | 'alike' | 'open' | 'none';
  /** The whole interval lies beyond the smallest difference. */
  beyond: boolean;
  ratio: number | null;
  lo: number | null;
  hi: number | null;
  /** One plate alone tells the two apart: how the ratio changes from plate to plate cannot be seen. */
  onePlate: boolean;
  sentence: string;
  more: More | null;
}>;

/** What would settle an open question, in plates that carry both, rounds, or plates of each. */
export type More = Readonly<{
  unit: 'mixed plates' | 'rounds' | 'plates of each orientation';
  have: number;
  /** In all, so that the interval is too narrow to stay open, whichever way it falls; null beyond 100 000. */
  settles: number | null;
  /** In all, so that the smallest difference is seen with the wanted power. */
  sees: number | null;
  sentence: string;
}>;

/** A ratio on the log scale: its scatter s, and how standard error and degrees of freedom follow from a count. */
type Evidence = Readonly<{
  ratio: number;
  lo: number | null;
  hi: number | null;
  onePlate?: boolean;
  scatter: Readonly<{
    s: number;
    df: number;
    have: number;
    unit: More['unit'];
    errorOf: (count: number) => [se: number, df: number];
  }> | null;
}>;

/**
 * The answer to one question, with the interval of the analysis that the plates allow, for a ratio named before printing.
 * Limits of the smallest difference d on the log scale are +-ln(1 + d). An interval of the log ratio that is narrower
 * than ln(1 + d) is settled whichever way it falls: that gives the count. Scatter enters with its upper 80 % limit. [answer-2]
 */
export function answer(rows: readonly Row[], question: Question): Answer {
  const { pair, smallest, conf } = question;
  const comparison = compare(rows, conf);
  const evidence = evidenceOf(rows, comparison, question);
  const { analysis } = comparison;
  if (!evidence || evidence.lo === null || evidence.hi === null) {
    return {
      analysis,
      verdict: 'none',
      beyond: false,
      ratio: evidence?.ratio ?? null,
      lo: null,
      hi: null,
      onePlate: false,
      sentence: `The question is not answered. ${comparison.message}`,
      more: null,
    };
  }
  const { ratio, lo, hi } = evidence;
  const upper = 1 + smallest;
  const lower = 1 / upper;
  const different = lo > 1 || hi < 1;
  const beyond = lo > upper || hi < lower;
  const alike = !different && lo > lower && hi < upper;
  const verdict = different ? 'different' : alike ? 'alike' : 'open';
  const share = `${roundDigits(100 * smallest, 3)} %`;
  const says = beyond
    ? `they differ by more than ${share}`
    : different
      ? `they differ; whether by ${share} or more is open`
      : alike
        ? `they are alike within ${share}`
        : `whether they differ by ${share} is open`;
  const shown = [ratio, lo, hi].map((value) => roundDigits(value, 3));
  const onePlate = evidence.onePlate ?? false;
  const only = onePlate ? ', for this plate only' : '';
  return {
    analysis,
    verdict,
    beyond,
    ratio,
    lo,
    hi,
    onePlate,
    sentence: `${pair[0]} is ${shown[0]} of ${pair[1]} (${roundDigits(100 * conf, 3)} % interval ${shown[1]} to ${shown[2]}): ${says}${only}.`,
    more: verdict === 'open' || (different && !beyond) ? moreNeeded(evidence, question) : null,
  };
}

function evidenceOf(
  rows: readonly Row[],
  comparison: ReturnType<typeof compare>,
  { pair, conf }: Question,
): Evidence | null {
  const [a, b] = pair;
  const k = namesOf(rows, (row) => row.orientation).length;
  switch (comparison.analysis) {
    case 'none':
      return null;
    case 'mixed': {
      if (!comparison.blocks) {
        const groups = groupsOf(rows, (row) => row.orientation);
        const [first, second] = pair.map((name) => groups.find((group) => group.name === name)?.values);
        return first && second ? { ...logRatio(first, second, conf), onePlate: true, scatter: null } : null;
      }
      const found = plateRatio(rows, a, b, conf);
      if (found?.lo == null) return onOnePlate(rows, a, b, conf);
      const { s, df } = found;
      const errorOf = (count: number): [number, number] => [s! / Math.sqrt(count), count - 1];
      return { ...found, scatter: s ? { s, df, have: df + 1, unit: 'mixed plates', errorOf } : null };
    }
    case 'rounds': {
      const { pairs, s_plate_log: s, df } = comparison.rounds!;
      const have = namesOf(rows, (row) => row.round!).length;
      const errorOf = (count: number): [number, number] => [s * Math.sqrt(2 / count), (k - 1) * (count - 1)];
      return named(pairs, a, b, { s, df, have, unit: 'rounds', errorOf });
    }
    case 'nested': {
      const found = plateRatios(rows, conf);
      if (!found) return null;
      const { pairs, s, df } = found;
      const have = namesOf(rows, (row) => JSON.stringify([row.orientation, row.plate])).length / k;
      const errorOf = (count: number): [number, number] => [s * Math.sqrt(2 / count), k * (count - 1)];
      return named(pairs, a, b, { s, df, have, unit: 'plates of each orientation', errorOf });
    }
  }
}

/**
 * One plate alone carries both, others give the scatter of bars: that scatter is all that more mixed plates of two bars
 * each are reckoned with, since how the ratio changes from plate to plate was not seen.
 */
function onOnePlate(rows: readonly Row[], a: string, b: string, conf: number): Evidence | null {
  const found = blockRatio(rows, a, b, conf);
  if (!found) return null;
  const { s, df } = found;
  const errorOf = (count: number): [number, number] => [s / Math.sqrt(count), df];
  return { ...found, onePlate: true, scatter: { s, df, have: 1, unit: 'mixed plates', errorOf } };
}

function named(
  pairs: readonly RatioPair[],
  a: string,
  b: string,
  scatter: Evidence['scatter'],
): Evidence | null {
  const found = singleRatio(pairs, a, b);
  return found && { ratio: found[0], lo: found[1], hi: found[2], scatter };
}

function moreNeeded({ scatter }: Evidence, { smallest, power, conf }: Question): More | null {
  if (!scatter) return null;
  const { s, df, have, unit, errorOf } = scatter;
  // Planning on s itself would miss half the time; its upper limit scales every standard error.
  const wider = scatterUpper(s, df) / s;
  const width = Math.log1p(smallest);
  const from = Math.max(2, Math.ceil(have) + 1);
  const settles = leastCount(
    (count) => {
      const [se, left] = errorOf(count);
      return 2 * tCritical((1 - conf) / 2, left) * se * wider < width ? 1 : 0;
    },
    1,
    from,
  );
  const sees = leastCount(
    (count) => {
      const [se, left] = errorOf(count);
      return comparisonPower(width / (se * wider), left, 1 - conf);
    },
    power,
    2,
  );
  const share = `${roundDigits(100 * smallest, 3)} %`;
  const sentence =
    settles === null
      ? `No number of ${unit} within reason would settle it at this scatter.`
      : `About ${settles} ${unit} in all (${Math.ceil(settles - have)} more) would settle it; ` +
        `${sees} in all would see a difference of ${share} ${roundDigits(100 * power, 3)} times in 100.`;
  return { unit, have, settles, sees, sentence };
}
