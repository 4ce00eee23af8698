import { lighterAt } from '../engine/links/dry-weights.ts';
import type { Assessment } from '../engine/links/link.ts';
import { type PlacedWeighing, placedWeighings } from '../engine/links/weighings.ts';
import type { Job } from '../job.ts';
import { showQuantity } from '../units.ts';
import { ninths } from './depth-curves.ts';

/** What to weigh, what the scale should show between the prints, and what its readings have said. */
export function scaleWords(job: Job, found: Assessment, weights: Float64Array): string[] {
  const sentences: string[] = [];
  const reference = referenceOf(job);
  if (reference === null)
    sentences.push(
      'Right after its best drying weigh the spool once more: against that dry weight of this very spool, less what was printed, every later weighing tells the water it has gained.',
    );
  const placed = placedWeighings(job);
  if (placed.length === 0) {
    sentences.push(...foretold(job, found, weights));
    sentences.push(
      'Weigh it in the evening and in the morning: what it gains in the box is what the box lets in. 1 g on 1 kg is 0.1 wt %. Book each weighing with the plate that had come off.',
    );
  }
  sentences.push(...read(job, found, weights, placed, reference));
  return sentences;
}

/** A reading this near to the end of the drying is its dry weight [s]. */
const NEAR_END = 3600;

/** Dry reference weight [kg]: the last reading of the drying, where it was made at its end. */
function referenceOf({ drying }: Job): number | null {
  const last = drying.weighings.at(-1);
  return last && last.at >= drying.time - NEAR_END ? last.mass : null;
}

/** Starts behind the first for which it is told what the scale should show. */
const STARTS_TOLD = 3;

/** "Before plate B the scale should show 104 g (98 to 110) less than right after the drying." */
function foretold(job: Job, found: Assessment, weights: Float64Array): string[] {
  const parts = job.prints.slice(1, 1 + STARTS_TOLD).map(({ plate, start }) => {
    const lighter = weights.map((_, i) => lighterAt(found, i, start));
    const { median, range } = ninths(lighter, weights, 'g');
    return `before plate ${plate} ${median} less (${range})`;
  });
  if (parts.length === 0) return [];
  return [`Against the weight right after the drying the scale should show ${parts.join('; ')}.`];
}

function read(
  job: Job,
  found: Assessment,
  weights: Float64Array,
  placed: readonly PlacedWeighing[],
  reference: number | null,
): string[] {
  const sentences: string[] = [];
  let before: PlacedWeighing | null =
    reference === null
      ? null
      : { mass: reference, done: 0, at: placed.some(({ at }) => at !== null) ? 0 : null };
  for (const reading of placed) {
    if (before && reading.done > before.done) sentences.push(strandWords(job, before, reading));
    else if (before) sentences.push(...waterWords(found, weights, before, reading));
    before = reading;
  }
  return sentences;
}

/** What the prints between two readings took, beside what their files lay. */
function strandWords(job: Job, before: PlacedWeighing, after: PlacedWeighing): string {
  const between = job.prints.slice(before.done, after.done);
  const laid = between.reduce((sum, { mass }) => sum + mass, 0);
  const plates = between.map(({ plate }) => plate).join(', ');
  const took = before.mass - after.mass;
  const by = `by ${between.length === 1 ? 'its file' : 'their files'} ${showQuantity(laid, 'g', 3)}`;
  if (took <= 0)
    return `The scale shows no less after plate ${plates}, and ${by} went: a weighing is off, and the files are believed.`;
  return `By the scale plate ${plates} took ${showQuantity(took, 'g', 3)}, ${by}: the scale is believed, purges and cuts are in it.`;
}

/** How the spool's weight changed between two readings with no print between them, beside what was foretold. */
function waterWords(
  found: Assessment,
  weights: Float64Array,
  before: PlacedWeighing,
  after: PlacedWeighing,
): string[] {
  const { at: from } = before;
  const { at: to } = after;
  if (from === null || to === null || to <= from) return [];
  // Foretold before anything was weighed: the readings have not moved it.
  const even = new Float64Array(weights.length).fill(1);
  const gain = even.map((_, i) => lighterAt(found, i, from) - lighterAt(found, i, to));
  const seen = after.mass - before.mass;
  return [
    `Weighed twice with no print between, the spool has changed by ${seen > 0 ? '+' : ''}${showQuantity(seen, 'g', 2)}; foretold was ${ninths(gain, even, 'g').whole}. What it gains is water, 1 g on 1 kg is 0.1 wt %.`,
  ];
}
