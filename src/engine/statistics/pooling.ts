import { Refusal } from '../kernel.ts';
import type { Group } from './group.ts';

/** Coefficients of the critical value by level, Scholz and Stephens 1987, table 2 (from memory). */
const LEVELS: readonly (readonly [alpha: number, t0: number, t1: number, t2: number])[] = [
  [0.25, 0.675, -0.245, -0.105],
  [0.1, 1.281, 0.25, -0.305],
  [0.05, 1.645, 0.678, -0.362],
  [0.025, 1.96, 1.149, -0.391],
  [0.01, 2.326, 1.822, -0.396],
];

export type Pooling = Readonly<{ A2: number; ADK: number; sigma: number; same: boolean }>;

/**
 * May groups (plates, spools) be pooled? k-sample Anderson-Darling, midrank version, equations of [statistics-12].
 * `same` compares (A2 - (k - 1))/sigma with the critical value of the level.
 * Source: Scholz and Stephens 1987, J. Am. Stat. Assoc. 82, 918; tested on their example of four laboratories.
 *
 * @throws Refusal with fewer than two groups, an empty one, fewer than four values, no scatter, or a level not tabled
 */
export function poolable(groups: readonly Group[], alpha: number): Pooling {
  const k = groups.length;
  if (k < 2) throw new Refusal('Pooling is asked of two groups or more.');
  const empty = groups.find(({ values }) => values.length === 0);
  if (empty) throw new Refusal(`Group "${empty.name}" has no value.`);
  const level = LEVELS.find(([a]) => Math.abs(a - alpha) < 1e-9);
  if (!level)
    throw new Refusal(`The level ${alpha} is not tabled; choose one of 0.25, 0.1, 0.05, 0.025, 0.01.`);
  const all = groups.flatMap(({ values }) => values);
  const N = all.length;
  const distinct = [...new Set(all)].sort((a, b) => a - b);
  if (N < 4 || distinct.length < 2)
    throw new Refusal('Pooling needs four values or more that are not all equal.');
  const A2 = ((N - 1) / N) * groups.reduce((sum, group) => sum + distance(group.values, all, distinct), 0);
  const sigma = Math.sqrt(variance(groups, N));
  const [, t0, t1, t2] = level;
  const critical = t0 + t1 / Math.sqrt(k - 1) + t2 / (k - 1);
  return { A2, ADK: A2 / (k - 1), sigma, same: (A2 - (k - 1)) / sigma <= critical };
}

/** How far one group's steps lie from the pooled ones, ties counted half. */
function distance(values: readonly number[], all: readonly number[], distinct: readonly number[]): number {
  const N = all.length;
  const n = values.length;
  let sum = 0;
  let below = 0;
  let belowOwn = 0;
  const counts = countEach(all);
  const own = countEach(values);
  for (const value of distinct) {
    const h = counts.get(value)!;
    const f = own.get(value) ?? 0;
    const H = below + h / 2;
    const F = belowOwn + f / 2;
    below += h;
    belowOwn += f;
    sum += ((h / N) * (N * F - n * H) ** 2) / (H * (N - H) - (N * h) / 4);
  }
  return sum / n;
}

function countEach(values: readonly number[]): Map<number, number> {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return counts;
}

function variance(groups: readonly Group[], N: number): number {
  const k = groups.length;
  const H = groups.reduce((sum, { values }) => sum + 1 / values.length, 0);
  let h = 0;
  for (let i = 1; i < N; i++) h += 1 / i;
  let g = 0;
  let tail = 0; // sum of 1/j over j = i + 1 .. N - 1
  for (let i = N - 2; i >= 1; i--) {
    tail += 1 / (i + 1);
    g += tail / (N - i);
  }
  const a = (4 * g - 6) * (k - 1) + (10 - 6 * g) * H;
  const b = (2 * g - 4) * k * k + 8 * h * k + (2 * g - 14 * h - 4) * H - 8 * h + 4 * g - 6;
  const c = (6 * h + 2 * g - 2) * k * k + (4 * h - 4 * g + 6) * k + (2 * h - 6) * H + 4 * h;
  const d = (2 * h + 6) * k * k - 4 * h * k;
  return (a * N ** 3 + b * N ** 2 + c * N + d) / ((N - 1) * (N - 2) * (N - 3));
}
