import { Refusal } from '../kernel.ts';
import { coefficients, orthonormal, residual, sequentialSquares } from '../numerics/sequential-squares.ts';
import { fTail, tCritical } from './distributions.ts';
import { exactSum, moments } from './group.ts';
import { combinations, type PairScale, pairScale, studentizedPair } from './pairs.ts';
import { dummies, logOf, namesOf, type Row, unconnected } from './rows.ts';

export type RatioPair = Readonly<{
  a: string;
  b: string;
  /** a over b. */
  ratio: number;
  /** Simultaneous interval, the one that belongs to p_tukey. */
  lo: number;
  hi: number;
  /** For one ratio that was named before printing. */
  lo_single: number;
  hi_single: number;
  p_tukey: number;
}>;

export type Rounds = Readonly<{
  df: number;
  F: number;
  p: number;
  /** Scatter of ln(plate mean) that orientation and round leave. */
  s_plate_log: number;
  pairs: RatioPair[];
}>;

/** Means of the plates (one orientation and round each) from bars or from plate means. */
function plateLogs(rows: readonly Row[]): Row[] {
  const cells = new Map<string, { row: Row; values: number[] }>();
  for (const row of rows) {
    const key = JSON.stringify([row.orientation, row.round]);
    const cell = cells.get(key) ?? { row, values: [] };
    cell.values.push(row.value);
    cells.set(key, cell);
  }
  return [...cells.values()].map(({ row, values }) => ({
    ...row,
    value: logOf(moments(values).mean, `The mean of ${row.orientation} in round ${row.round}`),
  }));
}

/**
 * Rounds: one orientation a plate, every round prints each orientation once. y = ln(plate mean), additive orientation +
 * round by least squares; with all plates there
 *
 *   df = (k - 1)(R - 1),  s^2 = sum residual^2/df,  se = sqrt(2 s^2/R),
 *   ratio exp(d), simultaneous exp(d -+ q(conf; k, df) se/sqrt 2), single exp(d -+ t se)                     [statistics-24]
 *
 * A lost plate leaves a gap: the standard errors then come from the same least squares.
 *
 * @param rows bars or plate means, each with its round
 * @throws Refusal with one orientation, without degrees of freedom, or without scatter
 */
export function rounds(rows: readonly Row[], conf: number): Rounds {
  const plates = plateLogs(rows);
  const orientations = namesOf(plates, (row) => row.orientation);
  const names = namesOf(plates, (row) => row.round!);
  if (orientations.length < 2) throw new Refusal('A comparison needs two orientations or more.');
  if (names.length < 2)
    throw new Refusal('There is one round only: print a second one to see the scatter between plates.');
  const apart = unconnected(plates, (row) => row.round!);
  if (apart.length > 0)
    throw new Refusal(`No round prints ${apart.join(' or ')} together with ${orientations[0]}.`);

  const centre = exactSum(plates.map((row) => row.value)) / plates.length;
  const y = Float64Array.from(plates, (row) => row.value - centre);
  const byRound = dummies(plates, (row) => row.round!, names);
  const byOrientation = dummies(plates, (row) => row.orientation, orientations);
  const { ss, df: dfs, ssRest, dfRest: df } = sequentialSquares(y, [byRound, byOrientation]);
  if (df < 1)
    throw new Refusal('There are too few plates to see the scatter between them: print another round.');
  const square = ssRest / df;
  // Rounding of the logs alone leaves about 1e-32.
  if (!(square > 1e-28)) throw new Refusal('The plates show no scatter beyond orientation and round.');
  const F = ss[1]! / dfs[1]! / square;

  const basis = orthonormal([...byRound, ...byOrientation.slice(1)]);
  const { values, varianceOf } = coefficients(basis, residual(basis, y).effects);
  const t = tCritical((1 - conf) / 2, df);
  const scale = pairScale(orientations.length, df, conf);
  const pairs = combinations(orientations.map((name, index) => ({ name, index }))).map(([a, b]) => {
    const weights = new Float64Array(values.length);
    if (a.index > 0) weights[names.length + a.index - 1]! += 1;
    weights[names.length + b.index - 1]! -= 1;
    const d = weights.reduce((sum, weight, j) => sum + weight * values[j]!, 0);
    const se = Math.sqrt(square * varianceOf(weights));
    return ratioPair(a.name, b.name, d, se, scale, t);
  });
  return { df, F, p: fTail(F, dfs[1]!, df), s_plate_log: Math.sqrt(square), pairs };
}

/** A ratio with both intervals from the difference d of logs and its standard error. */
export function ratioPair(
  a: string,
  b: string,
  d: number,
  se: number,
  scale: PairScale,
  t: number,
): RatioPair {
  const { lo, hi, p } = studentizedPair(a, b, d, se, scale);
  return {
    a,
    b,
    ratio: Math.exp(d),
    lo: Math.exp(lo),
    hi: Math.exp(hi),
    lo_single: Math.exp(d - t * se),
    hi_single: Math.exp(d + t * se),
    p_tukey: p,
  };
}

/** The interval for a ratio named before printing, whichever way round the pair stands in the list. */
export function singleRatio(
  list: readonly RatioPair[],
  num: string,
  den: string,
): [number, number, number] | null {
  for (const { a, b, ratio, lo_single: lo, hi_single: hi } of list) {
    if (a === num && b === den) return [ratio, lo, hi];
    if (a === den && b === num) return [1 / ratio, 1 / hi, 1 / lo];
  }
  return null;
}
