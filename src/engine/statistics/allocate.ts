import { Refusal } from '../kernel.ts';
import { hashText, uniformStream } from '../numerics/random.ts';
import { shuffled } from './shuffle.ts';

export type Allotment = Readonly<{
  treatments: readonly string[];
  /** Bars of each treatment on every plate, spares included. */
  perPlate: readonly number[];
  plates: number;
  /** Places for bars, from the plate's centre. */
  positions: readonly (readonly [x: number, y: number])[];
  seed: number;
  tries: number;
}>;

export type PlacedBar = Readonly<{
  /** From 1. */
  plate: number;
  treatment: string;
  /** Index of the position. */
  place: number;
  /** Order on the plate and order of testing, from 1. */
  rank: number;
  test_rank: number;
}>;

export type Allocation = Readonly<{
  bars: number;
  each_plate: number[];
  /** Greatest share of a nuisance's variance that the treatment explains. */
  worst_r2: number;
  /** That of each nuisance. */
  r2: Readonly<Record<Nuisance, number>>;
  rows: PlacedBar[];
}>;

type Nuisance = 'x' | 'y' | 'distance' | 'rank' | 'plate';
const NUISANCES: readonly Nuisance[] = ['x', 'y', 'distance', 'rank', 'plate'];

/**
 * Who goes where on mixed plates: treatments, places and print ranks are permuted on every plate, `tries` times, and the
 * layout kept in which the treatment explains least of any nuisance (x, y, distance from the centre, print rank, plate):
 *
 *   R2 = sum_t n_t (mean_t - mean)^2/sum (value - mean)^2,  least greatest R2                               [design-7]
 *
 * Bars are tested in rounds with one of each treatment, at random inside a round. Same seed and inputs, same plan.
 *
 * @throws Refusal with fewer positions than bars on a plate, or counts that do not fit the treatments
 */
export function allocate({ treatments, perPlate, plates, positions, seed, tries }: Allotment): Allocation {
  if (treatments.length !== perPlate.length)
    throw new Refusal(
      `There are ${treatments.length} treatments and ${perPlate.length} counts of bars on a plate.`,
    );
  if (new Set(treatments).size !== treatments.length) throw new Refusal('A treatment is named twice.');
  const labels = perPlate.flatMap((count, t) => new Array<number>(count).fill(t));
  const onPlate = labels.length;
  if (onPlate === 0) throw new Refusal('No bar is to be placed.');
  if (onPlate > positions.length)
    throw new Refusal(`A plate has ${positions.length} positions and ${onPlate} bars to place.`);

  const uniform = uniformStream(hashText(`allocate ${seed}`));
  const total = onPlate * plates;
  const treatment = new Int32Array(total);
  const values = Object.fromEntries(NUISANCES.map((name) => [name, new Float64Array(total)])) as Record<
    Nuisance,
    Float64Array
  >;
  const places = positions.map((_, i) => i);
  const ranks = labels.map((_, i) => i + 1);
  let best: { worst: number; rows: Omit<PlacedBar, 'test_rank'>[]; r2: Record<Nuisance, number> } | null =
    null;
  for (let attempt = 0; attempt < tries; attempt++) {
    const rows: Omit<PlacedBar, 'test_rank'>[] = [];
    for (let plate = 0; plate < plates; plate++) {
      const chosen = shuffled(places, uniform);
      const order = shuffled(ranks, uniform);
      shuffled(labels, uniform).forEach((label, i) => {
        const at = plate * onPlate + i;
        const [x, y] = positions[chosen[i]!]!;
        treatment[at] = label;
        values.x[at] = x;
        values.y[at] = y;
        values.distance[at] = Math.hypot(x, y);
        values.rank[at] = order[i]!;
        values.plate[at] = plate;
        rows.push({ plate: plate + 1, treatment: treatments[label]!, place: chosen[i]!, rank: order[i]! });
      });
    }
    const r2 = Object.fromEntries(
      NUISANCES.map((name) => [name, explained(values[name], treatment, treatments.length)]),
    ) as Record<Nuisance, number>;
    const worst = Math.max(...NUISANCES.map((name) => r2[name]));
    if (!best || worst < best.worst) best = { worst, rows, r2 };
  }
  const { worst, rows, r2 } = best!;
  const test = testOrder(rows, treatments, uniform);
  rows.sort((a, b) => a.plate - b.plate || a.rank - b.rank);
  return {
    bars: total,
    each_plate: [...perPlate],
    worst_r2: worst,
    r2,
    rows: rows.map((row) => ({ ...row, test_rank: test.get(row)! })),
  };
}

/** Share of the variance of a column that the labels explain; 0 where it does not vary. */
function explained(values: Float64Array, labels: Int32Array, count: number): number {
  const n = new Float64Array(count);
  const sum = new Float64Array(count);
  let all = 0;
  for (let i = 0; i < values.length; i++) {
    n[labels[i]!]! += 1;
    sum[labels[i]!]! += values[i]!;
    all += values[i]!;
  }
  const mean = all / values.length;
  let whole = 0;
  for (let i = 0; i < values.length; i++) whole += (values[i]! - mean) ** 2;
  if (!(whole > 0)) return 0;
  let between = 0;
  for (let t = 0; t < count; t++) if (n[t]! > 0) between += n[t]! * (sum[t]! / n[t]! - mean) ** 2;
  return between / whole;
}

/** Ranks of testing: the bars of each treatment in random order; one of each makes a round, shuffled inside. */
function testOrder<T extends { treatment: string }>(
  rows: readonly T[],
  treatments: readonly string[],
  uniform: () => number,
): Map<T, number> {
  const queues = treatments.map((name) =>
    shuffled(
      rows.filter((row) => row.treatment === name),
      uniform,
    ),
  );
  const test = new Map<T, number>();
  for (let round = 0; test.size < rows.length; round++)
    for (const row of shuffled(
      queues.flatMap((queue) => queue.slice(round, round + 1)),
      uniform,
    ))
      test.set(row, test.size + 1);
  return test;
}
