import { Refusal } from '../kernel.ts';
import { refuseBrokenOff } from './broken-off.ts';
import { type ExportText, textBetween } from './encoding.ts';
import { fieldsOf, isRow, lineText } from './number-format.ts';
import {
  beginsNumber,
  isDigit,
  MISSING,
  type NumberFormat,
  newRow,
  POINT,
  type Row,
  readRow,
  unquoted,
  WORDS,
} from './rows.ts';

/**
 * Lines of an export to runs of rows, with the lines of words that stand above each run. One pass over the bytes;
 * numbers go straight into columns.
 */

export type Line = Readonly<{ number: number; from: number }>;

/** A run of rows without a line of words between them. */
export type Run = Readonly<{
  lineFirst: number;
  lineLast: number;
  width: number;
  count: number;
  /** columns[k][row]; NaN where a field is empty. */
  columns: readonly Float64Array[];
  /** Number of the line of every row, kept where lines between were passed over; else rows follow `lineFirst`. */
  lineOf(row: number): number;
  /** Column of words in the rows, such as the names of bars, with the row from which each word holds; or null. */
  names: Readonly<{ column: number; from: readonly number[]; words: readonly string[] }> | null;
  /** Lines of words above the run, back to the run before. */
  above: readonly Line[];
}>;

export type Table = Readonly<{
  runs: readonly Run[];
  /** First rows as they stand in the file, for the eye. */
  rowsFirst: readonly (readonly string[])[];
  rowCount: number;
  /** Lines that look like rows and could not be read, below one in a hundred. */
  passedOver: readonly Line[];
  /** Lines of words behind the last run. */
  below: readonly Line[];
}>;

/** Fewer rows than this are no table, but words about it. */
export const ROWS_LEAST = 5;
/** Rows of an export at most. */
const ROWS_MOST = 5e6;
/** Share of the lines that look like rows and may fail before the file is refused. */
const FAILURES_MOST = 0.01;
/** Rows that are shown. */
const ROWS_SHOWN = 12;
/** Lines between two signs of progress. */
const PROGRESS_LINES = 1 << 16;
/** Bars of one table by a column of words; more are no names but time stamps or remarks. */
const NAMES_MOST = 2000;

type OpenRun = {
  lineFirst: number;
  lineLast: number;
  width: number;
  count: number;
  wordColumn: number;
  nameFrom: number[];
  names: string[];
  nameBytes: { from: number; length: number };
  /** Rows before which lines were passed over, and how many. */
  jumps: { row: number; lines: number }[];
  /** Rows that the columns have room for. */
  capacity: number;
  /** Rows shown before this run. */
  shown: number;
  firstLines: Line[];
  above: Line[];
};

/**
 * @throws Refusal where there are no rows, where numbers stand in one column, where the decimal sign or delimiter
 *   changes on the way, where a field of a column of numbers is none, and where the file breaks off in a row
 */
export function readTable(text: ExportText, format: NumberFormat, progress?: (share: number) => void): Table {
  const row = newRow();
  const store = newStore();
  const runs: Run[] = [];
  const rowsFirst: string[][] = [];
  const passedOver: Line[] = [];
  let above: Line[] = [];
  let open: OpenRun | null = null;
  let blanks = 0;
  let rowCount = 0;
  let failures = 0;
  let failureFirst: Line | null = null;
  let lastNamed = false;
  let line = 0;
  let rowLast: Line | null = null;

  const close = (): void => {
    if (open === null) return;
    if (open.count < ROWS_LEAST) {
      above = [...open.above, ...open.firstLines, ...above];
      rowCount -= open.count;
      rowsFirst.length = Math.min(rowsFirst.length, open.shown);
    } else runs.push(finishRun(open, store));
    open = null;
  };

  for (let at = 0; at < text.length; ) {
    readRow(text, at, format, row);
    const here: Line = { number: ++line, from: at };
    const start = at;
    at = row.next;
    if ((line & (PROGRESS_LINES - 1)) === 0) progress?.(at / text.length);
    if (row.words === 0 && row.numbers === 0) {
      blanks++;
      continue;
    }
    const standing: OpenRun | null = open as OpenRun | null;
    const fits =
      standing !== null && row.fields <= standing.width && row.numbers >= 1 && wordsFit(row, standing);
    if (isRow(row) || fits) {
      if (standing !== null && !fits) {
        const stray = strayWords(row, standing);
        if (standing.count >= ROWS_LEAST && stray >= 0 && looksLikeNumber(text, row, stray))
          throw badNumber(text, here.number, stray, row, format, standing.above.at(-1));
        if (standing.count >= ROWS_LEAST && stray < 0 && blanks === 0) {
          // More fields than the rows above: a delimiter or decimal sign that changes, not a new table.
          failures++;
          failureFirst ??= here;
          passedOver.push(here);
          standing.jumps.push({ row: standing.count, lines: 1 });
          continue;
        }
        close();
        if (stray >= 0 && row.numbers < 2) {
          above.push(here);
          continue;
        }
      }
      if (open === null) {
        open = newRun(row, here, above, store, rowsFirst.length);
        above = [];
      }
      const run: OpenRun = open;
      if (blanks > 0 && run.count > 0) run.jumps.push({ row: run.count, lines: blanks });
      blanks = 0;
      addRow(text, row, run, store, start);
      if (run.count <= ROWS_LEAST) run.firstLines.push(here);
      run.lineLast = here.number;
      rowLast = here;
      lastNamed = run.wordColumn >= 0;
      if (rowsFirst.length < ROWS_SHOWN) rowsFirst.push(fieldWords(text, row));
      if (++rowCount > ROWS_MOST)
        throw new Refusal(
          `${text.name} has more than ${ROWS_MOST / 1e6} million rows, the most that are read. Export fewer readings a second.`,
        );
      continue;
    }
    if (rowCount > 0 && looksLikeRow(text, start, at, lastNamed)) {
      failures++;
      failureFirst ??= here;
      passedOver.push(here);
      if (standing !== null && standing.count >= ROWS_LEAST) {
        standing.jumps.push({ row: standing.count, lines: 1 });
        continue;
      }
    }
    close();
    above.push(here);
    blanks = 0;
  }
  close();

  if (runs.length === 0) throw noRows(text, line);
  if (failureFirst !== null && failures >= FAILURES_MOST * (rowCount + failures))
    throw new Refusal(
      `${text.name}: the decimal sign or the delimiter changes in line ${failureFirst.number} ("${clip(lineText(text, failureFirst.from))}"), and ${failures} lines do not fit the rest. Expected one decimal sign and one delimiter in the whole file.`,
    );
  if (rowLast !== null) refuseBrokenOff(text, rowLast, runs.at(-1)!, format);
  return { runs, rowsFirst, rowCount, passedOver, below: above };
}

function newRun(row: Row, here: Line, above: Line[], store: Store, shown: number): OpenRun {
  const width = Math.min(row.fields, row.values.length);
  while (store.columns.length < width) store.columns.push(new Float64Array(4096));
  return {
    lineFirst: here.number,
    lineLast: here.number,
    width: row.fields,
    count: 0,
    wordColumn: row.words === 1 ? row.kinds.indexOf(WORDS) : -1,
    nameFrom: [],
    names: [],
    nameBytes: { from: -1, length: 0 },
    jumps: [],
    capacity: Math.min(...store.columns.slice(0, width).map((column) => column.length)),
    shown,
    firstLines: [],
    above,
  };
}

/** Words stand nowhere but in the column of words of the run. */
function wordsFit(row: Row, run: OpenRun): boolean {
  return row.words === 0 || (row.words === 1 && run.wordColumn >= 0 && row.kinds[run.wordColumn] === WORDS);
}

/** Column in which words stand where the run has numbers, or -1. */
function strayWords(row: Row, run: OpenRun): number {
  for (let k = 0; k < Math.min(row.fields, row.kinds.length); k++)
    if (row.kinds[k] === WORDS && k !== run.wordColumn) return k;
  return -1;
}

/** Columns that grow and are used again for every run, so that a file of many runs does not allocate its end each time. */
type Store = { columns: Float64Array[] };
const newStore = (): Store => ({ columns: [] });

function addRow(text: ExportText, row: Row, run: OpenRun, store: Store, start: number): void {
  const { columns } = store;
  const index = run.count++;
  const width = Math.min(run.width, row.values.length);
  if (index >= run.capacity) {
    run.capacity *= 2;
    for (let k = 0; k < width; k++) columns[k] = grown(columns[k]!, run.capacity);
  }
  const { values } = row;
  const fields = Math.min(row.fields, width);
  for (let k = 0; k < fields; k++) columns[k]![index] = values[k]!;
  for (let k = fields; k < width; k++) columns[k]![index] = Number.NaN;
  if (run.wordColumn >= 0) noteName(text, row, run, index, start);
}

function grown(column: Float64Array, capacity: number): Float64Array {
  if (column.length >= capacity) return column;
  const more = new Float64Array(capacity);
  more.set(column);
  return more;
}

/** Notes where the word of the rows changes; bytes are compared first, so that a name is decoded once. */
function noteName(text: ExportText, row: Row, run: OpenRun, index: number, start: number): void {
  const column = run.wordColumn;
  if (row.kinds[column] === MISSING || column >= row.fields || run.names.length > NAMES_MOST) return;
  const from = row.from[column]!;
  const length = row.to[column]! - from;
  const { bytes } = text;
  const last = run.nameBytes;
  if (last.from >= 0 && last.length === length) {
    let same = true;
    for (let k = 0; same && k < length; k++) same = bytes[last.from + k] === bytes[from + k];
    if (same) return;
  }
  run.nameBytes = { from: Math.max(from, start), length };
  run.nameFrom.push(index);
  run.names.push(unquoted(textBetween(text, from, from + length)).trim());
}

function finishRun(run: OpenRun, store: Store): Run {
  const { lineFirst, jumps } = run;
  return {
    lineFirst,
    lineLast: run.lineLast,
    width: Math.min(run.width, store.columns.length),
    count: run.count,
    columns: store.columns.slice(0, run.width).map((column) => column.slice(0, run.count)),
    lineOf: (row) => {
      let line = lineFirst + row;
      for (const jump of jumps) if (jump.row <= row) line += jump.lines;
      return line;
    },
    names:
      run.wordColumn < 0 || run.names.length > NAMES_MOST
        ? null
        : { column: run.wordColumn, from: run.nameFrom, words: run.names },
    above: run.above,
  };
}

function fieldWords(text: ExportText, row: Row): string[] {
  return Array.from({ length: Math.min(row.fields, row.from.length) }, (_, k) =>
    unquoted(textBetween(text, row.from[k]!, row.to[k]!)),
  );
}

function looksLikeNumber(text: ExportText, row: Row, column: number): boolean {
  const first = text.bytes[row.from[column]!]!;
  return beginsNumber(first === 34 ? text.bytes[row.from[column]! + 1]! : first);
}

/** A line that begins with a digit or a sign; in a table that begins with names, one with more digits than letters. */
function looksLikeRow(text: ExportText, from: number, to: number, named: boolean): boolean {
  const { bytes } = text;
  let at = from;
  while (at < to && (bytes[at]! <= 32 || bytes[at] === 34)) at++;
  if (at < to && beginsNumber(bytes[at]!)) return true;
  if (!named) return false;
  let digits = 0;
  let letters = 0;
  for (; at < to; at++) {
    const byte = bytes[at]!;
    if (isDigit(byte)) digits++;
    else if ((byte | 32) >= 97 && (byte | 32) <= 122) letters++;
  }
  return digits > letters + 3;
}

const clip = (words: string) => (words.length > 60 ? `${words.slice(0, 57)}...` : words);

function badNumber(
  text: ExportText,
  line: number,
  column: number,
  row: Row,
  format: NumberFormat,
  headings: Line | undefined,
): Refusal {
  const field = unquoted(textBetween(text, row.from[column]!, row.to[column]!));
  const heading =
    headings === undefined ? '' : (fieldsOf(lineText(text, headings.from), format)[column] ?? '');
  const example = format.decimal === POINT ? '1234.5' : '1234,5';
  return new Refusal(
    `${text.name}, line ${line}, column ${column + 1}${heading === '' ? '' : ` (${heading})`}: "${clip(field)}" is not a number. Expected one such as ${example}, or an empty field. Nothing was read in.`,
  );
}

function noRows(text: ExportText, lines: number): Refusal {
  // A column alone is told by lines that are a number with either decimal sign.
  let alone = 0;
  let first = 0;
  let line = 0;
  for (let at = 0; at < text.length && alone < ROWS_LEAST; line++) {
    const words = lineText(text, at).trim();
    if (/^[-+\u2212]?\d+([.,]\d*)?([eE][-+]?\d+)?[;,\t]?$/.test(words)) {
      if (alone++ === 0) first = line + 1;
    }
    at += Math.max(1, text.bytes.indexOf(10, at) - at + 1);
  }
  if (alone >= ROWS_LEAST)
    return new Refusal(
      `${text.name} holds only one column of numbers, from line ${first} on. Expected force and, beside it, strain, extension or travel.`,
    );
  const count = lines === 1 ? '1 line' : `${lines} lines`;
  return new Refusal(
    `${text.name} holds no rows of numbers (${count} read). Expected at least ${ROWS_LEAST} rows of readings below their headings.`,
  );
}
