/**
 * Who is there when: hours of people on one clock that runs on from midnight of a Monday, without a calendar. Shifts of
 * the clock in spring and autumn are left out; they move a start by an hour at most.
 */
export type Hours = Readonly<{
  /** Days of the week 1 (Monday) to 7; seconds since midnight, `to` after `from`. */
  there: readonly Readonly<{ days: readonly number[]; from: number; to: number }>[];
  /** Days off, counted from that Monday: 0 is the Monday itself. */
  away: readonly number[];
}>;

const DAY = 86_400;
/** Nobody for so many days on end is nobody at all. */
const DAYS_MOST = 400;

/**
 * First moment from `time` on at which somebody is there [hours-1].
 *
 * @param time since midnight of that Monday [s], >= 0
 * @returns null where nobody is there within 400 days
 * @throws RangeError for a time before that Monday: the caller's fault
 */
export function nextAttended(hours: Hours, time: number): number | null {
  if (!(time >= 0)) throw new RangeError(`a time of ${time} s lies before the clock began`);
  const first = Math.floor(time / DAY);
  for (let day = first; day < first + DAYS_MOST; day++) {
    if (hours.away.includes(day)) continue;
    let least: number | null = null;
    for (const { days, from, to } of hours.there) {
      if (!days.includes((day % 7) + 1)) continue;
      const moment = Math.max(time, day * DAY + from);
      if (moment < day * DAY + to && (least === null || moment < least)) least = moment;
    }
    if (least !== null) return least;
  }
  return null;
}
