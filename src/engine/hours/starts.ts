import { type Hours, nextAttended } from './attended.ts';

/** From the end of one print, or of the drying, until the next can start where somebody is there [s] (choice). */
export const CHANGE_OVER = 1800;
/** Between two prints where nobody said when people are there [s]: one print a day or a night (choice). */
export const ASSUMED_PAUSE = 12 * 3600;

/**
 * When prints start, one after another [hours-2]: each at the first attended moment after the one before has ended and
 * half an hour; without known hours 12 h after it. The first one so after `ready`.
 *
 * @param times of the prints [s], in their order
 * @param ready moment from which the first may be prepared, on the clock of `hours` [s]
 * @param hours null where nobody said, or where nobody is ever there
 * @returns starts [s] since `ready`
 * @throws RangeError for a time that is negative or no number: the caller's fault
 */
export function startsOf(times: readonly number[], ready: number, hours: Hours | null): number[] {
  const starts: number[] = [];
  let free = ready;
  for (const [k, time] of times.entries()) {
    if (!(time >= 0)) throw new RangeError(`a print of ${time} s`);
    const usual = free + (k === 0 ? CHANGE_OVER : ASSUMED_PAUSE);
    const start = hours === null ? usual : (nextAttended(hours, free + CHANGE_OVER) ?? usual);
    starts.push(start - ready);
    free = start + time;
  }
  return starts;
}
