import { Refusal } from '../kernel.ts';
import { hashText, uniformStream } from '../numerics/random.ts';
import { shuffled } from './shuffle.ts';

export type LatinRounds = Readonly<{
  /** table[round][place]: which treatment is printed when. */
  table: string[][];
  each_row_all: boolean;
  /** Every treatment stands in every place; needs as many rounds as treatments. */
  each_column_all: boolean;
}>;

/**
 * One treatment a plate: rounds in Latin-square order, each treatment once in every round and once in every place over
 * as many rounds as there are treatments; further rounds begin a new square.                                [design-8]
 * A cyclic square with rows, columns and treatments permuted by the seed.
 */
export function latinRounds(treatments: readonly string[], rounds: number, seed: number): LatinRounds {
  const k = treatments.length;
  if (new Set(treatments).size !== k) throw new Refusal('A treatment is named twice.');
  const uniform = uniformStream(hashText(`rounds ${seed}`));
  const index = treatments.map((_, i) => i);
  const table: string[][] = [];
  while (table.length < rounds) {
    const names = shuffled(treatments, uniform);
    const columns = shuffled(index, uniform);
    for (const row of shuffled(index, uniform))
      table.push(columns.map((column) => names[(row + column) % k]!));
  }
  table.length = rounds;
  return {
    table,
    each_row_all: table.every((row) => new Set(row).size === k),
    each_column_all: index.every((place) => new Set(table.map((row) => row[place])).size === k),
  };
}
