import { strFromU8 } from 'fflate';

/** Stands in a cleaned line where quoted text was: blank on lines that take it, "not a word" on strict ones. */
export const QUOTE = 34;
const BLANK = 32;
const TAB = 9;
const STAR = 42;
const SEMICOLON = 59;
const OPEN = 40;
const CLOSE = 41;
const UNDERSCORE = 95;
const EQUALS = 61;
const N = 78;

export function isBlank(c: number): boolean {
  return c === BLANK || c === TAB;
}

export function isDigit(c: number): boolean {
  return c >= 48 && c <= 57;
}

/** 0..25 for a letter of either case, else a number beyond. */
export function letterIndex(c: number): number {
  return ((c & 0xdf) - 65) >>> 0;
}

export function isLetter(c: number): boolean {
  return letterIndex(c) < 26;
}

/**
 * Exclusive or of bytes, as in the sum after `*`. Common practice, no source.
 */
export function checksum(bytes: Uint8Array, from: number, to: number): number {
  let sum = 0;
  for (let k = from; k < to; k++) sum ^= bytes[k]!;
  return sum;
}

export type SumCheck = { end: number; expected: number; found: number };

/**
 * Where a line begins `N<digits> ` and has `*` before any `;`, what is before the star counts and the number after it
 * must be its sum.
 *
 * @returns null where the rule does not apply; `found` is -1 where no number follows the star
 */
export function numberedLine(bytes: Uint8Array, from: number, to: number): SumCheck | null {
  let p = from;
  while (p < to && isBlank(bytes[p]!)) p++;
  if (p >= to || (bytes[p]! & 0xdf) !== N) return null;
  const digits = ++p;
  while (p < to && isDigit(bytes[p]!)) p++;
  if (p === digits || p >= to || !isBlank(bytes[p]!)) return null;
  let star = -1;
  for (; p < to && bytes[p] !== SEMICOLON; p++) if (bytes[p] === STAR) star = p;
  if (star < 0) return null;
  p = star + 1;
  while (p < to && isBlank(bytes[p]!)) p++;
  let found = -1;
  // Three digits are all that a byte needs; more is no sum.
  for (let k = 0; k < 4 && p < to && isDigit(bytes[p]!); k++, p++)
    found = Math.max(0, found) * 10 + bytes[p]! - 48;
  return { end: star, expected: checksum(bytes, from, star), found };
}

/**
 * Takes comments and quoted text off a line and the line number from its front. Writes what is left into `into`, with
 * `QUOTE` where quoted text was.
 *
 * @returns the length of what is left, outer blanks taken off
 */
export function cleaned(bytes: Uint8Array, from: number, to: number, into: Uint8Array): number {
  let n = 0;
  let p = from;
  // Once no bracket closes ahead, none will: a line of opening brackets stays cheap.
  let closes = true;
  while (p < to) {
    const c = bytes[p]!;
    if (c === SEMICOLON) break;
    if (c === QUOTE) {
      p++;
      while (p < to && bytes[p] !== QUOTE) p++;
      p++;
      into[n++] = QUOTE;
      continue;
    }
    if (c === OPEN && closes) {
      let close = p + 1;
      while (close < to && bytes[close] !== CLOSE) close++;
      if (close < to) {
        p = close + 1;
        continue;
      }
      closes = false;
    }
    if (n > 0 || !isBlank(c)) into[n++] = c;
    p++;
  }
  while (n > 0 && isBlank(into[n - 1]!)) n--;
  if (n > 1 && (into[0]! & 0xdf) === N && isDigit(into[1]!)) {
    let cut = 1;
    while (cut < n && isDigit(into[cut]!)) cut++;
    while (cut < n && isBlank(into[cut]!)) cut++;
    into.copyWithin(0, cut, n);
    n -= cut;
  }
  return n;
}

/**
 * True where the first word of a cleaned line is the name of a macro: it begins with a letter or `_`, and with two
 * letters, or holds `_` or `=`. A strict command with words glued on is no macro (`strictEnd`: where the number of
 * such a command ends, 0 where there is none).
 */
export function isMacro(line: Uint8Array, length: number, strictEnd: number): boolean {
  const first = line[0]!;
  if (!isLetter(first) && first !== UNDERSCORE) return false;
  if (first === UNDERSCORE || (length > 1 && isLetter(line[1]!))) return true;
  let holds = false;
  for (let p = 1; p < length && !isBlank(line[p]!) && !holds; p++)
    holds = line[p] === UNDERSCORE || line[p] === EQUALS;
  if (!holds) return false;
  return !(strictEnd > 0 && isLetter(line[strictEnd] ?? 0) && isNumberStart(line[strictEnd + 1] ?? 0));
}

function isNumberStart(c: number): boolean {
  return isDigit(c) || c === 43 || c === 45 || c === 46;
}

/** Digits that a double holds exactly, whatever they are. */
export const EXACT_DIGITS = 15;

/** Last place a number was read to; -1 where there was none. One number at a time: the caller reads it at once. */
export const scan = { end: -1 };

/** Number `[+-]d.d` at `p`, no exponent. Sets `scan.end`; -1 and NaN where no digit is found. */
export function numberAt(line: Uint8Array, p: number, length: number): number {
  const from = p;
  if (p < length && (line[p] === 43 || line[p] === 45)) p++;
  let mantissa = 0;
  let digits = 0;
  let decimals = 0;
  while (p < length && isDigit(line[p]!)) {
    mantissa = mantissa * 10 + line[p++]! - 48;
    digits++;
  }
  if (p < length && line[p] === 46) {
    p++;
    while (p < length && isDigit(line[p]!)) {
      mantissa = mantissa * 10 + line[p++]! - 48;
      digits++;
      decimals++;
    }
  }
  if (digits === 0) {
    scan.end = -1;
    return Number.NaN;
  }
  scan.end = p;
  // Past 15 digits the division no longer rounds once; such a word is rare enough for a string.
  if (digits > EXACT_DIGITS) return Number(asciiText(line, from, p));
  const value = mantissa / 10 ** decimals;
  return line[from] === 45 ? -value : value;
}

function asciiText(line: Uint8Array, from: number, to: number): string {
  let text = '';
  for (let p = from; p < to; p++) text += String.fromCharCode(line[p]!);
  return text;
}

/** Longest excerpt of a line in a fault. */
const EXCERPT_MOST = 60;

/** Bytes as text for a person, cut short, unreadable bytes replaced. */
export function excerpt(bytes: Uint8Array, from: number, to: number): string {
  const text = strFromU8(bytes.subarray(from, Math.min(to, from + 4 * EXCERPT_MOST)))
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters must not reach a terminal.
    .replace(/[\u0000-\u001f\u007f-\u009f]+/g, ' ')
    .trim();
  return text.length > EXCERPT_MOST ? `${text.slice(0, EXCERPT_MOST - 1)}…` : text;
}
