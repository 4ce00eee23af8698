import type { Sharing } from '../job.ts';
import type { Problem } from '../problem.ts';
import { type CardEntry, entrySchema, readEntry, soundFields } from './entry.ts';
import { KINDS, SHARINGS } from './kinds.ts';
import { nearest } from './nearest.ts';
import { problemsOf, quoted } from './shape.ts';
import { type Opened, openYaml } from './yaml-text.ts';

export type Card = Readonly<{
  kind: string;
  name: string;
  whatItIs: string;
  sharing: Sharing;
  /** Name of the file it was read from, and whether it is the person's own. */
  file: string;
  own: boolean;
  /** By name without the kind, in the order of the file. */
  entries: Readonly<Record<string, CardEntry>>;
  /** Further tables of the kind `causes`, as they stand. */
  tables: Readonly<Record<string, Readonly<Record<string, unknown>>>>;
}>;

export type CardFile = Readonly<{ name: string; text: string }>;

/** Keys of the head; all others are entries. */
const HEAD = ['format', 'name', 'kind', 'what it is', 'sharing'];

/** Tables of a kind that hold no entries. */
const TABLES: Readonly<Record<string, readonly string[]>> = { causes: ['causes', 'signs'] };

/**
 * Reads one card. Complaints: head, known fields, number and unit, grammar, value inside its spread, rising table, form
 * of the source, known readers. What needs other cards is looked at by `findCards`.
 * @param file text with its name, `kind/name.yaml` at its end
 * @param own  true for a person's own card, which may leave `read by` to the shipped one
 */
export function readCard(
  file: CardFile,
  own = false,
): Readonly<{ card: Card | null; problems: readonly Problem[] }> {
  const opened = openYaml(file.text, file.name);
  if (opened.raw === null) return { card: null, problems: opened.problems };
  const { raw } = opened;
  const head = readHead(opened);
  const problems: Problem[] = [...head.problems];
  const entries: Record<string, CardEntry> = {};
  const tables: Record<string, Readonly<Record<string, unknown>>> = {};
  for (const [name, value] of Object.entries(raw)) {
    if (HEAD.includes(name)) continue;
    if (TABLES[head.kind]?.includes(name)) {
      problems.push(...checkTable(value, name, opened));
      tables[name] = value as Record<string, unknown>;
      continue;
    }
    const parsed = entrySchema.safeParse(value, { reportInput: true });
    if (!parsed.success) {
      if (typeof value !== 'object' || value === null || Array.isArray(value)) {
        const near = nearest(name, HEAD);
        problems.push({
          code: 'unknown-key',
          message: `"${name}" is no entry.`,
          expected: near ? `"${near}"` : 'fields in braces: { value, spread, source, read by }',
          where: opened.whereKey([name]),
        });
        continue;
      }
      problems.push(...problemsOf(parsed.error, entrySchema, opened, [name]));
    }
    const said = parsed.success ? parsed.data : soundFields(value as Record<string, unknown>, parsed.error);
    if (said === null) continue;
    const entry = readEntry(said, `${head.kind}.${name}`, head.sharing, own, [name], opened);
    problems.push(...entry.problems);
    if (parsed.success && entry.entry) entries[name] = entry.entry;
  }
  const card: Card = {
    kind: head.kind,
    name: head.name,
    whatItIs: head.whatItIs,
    sharing: head.sharing,
    file: file.name,
    own,
    entries,
    tables,
  };
  return { card: problems.length === 0 ? card : null, problems };
}

/** Reads many cards; those without a complaint are handed on. */
export function readCards(
  files: readonly CardFile[],
  own = false,
): Readonly<{ cards: readonly Card[]; problems: readonly Problem[] }> {
  const all = files.map((file) => readCard(file, own));
  return {
    cards: all.flatMap(({ card }) => (card ? [card] : [])),
    problems: all.flatMap(({ problems }) => problems),
  };
}

type Head = Readonly<{
  name: string;
  kind: string;
  whatItIs: string;
  sharing: Sharing;
  problems: readonly Problem[];
}>;

function readHead(opened: Opened): Head {
  const raw = opened.raw ?? {};
  const problems: Problem[] = [];
  const complain = (key: string, message: string, expected: string) =>
    problems.push({
      code: raw[key] === undefined ? 'missing' : 'wrong-value',
      message: raw[key] === undefined ? `"${key}" is missing.` : message,
      expected,
      where: opened.where([key]),
    });
  const [folder, base] = opened.file.split(/[\\/]/).slice(-2) as [string, string | undefined];
  const name = String(raw['name'] ?? '');
  const kind = String(raw['kind'] ?? '');
  if (raw['format'] !== 1)
    complain('format', `Format ${quoted(raw['format'])} is not known here.`, '"format: 1"');
  if (raw['name'] === undefined || (base ?? folder) !== `${name}.yaml`)
    complain(
      'name',
      `"${name}" is not the name of its file.`,
      `"${(base ?? folder).replace(/\.ya?ml$/, '')}"`,
    );
  if (!Object.hasOwn(KINDS, kind)) {
    const near = nearest(kind, Object.keys(KINDS));
    complain(
      'kind',
      `"${kind}" is not a kind of card.`,
      near ? `"${near}"` : `one of ${Object.keys(KINDS).join(', ')}`,
    );
  } else if (base !== undefined && Object.hasOwn(KINDS, folder) && folder !== kind)
    complain('kind', `"${kind}" is not the folder of this card.`, `"${folder}"`);
  if (typeof raw['what it is'] !== 'string')
    complain(
      'what it is',
      `${quoted(raw['what it is'])} is not a text.`,
      'one line that says what the card describes',
    );
  if (!SHARINGS.includes(raw['sharing'] as Sharing))
    complain(
      'sharing',
      `${quoted(raw['sharing'])} is not a way of sharing.`,
      `one of ${SHARINGS.join(', ')}`,
    );
  return {
    name,
    kind,
    whatItIs: String(raw['what it is'] ?? ''),
    sharing: raw['sharing'] as Sharing,
    problems,
  };
}

function checkTable(value: unknown, name: string, opened: Opened): Problem[] {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return [
      {
        code: 'wrong-value',
        message: `"${name}" is not a table.`,
        expected: 'a group of keys',
        where: opened.where([name]),
      },
    ];
  return Object.entries(value).flatMap(([key, row]) =>
    ['words', 'source'].flatMap((field): Problem[] =>
      typeof (row as Record<string, unknown> | null)?.[field] === 'string'
        ? []
        : [
            {
              code: 'missing',
              message: `"${field}" is missing.`,
              expected: 'a text',
              where: opened.where([name, key]),
            },
          ],
    ),
  );
}
