import type { Law } from '../job.ts';
import {
  dimensionOf,
  NUMBER,
  parseChance,
  parseQuantity,
  plain,
  type Reading,
  read,
  refuse,
} from '../units.ts';

/**
 * The grammar of spreads (cards/README.md, section 2), in SI. `u` is the standard normal of the unknown; how a law is
 * drawn from it stands in the engine.
 *
 *   spread = "fixed" | "follows" keys "by" words | law [" in " number " .. " quantity]
 *   law    = "+- 3 K" | "x/ 1.57" | "20 .. 26 C" | "165 / 185 / 195 C" | "counts 1 of 10"
 */

/** A value with the spread that came with it; `law` null where the text gave none. */
export type Uncertain = Readonly<{ value: number; law: Law | null }>;

const FORMS = '"+- 3 K", "x/ 1.5", "20 .. 26 C", "165 / 185 / 195 C", "counts 1 of 10" or "fixed"';
const expected = `a spread, such as ${FORMS}`;

/**
 * One spread of a value whose unit is known.
 * @param unit unit of the value; "" for a plain number. The unit in the text must be of the same kind.
 */
export function parseSpread(text: string, unit: string): Reading<Law> {
  const said = plain(text);
  if (said === 'fixed') return read({ kind: 'fixed' });
  if (said.startsWith('follows')) return parseFollows(said);
  const counts = /^counts (\d+) of (\d+)$/.exec(said);
  if (counts) return checkCount(text, Number(counts[1]), Number(counts[2]));
  const [law = '', bounds, ...more] = said.split(/ in /);
  if (more.length > 0) return refuse(`"${text}" has more than one "in".`, expected);
  if (said.startsWith('+-') || said.startsWith('x/')) {
    const width = said.startsWith('+-') ? parseNormal(law, unit) : parseFactor(law, unit);
    if (!width.ok || bounds === undefined) return width;
    const ends = parseEnds(bounds, unit, 2);
    if (!ends.ok) return ends;
    return read({ ...width.value, low: ends.value[0]!, high: ends.value[1]! } as Law);
  }
  if (bounds !== undefined) return refuse(`"${text}": only "+-" and "x/" take bounds with "in".`, expected);
  return parseBetween(said, unit) ?? refuse(`"${text}" is not a spread.`, expected);
}

/**
 * A value of the person with or without its own spread: "22 C", "22 C +- 2 C", "5 kPa x/ 1.57 in 1.5 .. 15 kPa",
 * "20 .. 26 C" (value in the middle), "165 / 185 / 195 C" (value at the peak), "counts 1 of 10" (value 1/10).
 */
export function parseUncertain(text: string, unit: string, example?: string): Reading<Uncertain> {
  const said = plain(text);
  const wanted = example === undefined ? { unit } : { unit, example };
  const counts = /^counts (\d+) of (\d+)$/.exec(said);
  if (counts && dimensionOf(unit) === 'number') {
    const law = checkCount(text, Number(counts[1]), Number(counts[2]));
    return law.ok ? read({ value: Number(counts[1]) / Number(counts[2]), law: law.value }) : law;
  }
  const cut = said.search(/\+-|x\//);
  if (cut >= 0) {
    const value = parseQuantity(said.slice(0, cut), wanted);
    if (!value.ok) return value;
    const law = parseSpread(said.slice(cut), unit);
    if (!law.ok) return law;
    const wrong = misfit(value.value.value, law.value);
    return wrong === null
      ? read({ value: value.value.value, law: law.value })
      : refuse(`"${text}": ${wrong}.`, expected);
  }
  const between = parseChance(said) === null ? parseBetween(said, unit) : null;
  if (between !== null) {
    if (!between.ok) return between;
    const law = between.value;
    const value =
      law.kind === 'even' ? (law.low + law.high) / 2 : law.kind === 'triangle' ? law.peak : Number.NaN;
    return read({ value, law });
  }
  const value = parseQuantity(text, wanted);
  return value.ok ? read({ value: value.value.value, law: null }) : value;
}

/** Why a value cannot have this spread, in words; null where it can. */
export function misfit(value: number, law: Law): string | null {
  switch (law.kind) {
    case 'factor':
      if (!(value > 0)) return 'a factor needs a value above zero';
      return inside(value, law.low, law.high);
    case 'normal':
      return inside(value, law.low, law.high);
    case 'even':
      return inside(value, law.low, law.high);
    case 'triangle':
      return near(value, law.peak) ? null : 'the value is not the peak of its triangle';
    case 'count':
      return near(value, law.hits / law.of) ? null : 'the value is not the share that was counted';
    default:
      return null;
  }
}

function inside(
  value: number,
  low = Number.NEGATIVE_INFINITY,
  high = Number.POSITIVE_INFINITY,
): string | null {
  const slack = 1e-9 * Math.max(Math.abs(value), Math.abs(value - low) || 0);
  return value >= low - slack && value <= high + slack ? null : 'the value lies outside its spread';
}

function near(a: number, b: number): boolean {
  return Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b), 1e-300);
}

/**
 * The card's spread about a new value, where the person gave a value without one and the card says nothing for that.
 * A factor keeps its factor and a normal its width. Ranges keep their ratio to the value, so that what cannot be
 * negative stays so; on a scale without a natural zero (C), and for ranges that reach below zero, they are shifted.
 */
export function moveSpread(law: Law, from: number, to: number, unit: string): Law {
  const shift = to - from;
  const ends = law.kind === 'even' || law.kind === 'triangle' ? law.low : 0;
  const scaled = dimensionOf(unit) !== 'temperature' && from > 0 && to > 0 && ends >= 0;
  const move = (end: number) => (scaled ? (end * to) / from : end + shift);
  switch (law.kind) {
    case 'normal':
      return bounded({ kind: 'normal', sd: law.sd }, law, (end) => end + shift);
    case 'factor':
      return bounded({ kind: 'factor', factor: law.factor }, law, (end) => (end * to) / from);
    case 'even':
      return { kind: 'even', low: move(law.low), high: move(law.high) };
    case 'triangle':
      return { kind: 'triangle', low: move(law.low), peak: to, high: move(law.high) };
    case 'count':
      return to > 0 && to < 1 ? { kind: 'count', hits: to * law.of, of: law.of } : { kind: 'fixed' };
    default:
      return { kind: 'fixed' };
  }
}

function bounded(
  law: Extract<Law, { kind: 'normal' | 'factor' }>,
  old: Readonly<{ low?: number; high?: number }>,
  move: (end: number) => number,
): Law {
  return old.low === undefined || old.high === undefined
    ? law
    : { ...law, low: move(old.low), high: move(old.high) };
}

function parseFollows(said: string): Reading<Law> {
  const match = /^follows (.+?) by (.+)$/.exec(said);
  if (!match) return refuse(`"${said}" does not say what it follows.`, '"follows key, key by formula"');
  const keys = match[1]!.split(',').map((key) => key.trim());
  if (keys.some((key) => key === ''))
    return refuse(`"${said}" has an empty key.`, '"follows key, key by formula"');
  return read({ kind: 'follows', keys, by: match[2]! });
}

function checkCount(text: string, hits: number, of: number): Reading<Law> {
  if (hits > 0 && hits < of) return read({ kind: 'count', hits, of });
  return refuse(
    `"${text}" cannot be a chance by counting.`,
    'at least one hit and one miss, such as "counts 1 of 10"',
  );
}

function parseNormal(said: string, unit: string): Reading<Law> {
  const dimension = dimensionOf(unit);
  const width = parseQuantity(
    said.slice(2),
    dimension === 'temperature' ? { dimension: 'temperature difference' } : { dimension },
  );
  if (!width.ok) return width;
  // A width has no zero of a scale: only C has one, and that was read as a difference.
  const sd = width.value.value;
  return sd > 0
    ? read({ kind: 'normal', sd })
    : refuse(`"${said}" has no width.`, 'a width above zero, or "fixed"');
}

function parseFactor(said: string, unit: string): Reading<Law> {
  if (unit === 'C') return refuse(`"${said}": a temperature in C has no factor.`, '"+- 3 K"');
  const factor = parseQuantity(said.slice(2), { unit: '' });
  if (!factor.ok) return refuse(`"${said}" has no factor.`, 'a plain number above 1, such as "x/ 1.5"');
  return factor.value.value > 1
    ? read({ kind: 'factor', factor: factor.value.value })
    : refuse(`"${said}" has a factor of 1 or less.`, 'a factor above 1, such as "x/ 1.5", or "fixed"');
}

/** "a .. b unit" or "a / b / c unit"; null where the text has neither form. */
function parseBetween(said: string, unit: string): Reading<Law> | null {
  if (said.includes('..')) {
    const ends = parseEnds(said, unit, 2);
    return ends.ok ? read({ kind: 'even', low: ends.value[0]!, high: ends.value[1]! }) : ends;
  }
  if (/ \/ /.test(said)) {
    const ends = parseEnds(said, unit, 3);
    if (!ends.ok) return ends;
    const [low, peak, high] = ends.value as [number, number, number];
    return read({ kind: 'triangle', low, peak, high });
  }
  return null;
}

/** Two or three numbers in rising order, the unit after the last counting for all; the middle one may equal an end. */
function parseEnds(said: string, unit: string, count: 2 | 3): Reading<readonly number[]> {
  const form = count === 2 ? '"20 .. 26 C"' : '"165 / 185 / 195 C"';
  const parts = said.split(count === 2 ? /\s*\.\.\s*/ : /\s+\/\s+/);
  if (parts.length !== count) return refuse(`"${said}" is not a spread.`, form);
  const last = parts[count - 1]!;
  const written = last.replace(new RegExp(`^${NUMBER}\\s*`), '');
  const values: number[] = [];
  for (const part of parts) {
    const bare = new RegExp(`^${NUMBER}$`).test(part);
    const value = parseQuantity(bare && written !== '' ? `${part} ${written}` : part, { unit });
    if (!value.ok) return value;
    values.push(value.value.value);
  }
  const [low, high] = [values[0]!, values[count - 1]!];
  const rising = low < high && (count === 2 || (values[1]! >= low && values[1]! <= high));
  return rising
    ? read(values)
    : refuse(`"${said}" does not rise.`, `the smaller number first, such as ${form}`);
}
