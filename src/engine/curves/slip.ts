import type { Fall } from './falls.ts';

/** Travel that the grips lost by slipping. */

export type Slips = Readonly<{
  /** Travel without what was lost [m]. */
  kept: Float64Array;
  /** Lost in each slip, and in all [m]. */
  lost: readonly number[];
  sum: number;
}>;

/**
 * Takes out of the travel what it gained between the peak of each slip and the reading at which the stress of the peak
 * is reached again (between two readings by a straight line): there the bar is as long as it was [curves-11]. A slip
 * that is never regained loses what its travel gained beyond the elastic share of the stress.
 *
 * @param softness travel per stress in the first rise [m/Pa]
 */
export function withoutSlips(
  travel: Float64Array,
  stress: Float64Array,
  last: number,
  slips: readonly Fall[],
  softness: number,
): Slips {
  const kept = travel.slice();
  const lost: number[] = [];
  let sum = 0;
  for (const { peak, regain } of slips) {
    const level = travel[peak]!;
    const end = regain ?? last;
    let gained: number;
    if (regain === null) gained = travel[last]! - level - (stress[last]! - stress[peak]!) * softness;
    else {
      const step = stress[regain]! - stress[regain - 1]!;
      const share = step > 0 ? (stress[peak]! - stress[regain - 1]!) / step : 1;
      gained = travel[regain - 1]! + share * (travel[regain]! - travel[regain - 1]!) - level;
    }
    // Blank travel behind the last reading tells nothing of a slip there.
    gained = Number.isNaN(gained) ? 0 : Math.max(0, gained);
    for (let i = peak + 1; i < end; i++) kept[i] = level - sum;
    sum += gained;
    lost.push(gained);
    for (let i = end; i < kept.length; i++) kept[i] = travel[i]! - sum;
  }
  return { kept, lost, sum };
}
