import { nearest } from '../cards/nearest.ts';
import { leaf, quoted } from '../cards/shape.ts';
import { parseUncertain, type Uncertain } from '../cards/spread.ts';
import {
  type Dimension,
  dimensionOf,
  expectation,
  parseChance,
  parseQuantity,
  parseSize,
  plain,
  type Reading,
  read,
  refuse,
  toSi,
  writeQuantity,
} from '../units.ts';

/** Values of a campaign, one schema each. All give SI, and complain in our own words. */

/** Text of a value; a bare number is taken as its text, so that "90" can be told to lack its unit. */
function said(raw: unknown): string | null {
  return typeof raw === 'string' || typeof raw === 'number' ? String(raw).trim() : null;
}

/** Schema of one text that a function reads. */
export function textBy<T>(reader: (text: string) => Reading<T>, expected: string) {
  return leaf((raw) => {
    const text = said(raw);
    return text === null || text === ''
      ? refuse(`${quoted(raw)} is not what belongs here.`, expected)
      : reader(text);
  });
}

export const name = leaf((raw) => {
  const text = said(raw);
  if (raw === undefined) return refuse('A name is missing.', 'a text');
  return text === null || text === '' ? refuse(`${quoted(raw)} is not a name.`, 'a text') : read(text);
});

export const words = leaf((raw) => {
  const text = said(raw);
  return text === null ? refuse(`${quoted(raw)} is not a text.`, 'a text') : read(text);
});

export const yesNo = leaf((raw) => {
  if (raw === true || raw === 'yes') return read(true);
  if (raw === false || raw === 'no') return read(false);
  return refuse(`${quoted(raw)} is neither yes nor no.`, '"yes", "no" or "unknown"');
});

export function oneOf<const T extends string>(list: readonly T[], what: string) {
  return leaf((raw): Reading<T> => {
    const text = said(raw);
    const found = list.find((word) => word === text);
    if (found !== undefined) return read(found);
    const near = text === null ? null : nearest(text, list);
    return refuse(
      `${quoted(raw)} is not ${what}.`,
      near === null ? `one of ${list.join(', ')}` : `"${near}"`,
    );
  });
}

/** A count of things, 1 or more. */
export const count = leaf((raw) => {
  const number = Number(said(raw) ?? Number.NaN);
  return Number.isInteger(number) && number >= 1
    ? read(number)
    : refuse(`${quoted(raw)} is not a count.`, 'a whole number, 1 or more');
});

/** A chance or a share: 0.8, "80 %" or "4 in 5". */
export const chance = leaf((raw) => {
  const expected = 'a number from 0 to 1, such as 0.8, or "80 %"';
  const text = said(raw);
  if (text === null) return refuse(`${quoted(raw)} is not a chance.`, expected);
  const counted = parseChance(text);
  if (counted !== null) return read(counted);
  const quantity = text.endsWith('%')
    ? parseQuantity(text, { unit: '%' })
    : parseQuantity(text, { unit: '' });
  if (!quantity.ok) return refuse(quantity.message, expected);
  const share = quantity.value.value;
  return share >= 0 && share <= 1 ? read(share) : refuse(`"${text}" is not a chance.`, expected);
});

/** Between these a value is believed; in SI. `above`: more than. */
export type Range = Readonly<{ above?: number; least?: number; most?: number }>;

const POSITIVE: Range = { above: 0 };

/** What a kind of quantity can be at all. Colder or hotter than these no part of the kit is. */
const RANGES: Partial<Record<Dimension, Range>> = {
  temperature: { least: toSi(-60, 'C'), most: toSi(500, 'C') },
  'temperature difference': {},
  humidity: { least: 0, most: 1 },
  share: { least: 0, most: 1 },
  'mass share': { least: 0, most: 1 },
  number: {},
};

export function rangeOf(dimension: Dimension): Range {
  return RANGES[dimension] ?? POSITIVE;
}

/** Complaint about a value out of its range, null where it is inside. */
function outside(text: string, value: number, unit: string, range: Range): Reading<never> | null {
  const { above, least, most } = range;
  const form = expectation({ unit });
  if (above !== undefined && !(value > above))
    return refuse(`"${text}" is not above ${writeQuantity(above, unit)}.`, form);
  if ((least !== undefined && value < least) || (most !== undefined && value > most))
    return refuse(
      `"${text}" is out of reach.`,
      most === undefined
        ? `${writeQuantity(least ?? 0, unit)} or more`
        : `${writeQuantity(least ?? 0, unit)} to ${writeQuantity(most, unit)}`,
    );
  return null;
}

/** An exact quantity in SI. */
export function quantity(unit: string, example?: string, range: Range = rangeOf(dimensionOf(unit))) {
  const wanted = example === undefined ? { unit } : { unit, example };
  return leaf((raw) => {
    const text = said(raw);
    if (text === null)
      return refuse(
        raw === undefined ? 'The value is missing.' : `${quoted(raw)} is not a quantity.`,
        expectation(wanted),
      );
    const parsed = parseQuantity(text, wanted);
    if (!parsed.ok) return parsed;
    return outside(text, parsed.value.value, unit, range) ?? read(parsed.value.value);
  });
}

/** A quantity with or without its own spread. */
export function uncertain(unit: string, example?: string, range: Range = rangeOf(dimensionOf(unit))) {
  const wanted = example === undefined ? { unit } : { unit, example };
  return leaf((raw): Reading<Uncertain> => {
    const text = said(raw);
    if (text === null)
      return refuse(
        raw === undefined ? 'The value is missing.' : `${quoted(raw)} is not a quantity.`,
        expectation(wanted),
      );
    const parsed = parseUncertain(text, unit, example);
    if (!parsed.ok) return parsed;
    return outside(text, parsed.value.value, unit, range) ?? parsed;
  });
}

/**
 * Readings of one length, "10.02, 10.04, 10.05 mm": a unit at the end, a blank behind each comma, so that a decimal comma
 * is told from two readings. A list of quantities is the same.
 */
export const readings = leaf((raw): Reading<readonly number[]> => {
  const expected = 'readings with their unit, such as "10.02, 10.04, 10.05 mm"';
  const texts = (Array.isArray(raw) ? (raw as unknown[]) : [raw]).map(said);
  if (texts.length === 0 || texts.some((text) => text === null || text === ''))
    return refuse(`${quoted(raw)} is no reading.`, expected);
  const all: number[] = [];
  for (const text of texts as string[]) {
    if (/\d,\d/.test(text)) return refuse(`"${text}" has a comma between digits.`, expected);
    const parts = plain(text).split(/\s*,\s+/);
    const unit = /[^\d.\s].*$/.exec(parts.at(-1)!)?.[0] ?? '';
    for (const [k, part] of parts.entries()) {
      const parsed = parseQuantity(k < parts.length - 1 ? `${part} ${unit}` : part, {
        unit: 'mm',
        example: '10.02 mm',
      });
      if (!parsed.ok) return refuse(parsed.message, expected);
      const wrong = outside(part, parsed.value.value, 'mm', { above: 0, most: toSi(200, 'mm') });
      if (wrong) return wrong;
      all.push(parsed.value.value);
    }
  }
  return read(all);
});

/** Two lengths in metres, both above zero. */
export const size = textBy((text) => {
  const parsed = parseSize(text);
  if (!parsed.ok) return parsed;
  return parsed.value.every((length) => length > 0)
    ? parsed
    : refuse(`"${text}" has no extent.`, 'two lengths with their unit, such as "260 x 220 mm"');
}, 'two lengths with their unit, such as "260 x 220 mm"');

/** A place on the sheet in metres, from its left front corner. */
export const place = textBy((text) => {
  const parsed = parseSize(text);
  if (!parsed.ok)
    return refuse(parsed.message.replace('size', 'place'), 'a place on the sheet, such as "40 x 30 mm"');
  return parsed;
}, 'a place on the sheet, such as "40 x 30 mm"');

/** "22 C, 50 %RH": air with its temperature and its relative humidity, each with or without a spread. */
export function parseAir(text: string): Reading<Readonly<{ temperature: Uncertain; humidity: Uncertain }>> {
  const expected = 'a temperature and a humidity, such as "22 C, 50 %RH"';
  const [first, second, ...more] = plain(text).split(/,\s+/);
  if (first === undefined || second === undefined || more.length > 0)
    return refuse(`"${text}" is not the state of air.`, expected);
  const temperature = parseUncertain(first, 'C');
  if (!temperature.ok) return refuse(temperature.message, expected);
  const humidity = parseUncertain(second, '%RH');
  if (!humidity.ok) return refuse(humidity.message, expected);
  const wrong =
    outside(first, temperature.value.value, 'C', rangeOf('temperature')) ??
    outside(second, humidity.value.value, '%RH', rangeOf('humidity'));
  return wrong ?? read({ temperature: temperature.value, humidity: humidity.value });
}
export const air = textBy(parseAir, 'a temperature and a humidity, such as "22 C, 50 %RH"');
