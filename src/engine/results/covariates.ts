import { type Trend, trendWithin } from '../statistics/line.ts';
import { anova } from '../statistics/one-way.ts';
import type { BarResult } from './bar.ts';

/**
 * Things that should not bear on strength, against it: slope within the groups with its interval, and how far each goes
 * together with the groups. Shown so that mixing-up is seen; nothing is corrected with it.        [results-2]
 */

export const COVARIATES = [
  'time between layers',
  'water at the print',
  'mass',
  'order of plates',
  'order of testing',
  'place along the sheet',
  'place into the sheet',
] as const;
export type CovariateName = (typeof COVARIATES)[number];

export type Covariate = Readonly<{
  name: CovariateName;
  /** Bars with a value, by name, in SI. */
  points: readonly Readonly<{ bar: string; group: string; x: number; strength: number }>[];
  /** Slope of strength within the groups [Pa per unit of x]; null where it cannot be had. */
  trend: Trend | null;
  /** Least and greatest value. */
  low: number;
  high: number;
  /** Share of the scatter of x that the groups explain, 0..1; null where all groups but one are empty or x is constant. */
  sharedWithGroups: number | null;
}>;

function amountOf({ facts }: BarResult, name: CovariateName): number | null {
  const { covariates, at } = facts;
  switch (name) {
    case 'time between layers':
      return covariates.layerTime;
    case 'water at the print':
      return covariates.water;
    case 'mass':
      return covariates.mass;
    case 'order of plates':
      return covariates.plateOrder;
    case 'order of testing':
      return covariates.testOrder;
    case 'place along the sheet':
      return at?.[0] ?? null;
    case 'place into the sheet':
      return at?.[1] ?? null;
  }
}

/** Those that vary among the bars that count. */
export function covariatesOf(bars: readonly BarResult[], conf: number): Covariate[] {
  const counting = bars.filter(({ counts }) => counts);
  return COVARIATES.flatMap((name): Covariate[] => {
    const points = counting.flatMap((bar) => {
      const x = amountOf(bar, name);
      return x === null ? [] : [{ bar: bar.facts.bar, group: bar.facts.group, x, strength: bar.strength }];
    });
    const xs = points.map(({ x }) => x);
    if (points.length < 3 || new Set(xs).size < 2) return [];
    const groups = [...new Set(points.map(({ group }) => group))].map((group) => {
      const own = points.filter((point) => point.group === group);
      return { name: group, x: own.map(({ x }) => x), y: own.map(({ strength }) => strength) };
    });
    return [
      {
        name,
        points,
        trend: trendWithin(groups, conf),
        low: Math.min(...xs),
        high: Math.max(...xs),
        sharedWithGroups: groups.length > 1 ? shared(groups) : null,
      },
    ];
  });
}

function shared(groups: readonly Readonly<{ name: string; x: readonly number[] }>[]): number {
  const { ss_b, ss_w } = anova(groups.map(({ name, x }) => ({ name, values: x })));
  return ss_b / (ss_b + ss_w);
}
