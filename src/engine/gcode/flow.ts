import { PRINT, type Segments } from './segments.ts';

export type Flow = Readonly<{ meanMm3S: number; p95Mm3S: number; maxMm3S: number }>;

/** Classes of flow: all bits of a Float32 but the last ones, so that each class is 0.1 % wide. */
const DROPPED_BITS = 13;
const CLASS_COUNT = 1 << (31 - DROPPED_BITS);
const TIME_SHARE = 0.95;

/**
 * Volume flow of the print segments, weighted by their time. `p95` is the smallest flow at or under which 95 % of the
 * printing time lies: the class of flow is found first, then the flow inside it, so that nothing big is sorted.
 *
 * @param area section of the strand [mm2]
 */
export function flowOf(segments: Segments, area: number): Flow {
  const { kind, laid, dt, count } = segments;
  const timeOf = new Float64Array(CLASS_COUNT);
  const asFloat = new Float32Array(1);
  const asBits = new Uint32Array(asFloat.buffer);
  let volume = 0;
  let time = 0;
  let most = 0;
  for (let i = 0; i < count; i++) {
    if (kind[i] !== PRINT) continue;
    const v = laid[i]! * area;
    const seconds = dt[i]!;
    const flow = v / seconds;
    volume += v;
    time += seconds;
    if (flow > most) most = flow;
    asFloat[0] = flow;
    const k = asBits[0]! >>> DROPPED_BITS;
    timeOf[k] = timeOf[k]! + seconds;
  }
  if (time === 0) return { meanMm3S: 0, p95Mm3S: 0, maxMm3S: 0 };

  const wanted = TIME_SHARE * time;
  let below = 0;
  let chosen = 0;
  for (; chosen < CLASS_COUNT - 1 && below + timeOf[chosen]! < wanted; chosen++) below += timeOf[chosen]!;
  const inside: [flow: number, time: number][] = [];
  for (let i = 0; i < count; i++) {
    if (kind[i] !== PRINT) continue;
    const flow = (laid[i]! * area) / dt[i]!;
    asFloat[0] = flow;
    if (asBits[0]! >>> DROPPED_BITS === chosen) inside.push([flow, dt[i]!]);
  }
  inside.sort((a, b) => a[0] - b[0]);
  let p95 = most;
  for (const [flow, seconds] of inside) {
    below += seconds;
    p95 = flow;
    if (below >= wanted) break;
  }
  return { meanMm3S: volume / time, p95Mm3S: p95, maxMm3S: most };
}
