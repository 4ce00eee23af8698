import { Refusal } from '../kernel.ts';
import { normalQuantile } from '../numerics/normal.ts';
import { boundPlates } from '../statistics/bound-plates.ts';
import { type Summary, summary } from '../statistics/group.ts';
import { distributionTests } from '../statistics/normality.ts';
import { askedGroup } from '../statistics/outlier.ts';
import { poolable } from '../statistics/pooling.ts';
import { groupsOf } from '../statistics/rows.ts';
import { lowerBound } from '../statistics/tolerance.ts';
import { type MeanUncertainty, meanUncertainty } from '../statistics/uncertainty.ts';
import { type WeibullFit, type WeibullSmall, weibullFit, weibullSmall } from '../statistics/weibull.ts';
import type { BarResult, TestFacts } from './bar.ts';
import { MEASURES, type Measure, measureOf } from './measures.ts';

/** What is said of one group of bars: its numbers, its doubts, its lower bound. Pa and ratios. */

/** Level of the outlier question, share of bars above the bound, confidence of the bound, level of pooling. */
const OUTLIER_ALPHA = 0.05;
const BOUND_SHARE = 0.9;
const BOUND_CONF = 0.95;
const POOL_ALPHA = 0.025;
/** A Weibull shape of fewer bars says nothing; its interval holds with this confidence. */
const WEIBULL_FROM = 5;
const WEIBULL_CONF = 0.9;

/** Up to this count the factors are simulated, a tenth of a second and less; beyond, their limits are good to 2 %. */
const SIMULATED_UP_TO = 40;
/** Of a simulated count, once found. */
const weibullFactors = new Map<number, WeibullSmall>();

/**
 * Bias and interval of a Weibull shape. For many bars the ratio of fitted to true shape is lognormal about its mean with
 * the large-sample scatter sqrt(6)/pi/sqrt(n), the mean being 1 + 1.37/(n - 1.92) (Ross 1994, from memory).  [results-3]
 */
export function weibullFor(count: number): WeibullSmall {
  if (count > SIMULATED_UP_TO) {
    const bias = 1 + 1.37 / (count - 1.92);
    const reach = (normalQuantile((1 + WEIBULL_CONF) / 2) * Math.sqrt(6)) / Math.PI / Math.sqrt(count);
    return { unbias: 1 / bias, q_lo: bias * Math.exp(-reach), q_hi: bias * Math.exp(reach) };
  }
  const known = weibullFactors.get(count) ?? weibullSmall(count, WEIBULL_CONF);
  weibullFactors.set(count, known);
  return known;
}

export type MeasureFigures = Summary &
  Readonly<{
    /** Bars of the group whose curve gives no such number. */
    without: readonly string[];
    /** The bar that the outlier test asks about, and the numbers without it; it stays in. */
    asked: Readonly<{ bar: string; without: Summary }> | null;
  }>;

export type BoundFigures = Readonly<{
  /** Null where none is shown. */
  value: number | null;
  /** Of m - k s, where bars are taken as one population. */
  k: number | null;
  method: 'one population' | 'plates as batches';
  name: string;
  bBasis: boolean;
  /** What is missing for the better name, or why nothing is shown. */
  missing: string | null;
}>;

export type GroupFigures = Readonly<{
  group: string;
  orientation: string;
  type: string;
  plates: readonly string[];
  /** Bars that count, and those left out by a person. */
  bars: readonly string[];
  leftOut: readonly Readonly<{ bar: string; with: Summary }>[];
  measures: Readonly<Record<Measure, MeasureFigures | null>>;
  bound: BoundFigures | null;
  distribution: ReturnType<typeof distributionTests> | null;
  weibull: (WeibullFit & WeibullSmall) | null;
  /** Of the mean strength, with the part that is common to all bars of the machine; null below two bars. */
  mean: MeanUncertainty | null;
}>;

/**
 * A group in numbers. Bars left out stay visible: for each the strength of the group with it.
 *
 * @param bars of this group and one condition, in the order of the campaign
 */
export function groupFigures(
  group: string,
  bars: readonly BarResult[],
  test: TestFacts,
  conf: number,
): GroupFigures {
  const counting = bars.filter(({ counts }) => counts);
  const strengths = counting.map(({ strength }) => strength);
  const strength = strengths.length > 0 ? summary(strengths, conf) : null;
  return {
    group,
    orientation: bars[0]!.facts.orientation,
    type: bars[0]!.facts.type,
    plates: [...new Set(counting.map(({ facts }) => facts.plate))],
    bars: counting.map(({ facts }) => facts.bar),
    leftOut: bars
      .filter(({ counts }) => !counts)
      .map((bar) => ({ bar: bar.facts.bar, with: summary([...strengths, bar.strength], conf) })),
    measures: Object.fromEntries(
      MEASURES.map((measure) => [measure, measureFigures(counting, measure, conf)]),
    ) as GroupFigures['measures'],
    bound: counting.length > 0 ? boundFigures(counting) : null,
    distribution: strengths.length >= 3 && strength?.s ? distributionTests(strengths) : null,
    weibull:
      strengths.length >= WEIBULL_FROM && strength?.s && strengths.every((value) => value > 0)
        ? { ...weibullFit(strengths), ...weibullFor(strengths.length) }
        : null,
    mean: strength?.s
      ? meanUncertainty(strength.s, strength.n, commonPart(counting, test), strength.mean, conf)
      : null,
  };
}

function measureFigures(bars: readonly BarResult[], measure: Measure, conf: number): MeasureFigures | null {
  const found = bars.map((bar) => ({ bar: bar.facts.bar, value: measureOf(bar, measure) }));
  const having = found.filter((one): one is { bar: string; value: number } => one.value !== null);
  if (having.length === 0) return null;
  const values = having.map(({ value }) => value);
  const { asks, index, without } = askedGroup(values, OUTLIER_ALPHA, conf);
  return {
    ...summary(values, conf),
    without: found.filter(({ value }) => value === null).map(({ bar }) => bar),
    asked: asks && index !== null && without !== null ? { bar: having[index]!.bar, without } : null,
  };
}

/** Force and caliper errors are the same for all bars of one machine: they do not fall with their number. */
function commonPart(bars: readonly BarResult[], { forceError, caliperError }: TestFacts): number {
  const mean = (of: (bar: BarResult) => number) => bars.reduce((sum, bar) => sum + of(bar), 0) / bars.length;
  return Math.hypot(
    forceError,
    caliperError / mean(({ width }) => width),
    caliperError / mean(({ thickness }) => thickness),
  );
}

/** The 90/95 bound: plates as batches where there are several with several bars, else the bars as one population. */
function boundFigures(bars: readonly BarResult[]): BoundFigures {
  const values = bars.map(({ strength }) => strength);
  const byPlate = groupsOf(
    bars.map(({ facts, strength }) => ({ orientation: facts.group, plate: facts.plate, value: strength })),
    (row) => row.plate,
  );
  const plates = byPlate.length;
  const pooled =
    plates > 1 && values.length >= 4 && new Set(values).size > 1 && poolable(byPlate, POOL_ALPHA).same;
  const found = lowerBound(values, BOUND_SHARE, BOUND_CONF, plates);
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const basis = found.b_basis && pooled;
  const missing = found.b_basis && !pooled ? 'The plates do not pool: no B-basis.' : found.missing;
  const name = basis || !found.b_basis ? found.name : '90/95 lower bound of these plates';
  if (plates > 1 && !pooled) {
    try {
      const { bound } = boundPlates(byPlate, BOUND_SHARE, BOUND_CONF);
      const shown = found.n >= 5 && bound > mean / 2;
      return {
        value: shown ? bound : null,
        k: null,
        method: 'plates as batches',
        name,
        bBasis: false,
        missing: shown ? missing : 'Too few plates for a bound, or too much scatter between them.',
      };
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
    }
  }
  return {
    value: found.shown ? found.normal : null,
    k: found.k,
    method: 'one population',
    name,
    bBasis: basis,
    missing,
  };
}
