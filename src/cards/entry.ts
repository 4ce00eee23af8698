import { z } from 'zod';
import type { Law, Sharing, Table } from '../job.ts';
import type { Problem } from '../problem.ts';
import {
  isUnit,
  NUMBER,
  parseBend,
  parseQuantity,
  parseSize,
  plain,
  type Reading,
  read,
  refuse,
  toSi,
} from '../units.ts';
import { READERS, SHARINGS } from './kinds.ts';
import { nearest } from './nearest.ts';
import { leaf, quoted } from './shape.ts';
import { misfit, parseSpread } from './spread.ts';
import type { Opened, Path } from './yaml-text.ts';

/** Form of what the campaign says for an entry. */
export type Form = 'quantity' | 'size' | 'bend' | 'word' | 'table';

/** One property of a card, in SI. */
export type CardEntry = Readonly<{
  /** `kind.name`, such as `strand.melts at`. */
  key: string;
  form: Form;
  /** Null: asked, the campaign gives it. */
  value: number | string | Table | null;
  /** As it stands on the card; of a table the unit of its values; empty for plain numbers and words. */
  unit: string;
  law: Law;
  /** Spread of a bare value of the person; null: the card's own spread moves to it. */
  given: Law | null;
  /** What holds where the campaign says `unknown`, or says nothing to what is asked. */
  unknown: Readonly<{ value: number; law: Law | null }> | null;
  example: string | null;
  sharing: Sharing;
  /** The entry says its sharing itself; else it has that of its card's head. */
  sharingSaid: boolean;
  source: string;
  /** Null on a person's own card that leaves it to the shipped one. */
  readBy: readonly string[] | null;
  /** How pages of equations call it, by page. */
  symbol: Readonly<Record<string, string>>;
  line: number;
}>;

/** Words of which one must stand in a source, unless it names a work with its year or a standard with its number. */
const SOURCE_WORDS =
  /no source|from memory|measured|own judgement|judgement of this project|derived|choice|definition|asked|set by the person|seen\b/;
const SOURCE_WORK = /\b(1[6-9]|20)\d\d\b|\b(ISO|ASTM|EN|DIN|IEC)[ /-]/;

const text = leaf((raw) =>
  typeof raw === 'string' && raw.trim() !== ''
    ? read(raw)
    : refuse(`${quoted(raw)} is not a text.`, 'a text'),
);
const words = leaf((raw) =>
  typeof raw === 'string' || typeof raw === 'number'
    ? read(String(raw))
    : refuse(`${quoted(raw)} is not a text.`, 'a text'),
);
const oneOf = (list: readonly string[], what: string) =>
  leaf((raw) => {
    if (typeof raw === 'string' && list.includes(raw)) return read(raw);
    const near = typeof raw === 'string' ? nearest(raw, list) : null;
    return refuse(
      `${quoted(raw)} is not ${what}.`,
      near === null ? `one of ${list.join(', ')}` : `"${near}"`,
    );
  });
const sharing = oneOf(SHARINGS, 'a way of sharing');

/** Fields of an entry as they stand in the file. */
export const entrySchema = z.strictObject({
  value: leaf((raw) =>
    raw === undefined || raw === null
      ? refuse('The value is missing.', 'a number with its unit, a word or a table')
      : read(raw),
  ),
  spread: words.optional(),
  given: words.optional(),
  symbol: z.record(z.string(), words).optional(),
  sharing: sharing.optional(),
  units: z.array(words).optional(),
  between: oneOf(['straight', 'straight in ln'], 'a way to go between points').optional(),
  example: words.optional(),
  unknown: leaf((raw) => read(raw)).optional(),
  source: leaf((raw) => {
    const expected =
      'where the value comes from: a work with its year, a standard, "measured: how", "from memory" or "own judgement, no source"';
    if (typeof raw !== 'string' || raw.trim() === '') return refuse('The source is missing.', expected);
    return SOURCE_WORDS.test(raw) || SOURCE_WORK.test(raw)
      ? read(raw)
      : refuse(`"${raw}" names no source.`, expected);
  }),
  'read by': z.array(oneOf(READERS, 'a reader of cards')).optional(),
  date: text.optional(),
});
export type EntryText = z.infer<typeof entrySchema>;

/** What of an entry can still be looked at when some of its fields are wrong, so that nothing is told in two rounds. */
export function soundFields(fields: Record<string, unknown>, error: z.ZodError): EntryText | null {
  const wrong = new Set(error.issues.map((issue) => issue.path[0]));
  const sound = Object.entries(fields).filter(
    ([key]) => Object.hasOwn(entrySchema.shape, key) && !wrong.has(key),
  );
  // A field that was complained about is filled in, lest it is told again as missing.
  const filled = { spread: 'fixed', source: 'measured', 'read by': [] as string[] };
  return wrong.has('value') || fields['value'] === undefined
    ? null
    : ({ ...filled, ...Object.fromEntries(sound) } as EntryText);
}

type EntryRead = Readonly<{ entry: CardEntry | null; problems: readonly Problem[] }>;

/** One entry in SI, with its complaints; null where there is any. */
export function readEntry(
  said: EntryText,
  key: string,
  headSharing: Sharing,
  own: boolean,
  path: Path,
  opened: Opened,
): EntryRead {
  const problems: Problem[] = [];
  const complain = (field: string, message: string, expected?: string) => {
    problems.push({
      code: 'wrong-value',
      message,
      ...(expected ? { expected } : {}),
      where: opened.where([...path, field]),
    });
  };
  const value = readValue(said, complain);
  if (!value) return { entry: null, problems };
  const law = said.spread === undefined ? null : spreadOf(said.spread, value);
  if (law && !law.ok) {
    const bare = value.form === 'quantity' && value.unit === '';
    complain(
      'spread',
      bare ? `"${String(said.value)}" has no unit. ${law.message}` : law.message,
      law.expected,
    );
  }
  if (!law && value.value !== null)
    problems.push({
      code: 'missing',
      message: 'The spread is missing.',
      expected: 'a spread, such as "+- 3 K", or "fixed" where it is known exactly',
      where: opened.where(path),
    });
  if (law?.ok) {
    const wrong = typeof value.value === 'number' ? misfit(value.value, law.value) : null;
    if (wrong) complain('spread', `"${said.spread}": ${wrong}.`);
  }
  const given = said.given === undefined ? null : parseSpread(said.given, value.unit);
  if (given && !given.ok) complain('given', given.message, given.expected);
  const unknown = readUnknown(said.unknown, value, complain);
  if (said['read by'] === undefined && !own)
    problems.push({
      code: 'missing',
      message: '"read by" is missing.',
      expected: `a list of ${READERS.join(', ')}`,
      where: opened.where(path),
    });
  if (problems.length > 0) return { entry: null, problems };
  return {
    entry: {
      key,
      form: value.form,
      value: value.value,
      unit: value.unit,
      law: law?.ok ? qualified(law.value, key) : { kind: 'fixed' },
      given: given?.ok ? given.value : null,
      unknown,
      example: said.example ?? null,
      sharing: (said.sharing as Sharing | undefined) ?? headSharing,
      sharingSaid: said.sharing !== undefined,
      source: said.source,
      readBy: said['read by'] ?? null,
      symbol: said.symbol ?? {},
      line: opened.whereKey(path).line ?? 0,
    },
    problems,
  };
}

/** The spread of a value: of a table one factor for all of it, of a word none. */
function spreadOf(spread: string, value: Value): Reading<Law> {
  if (value.form === 'table' && !/^(x\/|fixed$)/.test(plain(spread)))
    return refuse(
      `"${spread}" is not the spread of a table.`,
      'one factor for all of it, such as "x/ 1.1", or "fixed"',
    );
  if (value.form === 'word' && spread !== 'fixed') return refuse('A word has no spread.', '"fixed"');
  return parseSpread(spread, value.form === 'table' ? '' : value.unit);
}

/** Names of followed entries with their kind in front. */
function qualified(law: Law, key: string): Law {
  if (law.kind !== 'follows') return law;
  const kind = key.slice(0, key.indexOf('.'));
  return {
    ...law,
    keys: law.keys.map((name) => (name.includes('.') || name === 'events' ? name : `${kind}.${name}`)),
  };
}

type Complain = (field: string, message: string, expected?: string) => void;
type Value = Pick<CardEntry, 'form' | 'value' | 'unit'>;

function readValue(said: EntryText, complain: Complain): Value | null {
  if (Array.isArray(said.value)) return readPoints(said, said.value, complain);
  if (typeof said.value === 'object') {
    complain('value', 'A group of keys is not a value.', 'a number with its unit, a word or a table');
    return null;
  }
  const written = String(said.value);
  if (written === 'asked') {
    if (said.example !== undefined) return readExample(said.example, complain);
    complain(
      'value',
      'What is asked has no example.',
      'a field "example" that shows the form, such as "750 g"',
    );
    return null;
  }
  // Words begin with a letter; "1 in 31" and all quantities with a figure or a sign.
  if (/^[A-Za-z]/.test(written)) return { form: 'word', value: written, unit: '' };
  const unit = unitIn(written);
  if (unit === null) {
    complain(
      'value',
      `"${written}" has a unit that is not known here.`,
      'a number with a unit of the list, such as "90 C"',
    );
    return null;
  }
  const quantity = parseQuantity(written, { unit });
  if (!quantity.ok) {
    complain('value', quantity.message, quantity.expected);
    return null;
  }
  return { form: 'quantity', value: quantity.value.value, unit };
}

/** The unit at the end of a quantity, null where it is none of the table; "" for plain numbers and chances. */
function unitIn(written: string): string | null {
  const match = new RegExp(`^${NUMBER}\\s*(.*)$`).exec(plain(written));
  const unit = match?.[1] ?? '';
  return /^in /.test(unit) ? '' : isUnit(unit) ? unit : null;
}

function readExample(example: string, complain: Complain): Value | null {
  if (parseSize(example).ok) return { form: 'size', value: null, unit: 'mm' };
  if (parseBend(example).ok) return { form: 'bend', value: null, unit: 'mm' };
  const unit = unitIn(example);
  if (unit !== null) return { form: 'quantity', value: null, unit };
  complain('example', `"${example}" is not a quantity.`, 'the form of an answer, such as "750 g"');
  return null;
}

function readPoints(said: EntryText, points: readonly unknown[], complain: Complain): Value | null {
  const units = said.units ?? [];
  if (units.length !== 2 || !units.every(isUnit)) {
    complain('units', 'The table has no two units known here.', '"units: [C, MPa]"');
    return null;
  }
  if (said.between === undefined) {
    complain(
      'between',
      'The table does not say how to go between its points.',
      '"straight" or "straight in ln"',
    );
    return null;
  }
  const pairs = points as readonly (readonly number[])[];
  const good = pairs.every(
    (pair) => Array.isArray(pair) && pair.length === 2 && pair.every((x) => Number.isFinite(x)),
  );
  if (!good || pairs.length < 2) {
    complain(
      'value',
      'The table has not two numbers in each of its points.',
      'two points or more, such as [[20, 1350], [260, 2250]]',
    );
    return null;
  }
  const rising = pairs.every((pair, k) => k === 0 || pair[0]! > pairs[k - 1]![0]!);
  if (!rising) {
    complain('value', 'The table does not rise.', 'points in rising order of the first number');
    return null;
  }
  if (said.between === 'straight in ln' && pairs.some((pair) => !(pair[1]! > 0))) {
    complain(
      'value',
      'The table goes straight in ln and holds a value of zero or less.',
      'values above zero',
    );
    return null;
  }
  const table: Table = {
    xs: pairs.map((pair) => toSi(pair[0]!, units[0]!)),
    ys: pairs.map((pair) => toSi(pair[1]!, units[1]!)),
    between: said.between as Table['between'],
  };
  return { form: 'table', value: table, unit: units[1]! };
}

/** `unknown: "0.5 kg"`, or `unknown: { value: "0.8 m", spread: "0.4 .. 1.5 m" }`. Of a bend the radius alone. */
function readUnknown(raw: unknown, value: Value, complain: Complain): CardEntry['unknown'] {
  if (raw === undefined) return null;
  const fields = (typeof raw === 'object' && raw !== null ? raw : { value: raw }) as Record<string, unknown>;
  const wrong = Object.keys(fields).find((key) => key !== 'value' && key !== 'spread');
  if (wrong !== undefined) complain('unknown', `"${wrong}" is not a field known here.`, 'value and spread');
  const quantity = parseQuantity(String(fields['value']), { unit: value.unit });
  if (!quantity.ok) {
    complain('unknown', quantity.message, quantity.expected);
    return null;
  }
  if (fields['spread'] === undefined) return { value: quantity.value.value, law: null };
  const law = parseSpread(String(fields['spread']), value.unit);
  if (!law.ok) {
    complain('unknown', law.message, law.expected);
    return null;
  }
  const misfits = misfit(quantity.value.value, law.value);
  if (misfits) complain('unknown', `"${String(fields['spread'])}": ${misfits}.`);
  return { value: quantity.value.value, law: law.value };
}
