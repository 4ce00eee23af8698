import { Refusal } from '../kernel.ts';
import type { Group } from './group.ts';

/** One bar, or the mean of a plate: what it is, where it was made, and its number. */
export type Row = Readonly<{ orientation: string; plate: string; round?: string; value: number }>;

/** Names in the order in which they first appear. */
export function namesOf(rows: readonly Row[], of: (row: Row) => string): string[] {
  return [...new Set(rows.map(of))];
}

/** Rows gathered by a name, in the order in which the names first appear. */
export function groupsOf(rows: readonly Row[], of: (row: Row) => string): Group[] {
  return namesOf(rows, of).map((name) => ({
    name,
    values: rows.filter((row) => of(row) === name).map((row) => row.value),
  }));
}

/** Column of ones where the row carries the name. */
export function dummies(
  rows: readonly Row[],
  of: (row: Row) => string,
  names: readonly string[],
): Float64Array[] {
  return names.map((name) => Float64Array.from(rows, (row) => (of(row) === name ? 1 : 0)));
}

/** Orientations that cannot be compared with the first one, because no chain of shared plates leads to them. */
export function unconnected(rows: readonly Row[], of: (row: Row) => string): string[] {
  const orientations = namesOf(rows, (row) => row.orientation);
  const reached = new Set([orientations[0]]);
  const plates = new Set<string>();
  for (let before = -1; before !== reached.size; ) {
    before = reached.size;
    for (const row of rows) if (reached.has(row.orientation)) plates.add(of(row));
    for (const row of rows) if (plates.has(of(row))) reached.add(row.orientation);
  }
  return orientations.filter((name) => !reached.has(name));
}

export function logOf(value: number, what: string): number {
  if (!(value > 0)) throw new Refusal(`${what} is ${value}: a ratio needs positive numbers.`);
  return Math.log(value);
}
