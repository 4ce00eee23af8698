import type { Job, Print } from '../../job.ts';

/**
 * Readings of the scale after the drying, placed on the course of the campaign. Between two readings with no print
 * between them a spool gains or loses water alone; where prints lie between, the scale tells what they took.
 */

/** `done`: prints that had come off. `at`: moment of the course [s]; null where no clock is known. */
export type PlacedWeighing = Readonly<{ mass: number; done: number; at: number | null }>;

/**
 * Readings in the order of the prints. The plate that is named wins over the clock, since plans slip; a reading that
 * falls into a print of the plan was made before or after it, whichever is nearer.
 */
export function placedWeighings({
  prints,
  weighings,
}: Pick<Job, 'prints' | 'weighings'>): readonly PlacedWeighing[] {
  return weighings
    .map(({ at, mass, plate }): PlacedWeighing => {
      const named = plate === null ? -1 : prints.findIndex((print) => print.plate === plate);
      const done = named >= 0 ? named + 1 : prints.filter((print) => isOver(print, at ?? 0)).length;
      const earliest = done > 0 ? endOf(prints[done - 1]!) : 0;
      const latest = prints[done]?.start ?? earliest;
      return { mass, done, at: at === null ? null : Math.min(Math.max(at, earliest), latest) };
    })
    .sort((a, b) => a.done - b.done || (a.at ?? 0) - (b.at ?? 0));
}

function endOf({ start, time }: Print): number {
  return start + time;
}

function isOver({ start, time }: Print, at: number): boolean {
  return at >= start + time / 2;
}

/** Prints that had come off at the last reading. */
export function printsDone(job: Pick<Job, 'prints' | 'weighings'>): number {
  return placedWeighings(job).at(-1)?.done ?? 0;
}
