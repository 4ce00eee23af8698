import { type Said, saidBy } from './against.ts';
import type { GcodePrint } from './print.ts';
import { factorFromDuration, type TimeSurface, timeSurface } from './retime.ts';

/** A print without the columns of its segments, which are large: what everything outside a worker needs of it. */
export type PrintSummary = Omit<GcodePrint, 'segments' | 'arcs' | 'program'> &
  Readonly<{
    /** What the file says on each line of a comparison. */
    said: Said;
    /** Total time over accelerations and corner rounding, for its spread. */
    times: TimeSurface;
    /** Factor on the card's accelerations that gives a real duration; null where none was typed in. */
    factor: number | null;
  }>;

/**
 * @param tookS a real duration of this print, from start to end [s]
 * @throws Refusal where no accelerations give it
 */
export function summaryOf(print: GcodePrint, tookS?: number): PrintSummary {
  const { segments, arcs, program, ...rest } = print;
  return {
    ...rest,
    said: saidBy(print),
    times: timeSurface(print),
    factor: tookS === undefined ? null : factorFromDuration(print, tookS),
  };
}
