import { type ExportText, textBetween } from './encoding.ts';

/**
 * One line of an export to fields: numbers read straight from the bytes. The common field, a short decimal number, is
 * read in one pass and correctly rounded; all else (grouped digits, exponents, words) takes the slow way.
 */

/** Delimiter and decimal sign as bytes; a delimiter of SPACE stands for runs of blanks. */
export type NumberFormat = Readonly<{ delimiter: number; decimal: number }>;

export const TAB = 9;
export const LINE_FEED = 10;
const CARRIAGE_RETURN = 13;
export const SPACE = 32;
export const QUOTE = 34;
const PLUS = 43;
export const COMMA = 44;
const MINUS = 45;
export const POINT = 46;
export const SEMICOLON = 59;
export const BAR = 124;

/** What stands in a field. */
export const MISSING = 0;
export const NUMBER = 1;
export const WORDS = 2;

/** Columns a table may have; fields beyond are counted and not kept. */
export const COLUMNS_MOST = 1024;
/** Digits that a double holds exactly as an integer: with one division by a power of ten the result is rounded once. */
const DIGITS_EXACT = 15;
const POWERS = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));
/** Longest field that may be a number. */
const NUMBER_LONGEST = 64;

/** Fields of the line read last; made once, used for every line. */
export type Row = {
  values: Float64Array;
  kinds: Uint8Array;
  from: Int32Array;
  to: Int32Array;
  fields: number;
  numbers: number;
  words: number;
  /** Numbers in which digits were grouped by threes. */
  grouped: number;
  /** Start of the next line. */
  next: number;
};

export function newRow(): Row {
  return {
    values: new Float64Array(COLUMNS_MOST),
    kinds: new Uint8Array(COLUMNS_MOST),
    from: new Int32Array(COLUMNS_MOST),
    to: new Int32Array(COLUMNS_MOST),
    fields: 0,
    numbers: 0,
    words: 0,
    grouped: 0,
    next: 0,
  };
}

/** Reads the line that begins at `start` into `row`. */
export function readRow(text: ExportText, start: number, format: NumberFormat, row: Row): void {
  const { bytes } = text;
  const { delimiter, decimal } = format;
  const { values, kinds, from, to } = row;
  const blanks = delimiter === SPACE;
  let at = start;
  let field = 0;
  let numbers = 0;
  let words = 0;
  row.grouped = 0;
  for (;;) {
    let byte = bytes[at]!;
    while (byte === SPACE || (byte === TAB && delimiter !== TAB)) byte = bytes[++at]!;
    if (blanks && (byte === LINE_FEED || byte === CARRIAGE_RETURN)) break;
    const begin = at;
    let negative = false;
    if (byte === MINUS || byte === PLUS) {
      negative = byte === MINUS;
      byte = bytes[++at]!;
    }
    let mantissa = 0;
    let digits = 0;
    let scale = 0;
    let digit = byte - 48;
    while (digit >= 0 && digit <= 9) {
      mantissa = mantissa * 10 + digit;
      digits++;
      byte = bytes[++at]!;
      digit = byte - 48;
    }
    if (byte === decimal && decimal !== delimiter) {
      byte = bytes[++at]!;
      digit = byte - 48;
      while (digit >= 0 && digit <= 9) {
        mantissa = mantissa * 10 + digit;
        scale++;
        byte = bytes[++at]!;
        digit = byte - 48;
      }
      digits += scale;
    }
    let kind = NUMBER;
    let value = 0;
    const ends =
      byte === delimiter || byte === LINE_FEED || byte === CARRIAGE_RETURN || (blanks && byte === TAB);
    let end = at;
    if (ends && digits > 0 && digits <= DIGITS_EXACT) {
      value = mantissa / POWERS[scale]!;
      if (negative) value = -value;
    } else {
      at = fieldEnd(bytes, begin, delimiter);
      byte = bytes[at]!;
      end = at;
      while (end > begin && (bytes[end - 1] === SPACE || bytes[end - 1] === TAB)) end--;
      value = slowNumber(text, begin, end, format, row);
      kind = end === begin ? MISSING : lastKind;
    }
    if (field < COLUMNS_MOST) {
      values[field] = kind === NUMBER ? value : Number.NaN;
      kinds[field] = kind;
      from[field] = begin;
      to[field] = end;
    }
    field++;
    if (kind === NUMBER) numbers++;
    else if (kind === WORDS) words++;
    if (byte === LINE_FEED || byte === CARRIAGE_RETURN) break;
    at++;
  }
  row.fields = field;
  row.numbers = numbers;
  row.words = words;
  row.next = bytes[at] === CARRIAGE_RETURN && bytes[at + 1] === LINE_FEED ? at + 2 : at + 1;
}

/** Place of the delimiter or line end behind a field; quotes are passed over whole, but never over a line end. */
function fieldEnd(bytes: Uint8Array, begin: number, delimiter: number): number {
  let at = begin;
  if (bytes[at] === QUOTE) {
    let close = at + 1;
    while (bytes[close] !== QUOTE && bytes[close] !== LINE_FEED) close++;
    if (bytes[close] === QUOTE) at = close + 1;
  }
  for (;;) {
    const byte = bytes[at]!;
    if (byte === delimiter || byte === LINE_FEED || byte === CARRIAGE_RETURN) return at;
    if (delimiter === SPACE && byte === TAB) return at;
    at++;
  }
}

/** Kind of the field that `slowNumber` looked at last: a second result without an object for every field. */
let lastKind = MISSING;

export const isDigit = (byte: number) => byte >= 48 && byte <= 57;
export const beginsNumber = (byte: number) =>
  isDigit(byte) || byte === MINUS || byte === PLUS || byte === POINT;
const isLetter = (byte: number) => (byte | 32) >= 97 && (byte | 32) <= 122;

function slowNumber(text: ExportText, begin: number, end: number, format: NumberFormat, row: Row): number {
  const { bytes } = text;
  lastKind = WORDS;
  if (end - begin > NUMBER_LONGEST) return 0;
  const first = bytes[begin]!;
  // Names of bars stand in every row of a long table: told by their first letter, before anything is decoded.
  if (isLetter(first) && (first | 32) !== 110) return 0;
  const words = unquoted(textBetween(text, begin, end)).trim();
  if (/^(-{0,3}|nan|n\/a)$/i.test(words)) {
    lastKind = MISSING;
    return 0;
  }
  const plain = words.replace(/^[\u2212\u2013]/, '-').replace(/([eE])[\u2212\u2013]/, '$1-');
  const value = numberIn(plain, String.fromCharCode(format.decimal));
  if (value === null) return 0;
  lastKind = NUMBER;
  if (value.grouped) row.grouped++;
  return value.value;
}

/** A text without the quotes around it. */
export function unquoted(words: string): string {
  return words.length >= 2 && words.startsWith('"') && words.endsWith('"')
    ? words.slice(1, -1).replaceAll('""', '"')
    : words;
}

const POINT_NUMBER =
  /^([+-]?)(\d+|[1-9]\d{0,2}(?:[ \u00a0\u2009\u202f'\u2019,]\d{3})+)?(?:\.(\d*))?([eE][+-]?\d+)?$/;
const COMMA_NUMBER =
  /^([+-]?)(\d+|[1-9]\d{0,2}(?:[ \u00a0\u2009\u202f'\u2019.]\d{3})+)?(?:,(\d*))?([eE][+-]?\d+)?$/;

/** A number with that decimal sign, its digits perhaps grouped by threes; null where the text is none. */
export function numberIn(words: string, decimal: string): { value: number; grouped: boolean } | null {
  const match = (decimal === ',' ? COMMA_NUMBER : POINT_NUMBER).exec(words);
  if (match === null) return null;
  const [, sign = '', whole = '', fraction = '', exponent = ''] = match;
  if (whole === '' && fraction === '') return null;
  const digits = whole.replace(/\D/g, '');
  // One kind of sign between the groups: 1.234 567 is no number.
  if (new Set(whole.replace(/\d/g, '')).size > 1) return null;
  return {
    value: Number(`${sign}${digits || '0'}.${fraction || '0'}${exponent}`),
    grouped: digits !== whole,
  };
}
