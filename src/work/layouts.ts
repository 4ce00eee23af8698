import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { z } from 'zod';
import type { Layout } from '../engine/curves/reading.ts';
import { type Role, unitsOfRole } from '../engine/curves/words.ts';
import { InputFault, type Problem } from '../problem.ts';
import { dataFolder } from './home.ts';
import { makeFolder, writeWhole } from './write-whole.ts';

/**
 * Layouts of curve files that a person has confirmed, under the fingerprint of their headings: proposed for the next
 * file that looks the same. Kept with what else belongs to this person, not with one campaign.
 */
const ROLES = [
  'id',
  'time',
  'force',
  'stress',
  'grip',
  'extension',
  'strain',
  'transverse',
  'other',
] as const;
const shape = z.object({
  format: z.literal(1),
  layouts: z.array(
    z.object({
      fingerprint: z.string(),
      decimal: z.enum(['.', ',']),
      columns: z.array(z.object({ role: z.enum(ROLES), unit: z.string().nullable() })),
    }),
  ),
});
/** Layouts kept; the longest unconfirmed go first. */
const KEPT = 500;

const place = () => join(dataFolder(), 'layouts.json');

/** Those confirmed before, the newest first. A file that cannot be read counts as none: the person is asked again. */
export function confirmedLayouts(): readonly Layout[] {
  try {
    return shape.parse(JSON.parse(readFileSync(place(), 'utf8'))).layouts;
  } catch {
    return [];
  }
}

/** All of them were confirmed before. */
export function areKnown(layouts: readonly Layout[], known: readonly Layout[]): boolean {
  return layouts.every(({ fingerprint }) => known.some((one) => one.fingerprint === fingerprint));
}

/** @throws InputFault where they cannot be written */
export function rememberLayouts(layouts: readonly Layout[]): void {
  if (layouts.length === 0) return;
  const news = new Set(layouts.map(({ fingerprint }) => fingerprint));
  const others = confirmedLayouts().filter(({ fingerprint }) => !news.has(fingerprint));
  makeFolder(dirname(place()));
  writeWhole(
    place(),
    `${JSON.stringify({ format: 1, layouts: [...layouts, ...others].slice(0, KEPT) }, null, 1)}\n`,
  );
}

/** What a person says of one column: its number from 1, its role, and its unit where the role has one. */
export type ColumnSaid = Readonly<{ column: number; role: string; unit: string | null }>;

/**
 * A layout as read, with what the person said put in.
 * @throws InputFault on a column, role or unit that is not there
 */
export function corrected(
  layouts: readonly Layout[],
  said: readonly ColumnSaid[],
  decimal: '.' | ',' | null = null,
): Layout[] {
  const problems: Problem[] = [];
  const complain = (message: string, expected: string) =>
    problems.push({ code: 'wrong-column', message, expected });
  const columns = Math.max(0, ...layouts.map((layout) => layout.columns.length));
  for (const { column, role, unit } of said) {
    const known = ROLES.find((one) => one === role);
    if (!(column >= 1 && column <= columns)) complain(`There is no column ${column}.`, `1 to ${columns}`);
    if (known === undefined) complain(`"${role}" is not what a column can be.`, `one of ${ROLES.join(', ')}`);
    else {
      const units = unitsOfRole(known);
      if (units.length > 0 && (unit === null || !units.includes(unit)))
        complain(
          unit === null ? `Column ${column} has no unit.` : `"${unit}" is no unit of ${role}.`,
          `one of ${units.join(', ')}`,
        );
    }
  }
  if (problems.length > 0) throw new InputFault(problems);
  return layouts.map((layout) => ({
    ...layout,
    decimal: decimal ?? layout.decimal,
    columns: layout.columns.map((was, index) => {
      const now = said.findLast(({ column }) => column === index + 1);
      return now === undefined ? was : { role: now.role as Role, unit: now.unit };
    }),
  }));
}
