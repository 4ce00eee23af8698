import { Refusal } from '../kernel.ts';
import { coefficients, orthonormal, residual, sequentialSquares } from '../numerics/sequential-squares.ts';
import { fTail } from './distributions.ts';
import { moments } from './group.ts';
import { combinations, type Pair, pairScale, studentizedPair } from './pairs.ts';
import { dummies, namesOf, type Row, unconnected } from './rows.ts';

/** Where plate x orientation is as likely as this or less, it is taken for the error instead of the bars' scatter. */
const INTERACTION_P = 0.25;

export type Interaction = Readonly<{
  ss: number;
  df: number;
  ss_within: number;
  df_within: number;
  F: number;
  p: number;
  /** Whether it is the error of the tests beside it. */
  is_error: boolean;
}>;

export type Blocks = Readonly<{
  ss_treatment: number;
  ss_block: number;
  /** What orientation and plate together leave, the interaction included. */
  ss_error: number;
  df_treatment: number;
  df_block: number;
  df_error: number;
  /** Null without degrees of freedom or scatter. */
  F_treatment: number | null;
  p_treatment: number | null;
  F_block: number | null;
  p_block: number | null;
  /** Null where no cell has two bars. */
  interaction: Interaction | null;
  /** Error that the tests and intervals use. */
  ms_used: number | null;
  df_used: number;
  /** Differences between orientations, plates taken out, with simultaneous intervals. */
  pairs: Pair[];
}>;

/**
 * Mixed plates: additive blocks by least squares with dummies, each sum of squares after the other term:
 *
 *   SS_orientation = RSS(plates) - RSS(both),  SS_plate = RSS(orientations) - RSS(both),
 *   df_error = N - 1 - (P - 1) - (k - 1)                                                                    [statistics-23]
 *
 * Where cells hold several bars, plate x orientation is tested against the bars first; with p < 0.25 it becomes the
 * error of orientation and plate. Cells may be uneven or empty as long as shared plates connect all orientations.
 *
 * @throws Refusal with one orientation, one plate, or orientations that no shared plate connects
 */
export function blocks(rows: readonly Row[], conf: number): Blocks {
  const orientations = namesOf(rows, (row) => row.orientation);
  const plates = namesOf(rows, (row) => row.plate);
  if (orientations.length < 2) throw new Refusal('A comparison needs two orientations or more.');
  if (plates.length < 2) throw new Refusal('Blocks need two plates or more.');
  const apart = unconnected(rows, (row) => row.plate);
  if (apart.length > 0)
    throw new Refusal(
      `No plate carries ${apart.join(' or ')} together with ${orientations[0]}: plate and orientation cannot be told apart.`,
    );

  const centre = moments(rows.map((row) => row.value)).mean;
  const y = Float64Array.from(rows, (row) => row.value - centre);
  const ones = [new Float64Array(rows.length).fill(1)];
  const byPlate = dummies(rows, (row) => row.plate, plates);
  const byOrientation = dummies(rows, (row) => row.orientation, orientations);
  const platesFirst = sequentialSquares(y, [ones, byPlate, byOrientation]);
  const platesLast = sequentialSquares(y, [ones, byOrientation, byPlate]);
  const ss_treatment = platesFirst.ss[2]!;
  const ss_block = platesLast.ss[2]!;
  const df_treatment = platesFirst.df[2]!;
  const df_block = platesLast.df[2]!;
  const ss_error = platesFirst.ssRest;
  const df_error = platesFirst.dfRest;

  const interaction = interactionOf(rows, ss_error, df_error);
  const df_used = interaction?.is_error ? interaction.df : df_error;
  const ss_used = interaction?.is_error ? interaction.ss : ss_error;
  const ms_used = df_used > 0 ? ss_used / df_used : null;
  const test = (ss: number, df: number) => {
    if (!ms_used) return { F: null, p: null };
    const F = ss / df / ms_used;
    return { F, p: fTail(F, df, df_used) };
  };
  const treatment = test(ss_treatment, df_treatment);
  const block = test(ss_block, df_block);

  // Orientations less the first one are the columns after the plates; the first one's part is zero.
  const basis = orthonormal([...byPlate, ...byOrientation.slice(1)]);
  const { values, varianceOf } = coefficients(basis, residual(basis, y).effects);
  const column = (index: number) => plates.length + index - 1;
  const scale = ms_used ? pairScale(orientations.length, df_used, conf) : null;
  const differences = combinations(orientations.map((name, index) => ({ name, index }))).map(([a, b]) => {
    const weights = new Float64Array(values.length);
    if (a.index > 0) weights[column(a.index)]! += 1;
    weights[column(b.index)]! -= 1;
    const difference = weights.reduce((sum, weight, j) => sum + weight * values[j]!, 0);
    return { a: a.name, b: b.name, difference, variance: varianceOf(weights) };
  });
  return {
    ss_treatment,
    ss_block,
    ss_error,
    df_treatment,
    df_block,
    df_error,
    F_treatment: treatment.F,
    p_treatment: treatment.p,
    F_block: block.F,
    p_block: block.p,
    interaction,
    ms_used,
    df_used,
    pairs: scale
      ? differences.map(({ a, b, difference, variance }) =>
          studentizedPair(a, b, difference, Math.sqrt(ms_used! * variance), scale),
        )
      : [],
  };
}

function interactionOf(rows: readonly Row[], ssError: number, dfError: number): Interaction | null {
  const cells = new Map<string, number[]>();
  for (const row of rows) {
    const key = JSON.stringify([row.plate, row.orientation]);
    cells.set(key, [...(cells.get(key) ?? []), row.value]);
  }
  const df_within = rows.length - cells.size;
  const df = dfError - df_within;
  if (df_within < 1 || df < 1) return null;
  const ss_within = [...cells.values()].reduce((sum, values) => sum + moments(values).ss, 0);
  if (!(ss_within > 0)) return null;
  const ss = Math.max(0, ssError - ss_within);
  const F = ss / df / (ss_within / df_within);
  const p = fTail(F, df, df_within);
  return { ss, df, ss_within, df_within, F, p, is_error: p < INTERACTION_P };
}
