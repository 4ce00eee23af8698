import { makeJob } from '../campaign/job.ts';
import { readCampaign } from '../campaign/read.ts';
import type { GcodeCard } from '../engine/gcode/card.ts';
import { gcodeCardOf } from './gcode-card.ts';
import { cardsFor } from './library.ts';

/** The card that a file is read with before there is a campaign: the shipped one. */
export function usualCard(): GcodeCard {
  const cards = cardsFor(null);
  const { campaign } = readCampaign('format: 1\ncampaign: none yet\n', { file: '', cards });
  return gcodeCardOf(makeJob(campaign!, cards));
}

/** Plates of dropped files are A, B, C ... in their order; after Z come 27, 28. */
export function plateName(index: number): string {
  return index < 26 ? String.fromCharCode(65 + index) : String(index + 1);
}
