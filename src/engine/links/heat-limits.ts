import type { Job } from '../../job.ts';
import { type HeatCap, heatCap } from '../moisture/advice.ts';

/** A limit that somebody gave [K]; null where it is assumed, or where there is none. */
export function limitSaid(job: Job, key: string): number | null {
  const entry = job.entries[key];
  return typeof entry?.value === 'number' && entry.from !== 'assumed' ? entry.value : null;
}

/** Highest temperature at which this spool may stand, and what rules; a limit nobody knows counts as 70 C. */
export function capOf(job: Job, device: number | null): HeatCap {
  // The maker's word in the campaign is for strand and spool alike.
  const limit = limitSaid(job, 'spool.limit of heat');
  return heatCap({ strand: limit, spool: limit === null ? null : { limit }, device });
}
