/**
 * Rounds to significant digits, half to even on the shortest decimal form of the number, so that 45.25 gives 45.2 and
 * 0.0125 gives 0.012 as on paper: a double holds neither exactly.                                         [digits-1]
 * Source: ISO 80000-1 annex B, rule A (from memory: compare with your copy of the standard).
 */
export function roundDigits(value: number, digits: number): number {
  if (!Number.isFinite(value)) throw new RangeError(`rounding of ${value}`);
  if (!(Number.isInteger(digits) && digits >= 1)) throw new RangeError(`rounding to ${digits} digits`);
  if (value === 0) return 0;
  const [mantissa, power] = Math.abs(value).toExponential().split('e') as [string, string];
  const all = mantissa.replace('.', '');
  if (all.length <= digits) return value;
  const kept = all.slice(0, digits);
  const rest = all.slice(digits);
  const half = `5${'0'.repeat(rest.length - 1)}`;
  const odd = Number(kept.at(-1)) % 2 === 1;
  const up = rest > half || (rest === half && odd);
  const whole = BigInt(kept) + (up ? 1n : 0n);
  return Math.sign(value) * Number(`${whole}e${Number(power) - digits + 1}`);
}
