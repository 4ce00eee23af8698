import { PRINT, type Segments } from './segments.ts';

export type Flow = Readonly<{ meanMm3S: number; p95Mm3S: number; maxMm3S: number }>;

/** A flow is counted by the upper bits of its Float32 first: classes 0.1 % wide. Then by the lower bits of one class. */
const LOWER_BITS = 13;
const LOWER = (1 << LOWER_BITS) - 1;
const TIME_SHARE = 0.95;

/**
 * Volume flow of the print segments, weighted by their time. `p95` is the smallest flow at or under which 95 % of the
 * printing time lies, to the last digit of a Float32: the class of flow is found first, then the flow inside it, so
 * that nothing is sorted and the memory does not depend on the file.
 *
 * @param area section of the strand [mm2]
 */
export function flowOf(segments: Segments, area: number): Flow {
  const { kind, laid, dt, count } = segments;
  const upper = new Float64Array(1 << (31 - LOWER_BITS));
  const asFloat = new Float32Array(1);
  const asBits = new Uint32Array(asFloat.buffer);
  let strand = 0;
  let time = 0;
  let most = 0;
  for (let i = 0; i < count; i++) {
    if (kind[i] !== PRINT) continue;
    const mm = laid[i]!;
    const seconds = dt[i]!;
    const speed = mm / seconds;
    strand += mm;
    time += seconds;
    if (speed > most) most = speed;
    asFloat[0] = speed;
    const k = asBits[0]! >>> LOWER_BITS;
    upper[k] = upper[k]! + seconds;
  }
  if (time === 0) return { meanMm3S: 0, p95Mm3S: 0, maxMm3S: 0 };

  const wanted = TIME_SHARE * time;
  const chosen = reached(upper, 0, wanted);
  const lower = new Float64Array(1 << LOWER_BITS);
  for (let i = 0; i < count; i++) {
    if (kind[i] !== PRINT) continue;
    asFloat[0] = laid[i]! / dt[i]!;
    const bits = asBits[0]!;
    if (bits >>> LOWER_BITS === chosen.index) lower[bits & LOWER] = lower[bits & LOWER]! + dt[i]!;
  }
  asBits[0] = (chosen.index << LOWER_BITS) | reached(lower, chosen.below, wanted).index;
  return { meanMm3S: (strand / time) * area, p95Mm3S: asFloat[0]! * area, maxMm3S: most * area };
}

/** First class at which the sum over the classes reaches what is wanted, the last that holds anything at most. */
function reached(classes: Float64Array, start: number, wanted: number): { index: number; below: number } {
  let below = start;
  let index = 0;
  let last = { index: 0, below: start };
  for (; index < classes.length; index++) {
    if (classes[index] === 0) continue;
    last = { index, below };
    below += classes[index]!;
    if (below >= wanted) break;
  }
  return last;
}
