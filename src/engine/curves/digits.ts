/** Significant digits of a report (ISO 527-1, from memory): stress and modulus three, strain and Poisson's ratio two. */
export const DIGITS = { stress: 3, modulus: 3, strain: 2, poisson: 2, deviation: 2 } as const;

/**
 * Rounds to significant digits, half to even, on the shortest decimal form that gives the number back [curves-18]: so
 * 1.25 is a tie although its neighbours in binary would not say so of 0.0135. For print alone, never inside a sum.
 */
export function toDigits(value: number, digits: number): number {
  if (value === 0 || !Number.isFinite(value)) return value;
  const [mantissa = '', power = '0'] = Math.abs(value).toExponential().split('e');
  const all = mantissa.replace('.', '');
  if (all.length <= digits) return value;
  const rest = all.slice(digits);
  const kept = all.slice(0, digits);
  const tie = /^50*$/.test(rest);
  const up = tie ? Number(kept.at(-1)) % 2 === 1 : rest >= '5';
  const rounded = BigInt(kept) + (up ? 1n : 0n);
  return Number(`${value < 0 ? '-' : ''}${rounded}e${Number(power) - digits + 1}`);
}
