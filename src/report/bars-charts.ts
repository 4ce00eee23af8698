import type { BarResult } from '../engine/results/bar.ts';
import { COVARIATES, type Covariate, type CovariateName } from '../engine/results/covariates.ts';
import { measureOf } from '../engine/results/measures.ts';
import type { SeriesResult } from '../engine/results/results.ts';
import { fromSi, placesFor, showNumber, toSi } from '../units.ts';
import { digitsOf, STRAIN_DIGITS, STRESS_DIGITS } from './bars-figures.ts';
import { niceAxis } from './nice-ticks.ts';
import type { CovariateView, CurvesChart, EveryBar } from './results-views.ts';

/** Positions of marks and lines of the pictures of bars: MPa, per cent, and the trade's units of covariates. */

const TICKS = 6;
const mpa = (stress: number) => fromSi(stress, 'MPa');

/** Points of a curve in % and MPa, to as many digits as a page can show. */
export function pointsOf({ curve }: BarResult): [number, number][] {
  return curve.x.map((x, k) => [Number((100 * x).toPrecision(5)), Number(mpa(curve.y[k]!).toPrecision(5))]);
}

export function curveWords({ facts, reduction }: BarResult): string {
  const { strength, strainAtStrength, modulusRegression } = reduction;
  return [
    `${facts.bar}: ${digitsOf(strength, 'MPa', STRESS_DIGITS)}`,
    strainAtStrength === null ? '' : ` at ${digitsOf(strainAtStrength, '%', STRAIN_DIGITS)}`,
    modulusRegression === null ? '' : `, modulus ${digitsOf(modulusRegression, 'GPa', STRESS_DIGITS)}`,
    facts.leftOut === null ? '' : ', left out',
  ].join('');
}

export function curvesChart(bars: readonly BarResult[], groups: readonly string[]): CurvesChart {
  const lines = bars.map((bar) => {
    const { strength, strainAtStrength } = bar.reduction;
    return {
      bar: bar.facts.bar,
      group: groups.indexOf(bar.facts.group),
      counts: bar.counts,
      points: pointsOf(bar),
      peak:
        strainAtStrength === null
          ? null
          : ([Number((100 * strainAtStrength).toPrecision(5)), Number(mpa(strength).toPrecision(5))] as [
              number,
              number,
            ]),
      words: curveWords(bar),
    };
  });
  const all = lines.flatMap(({ points }) => points);
  const x = niceAxis(0, Math.max(1e-3, ...all.map(([at]) => at)), TICKS);
  const y = niceAxis(0, Math.max(1, ...all.map(([, at]) => at)), TICKS);
  const greatest = Math.max(...bars.map(({ strength }) => strength));
  const least = Math.min(...bars.map(({ strength }) => strength));
  return {
    xHigh: x.high,
    yHigh: y.high,
    xTicks: x.ticks,
    yTicks: y.ticks,
    finding:
      bars.length === 0
        ? 'No curve.'
        : `${bars.length} curves of stress over strain; strengths from ${digitsOf(least, 'MPa', STRESS_DIGITS)} to ${digitsOf(greatest, 'MPa', STRESS_DIGITS)}.`,
    lines,
  };
}

/** What every-bar pictures show: their axis, unit and digits. The lower bound is that of the strength alone. */
const PICTURED = {
  strength: { axis: 'strength, MPa', unit: 'MPa', title: 'Strength' },
  modulus: { axis: 'modulus, GPa', unit: 'GPa', title: 'Modulus' },
} as const;

export function everyBar({ groups, bars }: SeriesResult, measure: keyof typeof PICTURED): EveryBar {
  const { axis: axisLabel, unit, title } = PICTURED[measure];
  const rows = groups.map(({ group, measures, bound }) => {
    const { mean, lo, hi } = measures[measure] ?? { mean: null, lo: null, hi: null };
    const shown = (value: number | null) => (value === null ? null : fromSi(value, unit));
    return {
      group,
      points: bars
        .filter(({ facts }) => facts.group === group)
        .flatMap((bar) => {
          const value = measureOf(bar, measure);
          return value === null ? [] : [{ bar: bar.facts.bar, at: fromSi(value, unit), counts: bar.counts }];
        }),
      mean: shown(mean),
      lo: shown(lo),
      hi: shown(hi),
      bound: measure === 'strength' ? shown(bound?.value ?? null) : null,
    };
  });
  const values = rows.flatMap(({ points, lo, hi, bound }) => [
    ...points.map(({ at }) => at),
    ...[lo, hi, bound].filter((value) => value !== null),
  ]);
  const axis = niceAxis(Math.min(...values, Infinity), Math.max(...values, -Infinity), TICKS);
  const means = rows
    .filter((row) => row.mean !== null)
    .map(
      ({ group, mean, points }) =>
        `${group} ${digitsOf(toSi(mean!, unit), unit, STRESS_DIGITS)} of ${points.length} bars`,
    );
  return {
    low: axis.low,
    high: axis.high,
    ticks: axis.ticks,
    axis: axisLabel,
    finding: `${title} of every bar. Means: ${means.join(', ')}.`,
    rows,
  };
}

/** How a covariate is called, the unit that it is shown in, and how a step of it is said. */
const SHOWN: Readonly<Record<CovariateName, Readonly<{ words: string; unit: string; step: string }>>> = {
  'time between layers': { words: 'Time between layers', unit: 's', step: 'a second' },
  'water at the print': { words: 'Water of the strand at the print', unit: 'wt %', step: 'per 0.1 wt %' },
  mass: { words: 'Mass of the bar', unit: 'g', step: 'a gram' },
  'order of plates': { words: 'Order of printing', unit: '', step: 'a plate' },
  'order of testing': { words: 'Order of testing', unit: '', step: 'a bar' },
  'place along the sheet': { words: 'Place along the sheet', unit: 'mm', step: 'per 100 mm' },
  'place into the sheet': { words: 'Place into the sheet', unit: 'mm', step: 'per 100 mm' },
};
/** Steps in the unit of the picture that the words above speak of. */
const STEPS: Partial<Record<CovariateName, number>> = {
  'water at the print': 0.1,
  'place along the sheet': 100,
  'place into the sheet': 100,
};
/** Share of the scatter explained by the groups above which the two are said to go together. */
const TOGETHER = 0.5;
/** A slope whose interval leaves out zero; so many lines are looked at, so one in twenty does so by chance. */
export const CHANCE = `One line in twenty leaves out zero by chance; ${COVARIATES.length} are looked at.`;

export function covariateView(found: Covariate, groups: readonly string[]): CovariateView {
  const { words, unit, step } = SHOWN[found.name];
  const shown = (x: number) => Number((unit === '' ? x : fromSi(x, unit)).toPrecision(6));
  const points = found.points.map(({ bar, group, x, strength }) => ({
    bar,
    group: groups.indexOf(group),
    x: shown(x),
    y: Number(mpa(strength).toPrecision(5)),
  }));
  const x = niceAxis(shown(found.low), shown(found.high), TICKS, unit === '' ? 1 : 0);
  const y = niceAxis(0, Math.max(...points.map((one) => one.y)), 4);
  return {
    name: words,
    unit,
    xLow: x.low,
    xHigh: x.high,
    xTicks: x.ticks,
    yHigh: y.high,
    yTicks: y.ticks,
    points,
    finding: trendWords(found, unit, step),
    mixedUp:
      found.sharedWithGroups === null || found.sharedWithGroups < TOGETHER
        ? null
        : `${words} goes together with the groups (${showNumber(100 * found.sharedWithGroups, 0)}\u00a0% of its scatter): what it does cannot be told from what the groups do.`,
  };
}

function trendWords({ name, trend }: Covariate, unit: string, step: string): string {
  if (trend === null) return 'Within the groups it does not vary: nothing can be seen.';
  const size = (unit === '' ? 1 : fromSi(1, unit)) ** -1 * (STEPS[name] ?? 1);
  const [slope, lo, hi] = [trend.slope, trend.lo, trend.hi].map((value) => mpa(value * size)) as [
    number,
    number,
    number,
  ];
  const places = Math.min(4, Math.max(0, placesFor((hi - lo) / 2)));
  const figures = `${showNumber(slope, places)}\u00a0MPa ${step} within the groups (${showNumber(lo, places)} to ${showNumber(hi, places)})`;
  return lo > 0 || hi < 0 ? `A trend: ${figures}. Not corrected for.` : `No trend seen: ${figures}.`;
}
