import {
  type Document,
  isCollection,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  parseDocument,
} from 'yaml';
import type { Problem, Where } from '../problem.ts';

/**
 * Text to plain values with a place for each: what campaign and cards share. Every fault of form is found here, with
 * line and column, in our own words.
 */

export type Path = readonly (string | number)[];

/** An opened YAML file. `raw` is null where it could not be read at all; `problems` then says why. */
export type Opened = Readonly<{
  file: string;
  raw: Readonly<Record<string, unknown>> | null;
  problems: readonly Problem[];
  /** Line and column of the value at a path, or of what is nearest to it on the way there. */
  where(path: Path): Where;
  /** The same of the key that stands last in the path. */
  whereKey(path: Path): Where;
}>;

/** Files beyond this are no campaign and no card; nothing of them is read. */
const LARGEST = 5_000_000;

/** Opens a text that must hold keys with values. */
export function openYaml(text: string, file: string): Opened {
  const fail = (problem: Problem): Opened => ({
    file,
    raw: null,
    problems: [{ ...problem, where: { file, ...problem.where } }],
    where: () => ({ file }),
    whereKey: () => ({ file }),
  });
  if (text.length > LARGEST)
    return fail({
      code: 'too-large',
      message: `This is ${(text.length / 1e6).toFixed(0)} MB of text.`,
      expected: 'a file of a few pages',
    });
  const lines = new LineCounter();
  const doc = parseDocument(text, { lineCounter: lines, prettyErrors: false, version: '1.2' });
  const at = (offset: number): Where => {
    const { line, col } = lines.linePos(offset);
    return { file, line: Math.max(1, line), column: Math.max(1, col) };
  };
  // One slip often makes several complaints at one place; the first is the one that helps.
  const told = new Set<number>();
  const problems: Problem[] = [...doc.errors, ...doc.warnings].flatMap((error) => {
    const [offset] = error.pos;
    if (told.has(offset)) return [];
    told.add(offset);
    return [{ ...wordsOf(error.code, error.message), where: at(offset) }];
  });
  const find = (path: Path, key: boolean): Where => {
    const words = path.join('.');
    const offset = offsetOf(doc, path, key);
    return { ...(offset === null ? { file } : at(offset)), ...(words === '' ? {} : { path: words }) };
  };
  const places = { where: (path: Path) => find(path, false), whereKey: (path: Path) => find(path, true) };
  if (problems.length > 0) return { file, raw: null, problems, ...places };
  if (doc.contents === null || (isScalar(doc.contents) && doc.contents.value === null))
    return fail({
      code: 'empty',
      message: 'The file is empty.',
      expected: 'keys with values, such as "format: 1"',
    });
  if (!isMap(doc.contents))
    return fail({
      code: 'not-keys',
      message: 'The file does not hold keys with values.',
      expected: 'lines such as "format: 1"',
      where: { line: 1, column: 1 },
    });
  try {
    return { file, raw: doc.toJS() as Record<string, unknown>, problems, ...places };
  } catch (error) {
    const name = /Unresolved alias.*: (\S+)$/.exec((error as Error).message)?.[1];
    if (name !== undefined)
      return fail({
        code: 'not-yaml',
        message: `"*${name}" begins with * and names nothing.`,
        expected: 'quotes round it',
        where: at(Math.max(0, text.indexOf(`*${name}`))),
      });
    return fail({
      code: 'not-yaml',
      message: 'It repeats itself by references more often than can be read.',
      expected: 'values written out',
    });
  }
}

/** Offset of a value, or of its key; of the deepest part of the path that exists. */
function offsetOf(doc: Document, path: Path, key: boolean): number | null {
  let node: unknown = doc.contents;
  let offset = startOf(node);
  for (const [depth, step] of path.entries()) {
    if (isMap(node)) {
      const pair = node.items.find(
        (item) => String(isScalar(item.key) ? item.key.value : item.key) === String(step),
      );
      if (!pair) return offset;
      offset = startOf(pair.key) ?? offset;
      if (key && depth === path.length - 1) return offset;
      node = pair.value;
    } else if (isSeq(node)) node = node.items[Number(step)];
    else return offset;
    offset = startOf(node) ?? offset;
  }
  return offset;
}

function startOf(node: unknown): number | null {
  const range = (node as Node | null)?.range;
  if (!range) return null;
  // The range of a block of keys begins at its first key.
  if (isCollection(node) && !node.flow && node.items.length > 0) {
    const [first] = node.items;
    const inner = (first as { key?: Node }).key ?? (first as Node);
    return inner?.range?.[0] ?? range[0];
  }
  return range[0];
}

/** Faults of form in our words; what is rare keeps the words of the reader of YAML. */
function wordsOf(code: string, message: string): Problem {
  switch (code) {
    case 'TAB_AS_INDENT':
      return {
        code: 'tab',
        message: 'A line begins with a tab.',
        expected: 'spaces: two for each step inwards',
      };
    case 'DUPLICATE_KEY':
      return { code: 'key-twice', message: 'This key stands here twice.', expected: 'each key once' };
    case 'MISSING_CHAR':
      return {
        code: 'not-yaml',
        message: 'A quote, a bracket, a comma or a colon is missing.',
        expected: 'each opened quote and bracket to be closed',
      };
    case 'BAD_INDENT':
      if (/end with a/.test(message))
        return {
          code: 'not-yaml',
          message: 'A bracket opened above is not closed.',
          expected: `a closing ${/\]/.test(message) ? ']' : '}'} before this`,
        };
      return {
        code: 'not-yaml',
        message: 'The line does not stand under the one it belongs to.',
        expected: 'the same number of spaces before the keys of one part',
      };
    case 'BLOCK_AS_IMPLICIT_KEY':
    case 'MULTILINE_IMPLICIT_KEY':
      return {
        code: 'not-yaml',
        message: 'A colon stands inside a value.',
        expected: 'quotes round a value that has a colon and a space in it',
      };
    case 'MULTIPLE_DOCS':
      return { code: 'not-yaml', message: 'A second document begins here.', expected: 'one, without "---"' };
    case 'BAD_SCALAR_START':
      return {
        code: 'not-yaml',
        message: 'A value begins with a sign that means something else here.',
        expected: 'quotes round a value that begins with @, ` or %',
      };
    default:
      return {
        code: 'not-yaml',
        message: `This cannot be read: ${message.split('\n')[0]}.`,
        expected: 'YAML 1.2',
      };
  }
}

/**
 * Bytes of a file as text. UTF-8 alone, a mark at its start allowed.
 * @returns the text, or the problem with the line of the first byte that does not fit
 */
export function textOf(
  bytes: Uint8Array,
  file: string,
): Readonly<{ text: string }> | Readonly<{ problem: Problem }> {
  const expected = 'a text file saved as UTF-8';
  const fail = (message: string, where: Where = {}) => ({
    problem: { code: 'not-utf-8', message, expected, where: { file, ...where } },
  });
  const [first, second] = bytes;
  if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff))
    return fail('It is saved as UTF-16.');
  const nul = bytes.indexOf(0);
  if (nul >= 0) return fail('It is not a text.', placeOf(bytes, nul));
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    const offset = firstBadByte(bytes);
    return fail(
      `The byte ${bytes[offset]?.toString(16)} does not belong into a UTF-8 text.`,
      placeOf(bytes, offset),
    );
  }
}

function placeOf(bytes: Uint8Array, offset: number): Where {
  let line = 1;
  let start = 0;
  for (let k = 0; k < offset; k++)
    if (bytes[k] === 10) {
      line++;
      start = k + 1;
    }
  return { line, column: offset - start + 1 };
}

/** Longest beginning that is sound UTF-8, found by halving: a beginning may also end inside a sign. */
function firstBadByte(bytes: Uint8Array): number {
  const sound = (length: number) => {
    try {
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(0, length), { stream: true });
      return true;
    } catch {
      return false;
    }
  };
  let good = 0;
  let bad = bytes.length;
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (sound(middle)) good = middle;
    else bad = middle;
  }
  return Math.min(good, bytes.length - 1);
}
