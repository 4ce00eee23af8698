import { fitLine } from './fit.ts';
import { EDGE } from './toe.ts';

/** Strains between which the modulus is taken (ISO 527-1, from memory). */
export const STRAIN_LOW = 0.0005;
export const STRAIN_HIGH = 0.0025;

export type Modulus = Readonly<{
  /** (s2 - s1)/(e2 - e1) [Pa], or null where the strain does not reach e2. */
  chord: number | null;
  /** Slope of the regression [Pa], its standard error and the share of the variance it explains. */
  regression: number | null;
  error: number | null;
  r2: number | null;
  /** Readings in the window. */
  count: number;
}>;

/**
 * Modulus between 0.05 and 0.25 % strain [curves-8]: the chord by linear interpolation at the first crossings, and the
 * regression over all readings inside up to the first passage of 0.25 %. The regression averages the noise of all
 * readings, the chord has that of two.
 *
 * @param strain with its zero at `shift` [-]; NaN is passed over
 * @param last   index of the last reading that counts
 */
export function modulusOf(stress: Float64Array, strain: Float64Array, last: number, shift: number): Modulus {
  const low = STRAIN_LOW + shift;
  const high = STRAIN_HIGH + shift;
  const indices = new Int32Array(last + 1);
  let count = 0;
  let passed = false;
  let before = -1;
  let stressLow: number | null = null;
  let stressHigh: number | null = null;
  for (let i = 0; i <= last; i++) {
    const value = strain[i]!;
    if (Number.isNaN(value)) continue;
    if (stressLow === null && value >= low - EDGE) stressLow = at(stress, strain, before, i, low);
    if (stressHigh === null && value >= high - EDGE) stressHigh = at(stress, strain, before, i, high);
    before = i;
    if (value > high + EDGE) {
      passed = true;
      break;
    }
    if (value >= low - EDGE) indices[count++] = i;
  }
  const reached = passed || stressHigh !== null;
  const line = reached ? fitLine(strain, stress, indices, count) : null;
  return {
    chord:
      stressLow === null || stressHigh === null
        ? null
        : (stressHigh - stressLow) / (STRAIN_HIGH - STRAIN_LOW),
    regression: line?.slope ?? null,
    error: line?.slopeError ?? null,
    r2: line?.r2 ?? null,
    count,
  };
}

/** Stress at a strain between two readings, by a straight line. */
function at(
  stress: Float64Array,
  strain: Float64Array,
  before: number,
  after: number,
  wanted: number,
): number {
  if (before < 0) return stress[after]!;
  const step = strain[after]! - strain[before]!;
  if (step === 0) return stress[after]!;
  return stress[before]! + ((stress[after]! - stress[before]!) * (wanted - strain[before]!)) / step;
}

/** Slope of the chord of a parabola e = p0 + p1 s + p2 s^2 between the two strains, counted from p0 [Pa]; null where it bends back. */
export function parabolaChord(p1: number, p2: number): number | null {
  const stressAt = (strain: number) => {
    const root = p1 * p1 + 4 * p2 * strain;
    return root < 0 ? Number.NaN : (2 * strain) / (p1 + Math.sqrt(root));
  };
  const slope = (stressAt(STRAIN_HIGH) - stressAt(STRAIN_LOW)) / (STRAIN_HIGH - STRAIN_LOW);
  return Number.isFinite(slope) && slope > 0 ? slope : null;
}
