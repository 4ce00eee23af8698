/** Where the record of a bar ends, and where its extensometer was taken off. */

/** A step down by more than this share of the greatest stress belongs to the break. */
const BREAK_STEP = 0.02;

export type Break = Readonly<{
  /** Index of the greatest stress. */
  peak: number;
  /** Index of the last reading before the bar broke, or of the last one. */
  index: number;
  /** Whether the stress collapses; else the record ends before the break. */
  seen: boolean;
}>;

/**
 * The break: from the first reading behind the greatest stress that lies below half of it, back while one step falls
 * by more than 2 % of the greatest stress [curves-4].
 */
export function breakOf(stress: Float64Array): Break {
  const { length } = stress;
  let peak = 0;
  for (let i = 1; i < length; i++) if (stress[i]! > stress[peak]!) peak = i;
  const most = stress[peak]!;
  let below = peak + 1;
  while (below < length && stress[below]! >= 0.5 * most) below++;
  if (below >= length) return { peak, index: length - 1, seen: false };
  while (below > peak && stress[below - 1]! - stress[below]! > BREAK_STEP * most) below--;
  return { peak, index: below, seen: true };
}

/** A step back of the extension by more than this many usual steps is a hand at the extensometer. */
const STEPS_BACK = 20;
/** ... unless the bar itself springs back by as much: its stress falls, and the strain by up to this times drop/E. */
const SPRING_BACK = 3;
/** Equal readings from which on the extensometer may have been off. */
const EQUAL_READINGS = 5;
/** ... if meanwhile it should have moved by this many times its resolution. */
const RESOLUTIONS = 5;
/** Missing readings that are a gap; as many or more are the end. */
const GAP_READINGS = 5;
/** Readings whose ratio of strain to travel tells what comes next, and the fewest that can. */
const RATIO_READINGS = 40;
const RATIO_LEAST = 8;

/**
 * Index of the first reading that the extensometer no longer measured, or null: the first of the missing readings; or
 * a step back of more than 20 usual steps that the bar does not make itself; or 5 equal readings while the grips move
 * on [curves-5].
 *
 * Equal readings prove nothing where readings follow faster than the channel resolves: the grips must have moved by as
 * much as would have changed it five times over. Without a channel of travel the mean step so far stands for them.
 *
 * @param strain     as read [-]
 * @param stress     [Pa]
 * @param travel     of the grips [m], or null
 * @param last       index of the last reading of the bar
 * @param compliance strain per stress of the bar, 1/E [1/Pa]
 * @param noise      of the strain, deviation and resolution [-]
 */
export function extensometerEnd(
  strain: Float64Array,
  stress: Float64Array,
  travel: Float64Array | null,
  last: number,
  compliance: number,
  noise: Readonly<{ deviation: number; resolution: number }>,
  usualStep: number,
): number | null {
  const stepMost = STEPS_BACK * Math.max(usualStep, noise.resolution);
  const movedLeast = Math.max(RESOLUTIONS * noise.resolution, 2 * RESOLUTIONS * noise.deviation);
  let equalFrom = 0;
  for (let i = 0; i <= last; i++) {
    const value = strain[i]!;
    if (Number.isNaN(value)) {
      let back = i;
      while (back <= last && Number.isNaN(strain[back]!)) back++;
      if (back > last || back - i >= GAP_READINGS) return i;
      i = back - 1;
      equalFrom = back;
      continue;
    }
    if (i === 0) continue;
    const fall = strain[i - 1]! - value;
    const own = SPRING_BACK * compliance * Math.max(0, stress[i - 1]! - stress[i]!);
    if (fall > stepMost && fall > own && fall > 2 * RESOLUTIONS * noise.deviation) return i;
    if (value !== strain[equalFrom]!) equalFrom = i;
    else if (i - equalFrom + 1 >= EQUAL_READINGS && equalFrom >= RATIO_LEAST) {
      const moved = expected(strain, travel, equalFrom, i);
      if (moved > movedLeast && stress[i]! >= stress[equalFrom]!) return equalFrom + 1;
    }
  }
  return null;
}

/** Strain that the readings from `from` to `to` should have gained by the pace of the readings before. */
function expected(strain: Float64Array, travel: Float64Array | null, from: number, to: number): number {
  const start = Math.max(0, from - RATIO_READINGS);
  const gained = strain[from]! - strain[start]!;
  if (travel === null) return (gained / (from - start)) * (to - from);
  const moved = travel[from]! - travel[start]!;
  return moved > 0 ? (gained / moved) * (travel[to]! - travel[from]!) : 0;
}

/** Strain gained per travel over the 40 readings before `end` [1/m]; null where the grips did not move. */
export function paceBefore(strain: Float64Array, travel: Float64Array, end: number): number | null {
  const last = end - 1;
  const first = Math.max(0, last - RATIO_READINGS);
  const moved = travel[last]! - travel[first]!;
  const pace = (strain[last]! - strain[first]!) / moved;
  return moved > 0 && Number.isFinite(pace) ? pace : null;
}
