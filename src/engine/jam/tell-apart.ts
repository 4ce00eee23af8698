import type { CauseTable, Saw } from './why.ts';

/** What a look is worth: chance won of naming the right family, and minutes saved by it less minutes it takes. */
export type Look = Readonly<{ sign: string; gain: number; minutes: number; worth: number }>;

/**
 * Looks that were not done yet, best first.     [jam-13]
 *
 *   gain = sum over yes and no of max_family P(family, answer) - max_family P(family);  worth = gain x wrong minutes - minutes
 *
 * Plain probabilities here, without the trust that the ranking of causes puts on signs. Ties go by gain, then by the
 * order of the table. A look is worth doing where its worth is above 0.
 *
 * @param shares chance of each cause now, in the order of causes; any positive sum
 */
export function looks(table: CauseTable, shares: ArrayLike<number>, saw: Saw): Look[] {
  const families = [...new Set(table.causes.map((cause) => cause.family))];
  const of = table.causes.map((cause) => families.indexOf(cause.family));
  let total = 0;
  for (let l = 0; l < of.length; l++) total += shares[l]!;
  const best = (share: (cause: number) => number) => {
    const sums = new Float64Array(families.length);
    for (let l = 0; l < of.length; l++) sums[of[l]!]! += total > 0 ? share(l) / total : 0;
    return sums.reduce((a, b) => Math.max(a, b), 0);
  };
  const now = best((l) => shares[l]!);
  return table.signs
    .filter((sign) => saw[sign.id] === undefined)
    .map((sign) => {
      const yes = best((l) => shares[l]! * sign.chance[l]!);
      const no = best((l) => shares[l]! * (1 - sign.chance[l]!));
      // Below 0 by rounding alone: knowing an answer cannot make the guess worse.
      const gain = Math.max(0, yes + no - now);
      return { sign: sign.id, gain, minutes: sign.minutes, worth: gain * table.wrongMinutes - sign.minutes };
    })
    .sort((a, b) => b.worth - a.worth || b.gain - a.gain);
}
