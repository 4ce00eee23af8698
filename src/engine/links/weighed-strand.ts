import type { Job } from '../../job.ts';
import { lostAt } from './dry-weights.ts';
import type { Assessment } from './link.ts';
import { placedWeighings } from './weighings.ts';

/**
 * Strand that each print took by the scale [kg], in draw i; null for prints that do not lie between two readings. What
 * several prints took together is shared out as their files lay it. Purges and what was cut off are in it.
 *
 *   m_p = (M_before - M_after - water still lost in the drying) m_file,p/sum m_file   [feed-13]
 */
export function weighedStrand(job: Job, dry: Assessment, i: number): readonly (number | null)[] {
  const strand: (number | null)[] = job.prints.map(() => null);
  const dried = job.drying.weighings.at(-1);
  const readings = [
    ...(dried ? [{ mass: dried.mass - stillLost(job, dry, i, dried.at), done: 0 }] : []),
    ...placedWeighings(job),
  ];
  for (const [k, reading] of readings.entries()) {
    const before = readings[k - 1];
    if (!before || reading.done === before.done) continue;
    const took = before.mass - reading.mass;
    const between = job.prints.slice(before.done, reading.done);
    const laid = between.reduce((sum, { mass }) => sum + mass, 0);
    // A spool that is no lighter after a print was weighed wrongly: what the file says stays.
    if (took > 0 && laid > 0)
      for (const [p, { mass }] of between.entries()) strand[before.done + p] = (took * mass) / laid;
  }
  return strand;
}

/** Water that the drying still takes after a reading, until its end [kg]. */
function stillLost({ drying }: Job, dry: Assessment, i: number, from: number): number {
  return Math.max(0, lostAt(dry, i, drying.time) - lostAt(dry, i, from));
}
