import type { GcodeCard } from './card.ts';
import { BED, CHAMBER, FAN, HANDS, NOZZLE, type Program } from './program.ts';
import { drawSpeed } from './retractions.ts';
import { type Arcs, RETRACT, type Segments, WIPE } from './segments.ts';

export type End = 'unknown' | 'unloaded' | 'waits' | 'held' | 'cold';

/** What the file does after its last laid material; all times from there, on the clock of the file. */
export type Ending = Readonly<{
  end: End;
  /** End of the last segment that laid material [s from the start]. */
  lastS: number;
  tailS: number;
  /** First nozzle target under which the strand sets; 0 if it was under it already, null: never lowered. */
  nozzleHeldS: number | null;
  nozzleToC: number | null;
  bedHeldS: number | null;
  bedToC: number | null;
  chamberHeldS: number | null;
  chamberToC: number | null;
  drawnBackMm: number;
  drawnBackMmS: number;
  drawnBackS: number | null;
  parkMm: readonly [number, number, number];
  liftMm: number;
  homed: readonly ('X' | 'Y' | 'Z')[];
  fan: number;
  handsS: readonly number[];
  macros: number;
  /** How long the strand can still be drawn out hot; null: unknown, or no such moment. */
  unloadWindowS: number | null;
}>;

/** Bed and chamber count as lowered from this far under what was in force [K]. */
const LOWERED_BY_K = 10;
/** Under this a bed or chamber counts as off [C]. */
const OFF_UNDER_C = 40;
/** A nozzle kept hot for longer than this is held [s]. */
const HELD_OVER_S = 60;

/** Drawn lengths are stored to seven digits [mm]. */
const DEBT_SLACK = 1e-4;

/** What the machine knows at the end of the file. */
export type Stand = Readonly<{
  lastLaid: number;
  totalS: number;
  debtMm: number;
  parkMm: readonly [number, number, number];
  homed: readonly ('X' | 'Y' | 'Z')[];
  macros: number;
}>;

/** Ending of a file that has laid something (`stand.lastLaid` >= 0). */
export function endingOf(
  segments: Segments,
  arcs: Arcs,
  program: Program,
  stand: Stand,
  card: GcodeCard,
): Ending {
  const { lastLaid } = stand;
  const t0 = endOf(lastLaid, segments, program, stand.totalS);
  const nozzle = lowered(program, NOZZLE, lastLaid, t0, (before) =>
    before !== null && before < card.freezeC ? null : card.freezeC,
  );
  const off = (before: number | null) =>
    before === null ? OFF_UNDER_C : before < OFF_UNDER_C ? null : before - LOWERED_BY_K;
  const bed = lowered(program, BED, lastLaid, t0, off);
  const chamber = lowered(program, CHAMBER, lastLaid, t0, off);

  // Nothing that stands behind this segment comes before the nozzle is lowered.
  const loweredAt = nozzle.heldS === null ? Number.MAX_SAFE_INTEGER : nozzle.step;
  const handsS: number[] = [];
  let waits = false;
  let fan = 0;
  for (let k = 0; k < program.count; k++) {
    if (program.what[k] === FAN) fan = program.value[k]!;
    if (program.what[k] !== HANDS || program.segment[k]! <= lastLaid) continue;
    handsS.push(program.t[k]! - t0);
    if (k < loweredAt) waits = true;
  }

  let debt = 0;
  let speedMost = 0;
  let drawnBackS: number | null = null;
  let unloaded = false;
  const loweredBefore =
    nozzle.heldS === null ? segments.count : nozzle.step < 0 ? 0 : program.segment[nozzle.step]!;
  for (let i = lastLaid + 1; i < segments.count; i++) {
    const dE = segments.dE[i]!;
    debt = Math.max(0, debt - dE);
    if (segments.kind[i] !== RETRACT && segments.kind[i] !== WIPE) continue;
    drawnBackS = endOf(i, segments, program, stand.totalS) - t0;
    speedMost = Math.max(speedMost, drawSpeed(segments, arcs, i));
    if (debt >= card.clearMm - DEBT_SLACK && i < loweredBefore) unloaded = true;
  }

  const held = nozzle.heldS;
  const end: End =
    stand.macros > 0
      ? 'unknown'
      : unloaded
        ? 'unloaded'
        : waits
          ? 'waits'
          : held === null || held > HELD_OVER_S
            ? 'held'
            : 'cold';
  return {
    end,
    lastS: t0,
    tailS: stand.totalS - t0,
    nozzleHeldS: held,
    nozzleToC: nozzle.lastC,
    bedHeldS: bed.heldS,
    bedToC: bed.lastC,
    chamberHeldS: chamber.heldS,
    chamberToC: chamber.lastC,
    drawnBackMm: stand.debtMm,
    drawnBackMmS: speedMost,
    drawnBackS,
    parkMm: stand.parkMm,
    liftMm: stand.parkMm[2] - segments.z1[lastLaid]!,
    homed: stand.homed,
    fan,
    handsS,
    macros: stand.macros,
    unloadWindowS: unloadWindow(end, held, nozzle.beforeC, card),
  };
}

/** Clock at the end of a segment: where the next thing begins, free of the rounding of the column of durations. */
function endOf(segment: number, segments: Segments, program: Program, totalS: number): number {
  // Steps stand in the order of segments: the first one behind is found by halving.
  let low = 0;
  let high = program.count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (program.segment[middle]! <= segment) low = middle + 1;
    else high = middle;
  }
  if (low < program.count && program.segment[low] === segment + 1) return program.t[low]!;
  return segment + 1 < segments.count ? segments.t[segment + 1]! : totalS;
}

function unloadWindow(end: End, held: number | null, hotC: number | null, card: GcodeCard): number | null {
  if (end === 'unknown' || end === 'unloaded') return null;
  if (end === 'waits' || held === null) return card.restS;
  const cooling = Math.max(0, (hotC ?? 0) - card.freezeC) / card.coolKS.nozzle;
  return Math.min(card.restS, held + cooling);
}

type Lowered = {
  heldS: number | null;
  /** Step that lowers it; -1 where it was low already. */
  step: number;
  /** Target just before it is lowered. */
  beforeC: number | null;
  lastC: number | null;
};

/** When a heater is first set under a limit, which `limitOf` makes of the target in force at the end; null: low already. */
function lowered(
  program: Program,
  heater: number,
  lastLaid: number,
  t0: number,
  limitOf: (before: number | null) => number | null,
): Lowered {
  let force: number | null = null;
  let k = 0;
  for (; k < program.count && program.segment[k]! <= lastLaid; k++)
    if (program.what[k] === heater) force = program.value[k]!;
  const limit = limitOf(force);
  const result: Lowered = { heldS: limit === null ? 0 : null, step: -1, beforeC: force, lastC: force };
  for (; k < program.count; k++) {
    if (program.what[k] !== heater) continue;
    const target = program.value[k]!;
    if (limit !== null && result.heldS === null) {
      if (target < limit) {
        result.heldS = program.t[k]! - t0;
        result.step = k;
      } else result.beforeC = target;
    }
    result.lastC = target;
  }
  return result;
}
