import type { LinkName } from '../engine/links/link.ts';

/** What each link asks, as every screen and terminal says it. */
export const QUESTIONS: Readonly<Record<LinkName, string>> = {
  Dry: 'Is the spool dry enough at the start, everywhere in the winding?',
  'Stay dry': 'Does it stay so until the last layer, in its box and its tube?',
  Feed: 'Does the strand reach the extruder without snapping, and is there enough of it?',
  'Hot end': 'Does it run the whole print without jamming?',
  Layers: 'Is each layer laid on one warm enough to weld, cool enough to stand, alike between groups?',
  Hold: 'Does the sheet stay on its magnets and the bar on the sheet?',
  Hands: 'Is somebody there at every moment that needs hands?',
  Shape: 'Are the released bars straight enough to test?',
};

/** "Dry", "Dry and Feed", "Dry, Feed and Hold". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** Width of the necked bar at a link: full × clamp((b + 1)/4, 1/12, 1), b the normal quantile held in -1..3. */
export function neckWidth(quantile: number): number {
  const b = Math.min(Math.max(quantile, -1), 3);
  return Math.min(Math.max((b + 1) / 4, 1 / 12), 1);
}
