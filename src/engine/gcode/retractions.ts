import { type Arcs, RETRACT, type Segments, WIPE, wayLength } from './segments.ts';

/** Drawings back of the strand, in columns: each begins after strand was given forward and ends before it is again. */
export type Retractions = Readonly<{
  count: number;
  /** Start of the first piece, clock of the file. */
  startS: Float64Array;
  lengthMm: Float64Array;
  /** Commanded strand speed of the longest piece. */
  speedMmS: Float64Array;
  /** Segment that gives strand forward again; -1 where none does. */
  until: Int32Array;
}>;

/** Commanded speed of the strand in a segment that draws back: of a wipe, its share of the way's speed. */
export function drawSpeed(segments: Segments, arcs: Arcs, i: number): number {
  const speed = segments.speed[i]!;
  return segments.kind[i] === WIPE ? (-segments.dE[i]! * speed) / wayLength(segments, arcs, i) : speed;
}

export function retractionsOf(segments: Segments, arcs: Arcs): Retractions {
  const startS: number[] = [];
  const lengthMm: number[] = [];
  const speedMmS: number[] = [];
  const until: number[] = [];
  let open = false;
  let largest = 0;
  for (let i = 0; i < segments.count; i++) {
    const dE = segments.dE[i]!;
    const kind = segments.kind[i];
    if (kind === RETRACT || kind === WIPE) {
      if (!open) {
        open = true;
        largest = 0;
        startS.push(segments.t[i]!);
        lengthMm.push(0);
        speedMmS.push(0);
        until.push(-1);
      }
      const last = lengthMm.length - 1;
      lengthMm[last]! += -dE;
      if (-dE > largest) {
        largest = -dE;
        speedMmS[last] = drawSpeed(segments, arcs, i);
      }
    } else if (dE > 0 && open) {
      open = false;
      until[until.length - 1] = i;
    }
  }
  return {
    count: startS.length,
    startS: Float64Array.from(startS),
    lengthMm: Float64Array.from(lengthMm),
    speedMmS: Float64Array.from(speedMmS),
    until: Int32Array.from(until),
  };
}
