import type { CardEntry } from '../cards/entry.ts';
import { type CardSet, entriesOf } from '../cards/find.ts';

/**
 * Which part of the campaign speaks of which kind of card. Every quantity of a card may be said under its own name in
 * the part of its kind; some have a shorter name there.
 */
export type Part = Readonly<{
  /** Keys from the root of the campaign. */
  at: readonly string[];
  kind: string;
  /** Short names: key in the campaign to entry of the card. */
  short?: Readonly<Record<string, string>>;
}>;

export const PARTS: readonly Part[] = [
  { at: ['kit', 'printer'], kind: 'printer' },
  {
    at: ['kit', 'printer', 'head'],
    kind: 'printer',
    short: { 'clear around': 'clear around', below: 'clear below' },
  },
  { at: ['kit', 'printer', 'chamber'], kind: 'chamber', short: { after: 'settles in' } },
  { at: ['kit', 'hot end'], kind: 'hot-end' },
  { at: ['kit', 'hot end', 'nozzle'], kind: 'nozzle' },
  { at: ['kit', 'hot end', 'contact'], kind: 'contact' },
  { at: ['kit', 'hot end', 'drive'], kind: 'drive' },
  { at: ['kit', 'sheet'], kind: 'sheet' },
  { at: ['kit', 'dryer'], kind: 'dryer', short: { at: 'temperature' } },
  { at: ['kit', 'box'], kind: 'box', short: { at: 'temperature' } },
  { at: ['kit', 'box', 'desiccant'], kind: 'desiccant' },
  { at: ['kit', 'box', 'tube'], kind: 'path' },
  { at: ['kit', 'scale'], kind: 'scale' },
  { at: ['kit', 'test machine'], kind: 'test-machine' },
  { at: ['spool'], kind: 'spool', short: { 'dry at most': 'limit of heat' } },
  { at: ['spool'], kind: 'strand' },
  { at: ['room'], kind: 'room' },
  { at: ['people'], kind: 'people' },
  { at: ['test'], kind: 'bars' },
];

/** Entries that stand in the campaign in a form of their own. */
const ELSEWHERE: Readonly<Record<string, readonly string[]>> = {
  'path.length': ['kit', 'box', 'path'],
  'path.tightest bend': ['kit', 'box', 'path'],
  'sheet.size': ['kit', 'sheet', 'size'],
  'spool.hours open': ['spool', 'since opened'],
};

/** Words that `path.way round` may have. */
export const WAYS_ROUND = ['with the winding', 'against the winding', 'unknown'] as const;

/** Where the campaign may say an entry; null where the card alone holds it. The short name is preferred. */
export function placesOf(entry: Pick<CardEntry, 'key' | 'form'>): readonly (readonly string[])[] {
  const elsewhere = ELSEWHERE[entry.key];
  if (elsewhere) return [elsewhere];
  if (entry.key === 'path.way round') return [['kit', 'box', 'tube', 'way round']];
  if (entry.form !== 'quantity') return [];
  const dot = entry.key.indexOf('.');
  const [kind, name] = [entry.key.slice(0, dot), entry.key.slice(dot + 1)];
  const parts = PARTS.filter((part) => part.kind === kind);
  const shorts = parts.flatMap((part) =>
    Object.entries(part.short ?? {}).flatMap(([key, entryName]) =>
      entryName === name ? [[...part.at, key]] : [],
    ),
  );
  const own = parts.filter((part) => !part.at.includes('head')).map((part) => [...part.at, name]);
  return [...shorts, ...own];
}

/** Temperatures in C, and what its card has at or below zero with a spread, such as an error. */
export function canBeNegative({ value, law, unit }: Pick<CardEntry, 'value' | 'law' | 'unit'>): boolean {
  if (unit === 'C') return true;
  return typeof value === 'number' && value <= 0 && law.kind !== 'fixed';
}

/** Quantities that may be said in a part, by the key they have there. */
export function quantitiesOf(set: CardSet, part: Part): Readonly<Record<string, CardEntry>> {
  const entries = entriesOf(set, part.kind);
  const found: Record<string, CardEntry> = {};
  for (const [key, name] of Object.entries(part.short ?? {})) if (entries[name]) found[key] = entries[name];
  if (part.at.includes('head')) return found;
  for (const [name, entry] of Object.entries(entries))
    if (entry.form === 'quantity' && !ELSEWHERE[entry.key]) found[name] = entry;
  return found;
}
