import { Refusal } from '../kernel.ts';
import { fTail, tCritical } from './distributions.ts';
import { exactSum, type Group, moments } from './group.ts';
import { anova } from './one-way.ts';
import { combinations, pairScale } from './pairs.ts';
import { type RatioPair, ratioPair } from './rounds.ts';
import { groupsOf, logOf, namesOf, type Row } from './rows.ts';

export type Nested = Readonly<{
  /** Orientations, plates within them, bars within plates. */
  df: [number, number, number];
  ss: [number, number, number];
  n0: number;
  n1: number;
  var_plate: number | null;
  /** Null with one bar on every plate. */
  var_bar: number | null;
  F: number;
  df_den: number;
  p: number;
  /** What the same data would claim if bars were taken as units: shown as a warning, never as a result. */
  F_bars_as_units: number | null;
  p_bars_as_units: number | null;
}>;

/**
 * Plates nested in orientations, rounds not recorded; T orientations, P(T) plates, E bars:
 *
 *   n0 = (N - a)/df_P,  n1 = (a - c)/df_T,  a = sum_t sum_p n_tp^2/n_t,  c = sum n_tp^2/N
 *   F = MS_T/[r MS_P + (1 - r) MS_E],  r = n1/n0,  denominator df by Satterthwaite
 *   s_plate^2 = max(0, (MS_P - MS_E)/n0)                                                                    [statistics-25]
 *
 * Source: Searle, Casella and McCulloch 1992, Variance Components, ch. 5 (from memory); balanced cases tested against R.
 * @throws Refusal with one orientation, with one plate for every orientation, or without scatter between plates
 */
export function nested(rows: readonly Row[]): Nested {
  const byOrientation = groupsOf(rows, (row) => row.orientation);
  const byPlate = groupsOf(rows, plateKey);
  if (byOrientation.length < 2) throw new Refusal('A comparison needs two orientations or more.');
  const df: [number, number, number] = [
    byOrientation.length - 1,
    byPlate.length - byOrientation.length,
    rows.length - byPlate.length,
  ];
  if (df[1] < 1)
    throw new Refusal('Every orientation has one plate only: plate and orientation cannot be told apart.');
  const asUnits = anova(byOrientation);
  const ssBars = exactSum(byPlate.map(({ values }) => moments(values).ss));
  const ssPlates = exactSum(
    byOrientation.map((orientation) => {
      const centre = moments(orientation.values).mean;
      return exactSum(
        platesOf(rows, orientation.name).map(
          ({ values }) => values.length * (moments(values).mean - centre) ** 2,
        ),
      );
    }),
  );
  const ss: [number, number, number] = [asUnits.ss_b, ssPlates, ssBars];

  const N = rows.length;
  let a = 0;
  for (const { name, values } of byOrientation)
    for (const plate of platesOf(rows, name)) a += plate.values.length ** 2 / values.length;
  const c = byPlate.reduce((sum, { values }) => sum + values.length ** 2, 0) / N;
  const n0 = (N - a) / df[1];
  const n1 = (a - c) / df[0];
  const msPlates = ssPlates / df[1];
  const msBars = df[2] > 0 ? ssBars / df[2] : null;
  // With one bar a plate n0 = n1 = 1, and the bars' own scatter is not needed.
  const r = msBars === null ? 1 : n1 / n0;
  const forPlates = r * msPlates;
  const forBars = msBars === null ? 0 : (1 - r) * msBars;
  const denominator = forPlates + forBars;
  if (!(denominator > 0))
    throw new Refusal(
      'The plates scatter so much less than their bars that, with uneven numbers of bars, no error is left to test against.',
    );
  const df_den = denominator ** 2 / (forPlates ** 2 / df[1] + (df[2] > 0 ? forBars ** 2 / df[2] : 0));
  const F = ss[0] / df[0] / denominator;
  return {
    df,
    ss,
    n0,
    n1,
    var_plate: msBars === null ? null : Math.max(0, (msPlates - msBars) / n0),
    var_bar: msBars,
    F,
    df_den,
    p: fTail(F, df[0], df_den),
    F_bars_as_units: asUnits.F,
    p_bars_as_units: asUnits.p,
  };
}

/** Plates of different orientations are different plates, whatever their names. */
function plateKey(row: Row): string {
  return JSON.stringify([row.orientation, row.plate]);
}

function platesOf(rows: readonly Row[], orientation: string): Group[] {
  return groupsOf(
    rows.filter((row) => row.orientation === orientation),
    (row) => row.plate,
  );
}

/**
 * Ratios between orientations with the plate as the unit: y = ln(plate mean), pooled scatter of the plates within their
 * orientation, plates less orientations as degrees of freedom. Null without scatter.                        [statistics-25]
 */
export function plateRatios(
  rows: readonly Row[],
  conf: number,
): { pairs: RatioPair[]; s: number; df: number } | null {
  const orientations = namesOf(rows, (row) => row.orientation);
  const parts = orientations.map((name) => ({
    name,
    ...moments(
      platesOf(rows, name).map((plate) =>
        logOf(moments(plate.values).mean, `The mean of ${name} on plate ${plate.name}`),
      ),
    ),
  }));
  const df = parts.reduce((sum, { n }) => sum + n - 1, 0);
  const square = df > 0 ? parts.reduce((sum, { ss }) => sum + ss, 0) / df : 0;
  if (!(square > 0)) return null;
  const t = tCritical((1 - conf) / 2, df);
  const scale = pairScale(parts.length, df, conf);
  const pairs = combinations(parts).map(([a, b]) =>
    ratioPair(a.name, b.name, a.mean - b.mean, Math.sqrt(square * (1 / a.n + 1 / b.n)), scale, t),
  );
  return { pairs, s: Math.sqrt(square), df };
}
