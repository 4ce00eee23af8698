import { z } from 'zod';
import type { Group } from './group.ts';
import type { Row } from './rows.ts';

export const list = z.array(z.number());
export const values = list.min(1);
export const conf = z.number().gt(0).lt(1).default(0.95);
export const alpha = z.number().gt(0).lt(1).default(0.05);
export const share = z.number().gt(0).lt(1);
export const count = z.int().positive();
/** The share of the population that a bound lies below. */
export const above = z.number().gt(0.5).lt(1);
export const maybe = z.number().nullable();

/** An array of arrays, or names and arrays. A name that is a whole number comes before the others, as in any JSON object. */
export const groups = z.union([z.array(values).min(1), z.record(z.string(), values)]);

export function toGroups(given: z.infer<typeof groups>): Group[] {
  return Object.entries(given).map(([name, numbers]) => ({ name, values: numbers }));
}

const label = z.union([z.string(), z.number()]);

/** [plate, orientation, y] */
export const plateFirst = z.array(z.tuple([label, label, z.number()])).min(1);
/** [orientation, plate or round, y] */
export const orientationFirst = z.array(z.tuple([label, label, z.number()])).min(1);
/** [orientation, plate, y] or [orientation, plate, round, y] */
export const withRounds = z
  .array(z.union([z.tuple([label, label, z.number()]), z.tuple([label, label, label, z.number()])]))
  .min(1);

export function toRows(given: z.infer<typeof withRounds>): Row[] {
  return given.map((row) =>
    row.length === 3
      ? { orientation: String(row[0]), plate: String(row[1]), value: row[2] }
      : { orientation: String(row[0]), plate: String(row[1]), round: String(row[2]), value: row[3] },
  );
}
