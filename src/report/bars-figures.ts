import type { MeasureFigures } from '../engine/results/group-figures.ts';
import { roundDigits } from '../engine/statistics/digits.ts';
import { fromSi, placesFor, showNumber, showUnit } from '../units.ts';

/** Figures of bars as a test report prints them. Stresses and moduli have 3 digits, strains 2 (ISO 527-1, from memory). */

export const DASH = '–';
export const STRESS_DIGITS = 3;
export const STRAIN_DIGITS = 2;

/** An SI value to so many significant digits, zeros at the end kept, half to even: "98.0 MPa". */
export function digitsOf(value: number, unit: string, digits: number): string {
  return `${bareDigits(value, unit, digits)}${showUnit(unit)}`;
}

/** The same without its unit. */
export function bareDigits(value: number, unit: string, digits: number): string {
  const rounded = roundDigits(fromSi(value, unit), digits);
  if (rounded === 0) return '0';
  const places = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(rounded)) + 1e-12));
  return showNumber(rounded, places);
}

/**
 * "97.8 ± 2.7" in a unit that the head of the table names; the mean alone where there is no interval. An interval finer
 * than one digit more than the measure has is told as being below that place.
 */
export function plusMinus(figures: MeasureFigures | null, unit: string, digits: number): string {
  if (figures === null) return DASH;
  const { mean, lo, hi } = figures;
  if (lo === null || hi === null || hi <= lo) return bareDigits(mean, unit, digits);
  const half = fromSi((hi - lo) / 2, unit);
  const value = fromSi(mean, unit);
  const most = digits - Math.floor(Math.log10(Math.abs(value)) + 1e-12);
  const places = Math.min(placesFor(half), most);
  const step = 10 ** -places;
  const spread = half < step / 2 ? `<${showNumber(step, places)}` : showNumber(half, places);
  return `${showNumber(value, places)} ± ${spread}`.replaceAll(' ± ', '\u00a0±\u00a0');
}

/** A spread to two digits, without its unit. */
export function spreadOf(s: number | null, unit: string): string {
  return s === null ? DASH : bareDigits(s, unit, 2);
}

/** "38 % (31 to 48)": a ratio with its interval, per cent of the stronger; as many digits as the interval has. */
export function ratioWords(ratio: number, lo: number | null, hi: number | null): string {
  const [value, low, high] = [ratio, lo, hi].map((part) => (part === null ? null : 100 * part));
  const places = low != null && high != null ? Math.max(0, Math.min(1, placesFor((high - low) / 2) - 1)) : 0;
  const middle = `${showNumber(value!, places)}\u00a0%`;
  return low == null || high == null
    ? middle
    : `${middle} (${showNumber(low, places)} to ${showNumber(high, places)})`;
}

/** A p value: none below 0.0001 is told apart. */
export function pWords(p: number): string {
  return p < 1e-4 ? 'p < 0.0001' : `p = ${bareDigits(p, '', 2)}`;
}
