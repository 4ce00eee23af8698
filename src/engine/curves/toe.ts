import type { Fall } from './falls.ts';
import { fitLine, fitParabola, type Parabola } from './fit.ts';

/** Where the strain of a bar begins: slack and the pull that straightens a curled bar are no strain. */

/** Shares of the greatest stress between which the first rise is fitted. */
export const RISE_LOW = 0.1;
export const RISE_HIGH = 0.4;
/** A zero is moved when it is this far off, and this many standard errors. */
const SHIFT_LEAST = 1e-4;
const ERRORS_LEAST = 4;
/** The start must be softer than what follows by this much: a toe is, a curve that merely bends over is stiffer. */
const SOFTER = 1.02;

export type Readings = Readonly<{ indices: Int32Array; count: number }>;

/** Readings of the first rise between two shares of the greatest stress, without those inside slips and without gaps. */
export function firstRise(
  stress: Float64Array,
  strain: Float64Array,
  last: number,
  most: number,
  low: number,
  high: number,
  slips: readonly Fall[] = [],
): Readings {
  const indices = new Int32Array(last + 1);
  let count = 0;
  let slip = 0;
  for (let i = 0; i <= last; i++) {
    const fall = slips[slip];
    if (fall !== undefined && i > fall.peak) {
      i = fall.regain ?? last + 1;
      slip++;
      if (i > last) break;
    }
    const value = stress[i]!;
    if (value > high * most) break;
    if (value >= low * most && !Number.isNaN(strain[i]!)) indices[count++] = i;
  }
  return { indices, count };
}

export type Toe = Readonly<{
  /** Zero of the strain as read [-], or of the travel [m]. */
  shift: number;
  error: number | null;
  applied: boolean;
  fit: Parabola | null;
}>;

const NONE: Toe = { shift: 0, error: null, applied: false, fit: null };

/**
 * Zero by a parabola of strain on stress, p0 + p1 s + p2 s^2, over 10 to 40 % of the greatest stress in the first rise:
 * p0 is the zero. It counts when it is above 0.01 %, above four standard errors, and when the start is softer than what
 * follows [curves-6]. A straight line through the steepest piece would give a modulus 9 % too small on a curve that
 * bends over.
 *
 * @param scale what one unit of the channel is in strain: 1 for a strain, 1/L for a travel
 */
export function toeOf(stress: Float64Array, strain: Float64Array, rise: Readings, scale: number = 1): Toe {
  const fit = fitParabola(stress, strain, rise.indices, rise.count);
  if (fit === null) return NONE;
  const applied =
    fit.p0 * scale > SHIFT_LEAST && fit.p0 > ERRORS_LEAST * fit.p0Error && softStart(stress, strain, rise);
  return { shift: applied ? fit.p0 : 0, error: fit.p0Error, applied, fit };
}

/** Strain per stress up to the first reading of the rise against that over the first third of the rise. */
function softStart(stress: Float64Array, strain: Float64Array, { indices, count }: Readings): boolean {
  const start = indices[0]!;
  const third = indices[Math.ceil(count / 3)] ?? indices[count - 1]!;
  let first = 0;
  while (first < start && Number.isNaN(strain[first]!)) first++;
  if (first === start) return false;
  const early = (strain[start]! - strain[first]!) / (stress[start]! - stress[first]!);
  const later = (strain[third]! - strain[start]!) / (stress[third]! - stress[start]!);
  return early > SOFTER * later;
}

/** How near an end of a range counts as inside: rounding of files and of their units. */
export const EDGE = 1e-12;

/** Zero by a straight line of stress on strain as read over a range of strain: where it crosses zero [curves-7]. */
export function toeOfRange(
  stress: Float64Array,
  strain: Float64Array,
  last: number,
  range: readonly [number, number],
): Toe {
  const indices = new Int32Array(last + 1);
  let count = 0;
  for (let i = 0; i <= last; i++) {
    if (strain[i]! > range[1] + EDGE) break;
    if (strain[i]! >= range[0] - EDGE) indices[count++] = i;
  }
  const line = fitLine(strain, stress, indices, count);
  if (line === null || line.slope <= 0) return NONE;
  return { shift: -line.intercept / line.slope, error: null, applied: true, fit: null };
}
