/**
 * Which bars count. A bar is left out for a physical reason of this list alone, by a person, with a note; an odd value
 * is none. The program leaves out nothing.
 */

export type Reason = Readonly<{ code: string; words: string; beforeTest: boolean }>;

export const REASONS: readonly Reason[] = [
  { code: 'broke at grip', words: 'broke at or within 10 mm of a grip', beforeTest: false },
  { code: 'slipped', words: 'slipped in the grips before the greatest force', beforeTest: false },
  { code: 'print defect', words: 'a visible print defect, seen before the test', beforeTest: true },
  { code: 'wrong size', words: 'not of the size of its type', beforeTest: true },
  { code: 'wrong conditioning', words: 'conditioned otherwise than the series', beforeTest: true },
  { code: 'machine fault', words: 'the machine or its extensometer failed', beforeTest: false },
  { code: 'aborted', words: 'the test was stopped before the break', beforeTest: false },
];

/** Distance of a break from a grip up to which the bar does not count [m] (ISO 527-1, from memory). */
export const GRIP_ZONE = 0.01;

export type BreakPlace = 'gauge length' | 'parallel part' | 'fillet' | 'at the grip';

/**
 * Where a bar broke, and whether that place lets it count: breaks outside the gauge length but inside the parallel part
 * count for strength; within 10 mm of a grip none does.
 *
 * @param distance from mid-length [m], >= 0
 */
export function breakPlace(
  distance: number,
  bar: Readonly<{ gaugeLength: number; lengthNarrow: number; gripDistance: number }>,
): { place: BreakPlace; counts: boolean } {
  if (!(distance >= 0)) throw new RangeError(`distance from mid-length must not be negative: ${distance}`);
  if (distance >= bar.gripDistance / 2 - GRIP_ZONE) return { place: 'at the grip', counts: false };
  if (distance <= bar.gaugeLength / 2) return { place: 'gauge length', counts: true };
  return { place: distance <= bar.lengthNarrow / 2 ? 'parallel part' : 'fillet', counts: true };
}
