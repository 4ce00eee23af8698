import { makeJob } from '../campaign/job.ts';
import { readCampaign } from '../campaign/read.ts';
import type { Job } from '../job.ts';
import { cardsFor } from './library.ts';

/** A job in which nothing is said: what a file is read with before there is a campaign. */
export function usualJob(): Job {
  const cards = cardsFor(null);
  const { campaign } = readCampaign('format: 1\ncampaign: none yet\n', { file: '', cards });
  return makeJob(campaign!, cards);
}

/** Plates of dropped files are A, B, C ... in their order; after Z come 27, 28. */
export function plateName(index: number): string {
  return index < 26 ? String.fromCharCode(65 + index) : String(index + 1);
}
