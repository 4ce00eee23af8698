import { strandArea } from './card.ts';
import type { End } from './ending.ts';
import { LAYERS_LEAST, type Part, SOLID_BAR } from './parts.ts';
import { PASS_STEP_MM } from './passes.ts';
import type { GcodePrint } from './print.ts';
import { BED, FAN, NOZZLE } from './program.ts';
import { PRINT } from './segments.ts';

/** Orientation of a bar of length L, width b, thickness t: which of them stands upright. */
export type Lie = 'flat' | 'edge' | 'upright';

export type PlannedBar = Readonly<{
  lengthMm: number;
  widthMm: number;
  thickMm: number;
  orientation: Lie;
  /** Middle of its box on the sheet. */
  atMm?: readonly [number, number] | undefined;
}>;

/** What a plate of the campaign says; whatever is left out is not compared. */
export type Planned = Readonly<{
  bars?: readonly PlannedBar[] | undefined;
  nozzleC?: number | undefined;
  bedC?: number | undefined;
  fan?: Readonly<{ least: number; most: number }> | undefined;
  retract?: Readonly<{ lengthMm: number; speedMmS: number; count?: number | undefined }> | undefined;
  layerMm?: number | undefined;
  timeS?: number | undefined;
  leftG?: number | undefined;
  densityKgM3?: number | undefined;
  purgeG?: number | undefined;
  ending?: Readonly<{ end: End; heldS?: number | undefined }> | undefined;
}>;

export type Answer = 'same' | 'different' | 'not in file' | 'not in plan';

/** The lines of the comparison, in their order. */
export const LINES = [
  'bars',
  'orientation',
  'nozzle',
  'bed',
  'fan',
  'retraction',
  'layer height',
  'time',
  'strand',
  'ending',
] as const;

/** What the file itself says on each line. */
export type Said = Readonly<{
  bars: readonly Part[];
  layerMm: number | null;
  nozzleC: number | null;
  /** Share of the time at each nozzle and bed target, highest share first. */
  nozzleShares: readonly Readonly<{ value: number; share: number }>[];
  bedC: number | null;
  bedShares: readonly Readonly<{ value: number; share: number }>[];
  /** 5 % and 95 % quantile of the part fan. */
  fanLow: number;
  fanHigh: number;
  /** The file has a line for the fan. */
  fanSaid: boolean;
  retractMm: number | null;
  retractMmS: number | null;
  retractCount: number;
  /** Unseen start block included. */
  timeS: number;
  laidMm3: number;
  end: End | null;
  heldS: number | null;
}>;

export type Comparison = Readonly<{
  answers: readonly Answer[];
  different: number;
  said: Said;
  orientations: readonly (Lie | null)[];
  neededG: number | null;
}>;

const PLACE_MM = 2;
const SIDE_MM = 1;
const TARGET_K = 2;
const TARGET_SHARE = 0.95;
const FAN_SLACK = 0.05;
const FAN_QUANTILE = 0.05;
const RETRACT_MM = 0.05;
const RETRACT_SPEED_SHARE = 0.1;
const RETRACT_COUNT_SHARE = 0.2;
const LAYER_MM = 0.005;
const TIME_SHARE = 0.1;
const STRAND_RESERVE_G = 10;
const STRAND_RESERVE_SHARE = 0.05;
const HELD_S = 60;
const HELD_SHARE = 0.1;

/** Compares ten lines of a file that was read with what a plate says. */
export function compare(print: GcodePrint, plan: Planned): Comparison {
  return compareSaid(saidBy(print), plan);
}

/** The same from what the file says, without its columns. */
export function compareSaid(said: Said, plan: Planned): Comparison {
  const lies = liesOf(said.bars, plan.bars ?? [], said.layerMm ?? 0);
  const needed =
    plan.densityKgM3 === undefined ? null : said.laidMm3 * 1e-6 * plan.densityKgM3 + (plan.purgeG ?? 0);
  const fits = (planned: unknown, filed: unknown, same: () => boolean): Answer =>
    planned === undefined ? 'not in plan' : filed === null ? 'not in file' : same() ? 'same' : 'different';
  const near = (shares: Said['nozzleShares'], target: number) =>
    shares.reduce((sum, { value, share }) => (Math.abs(value - target) <= TARGET_K ? sum + share : sum), 0) >=
    TARGET_SHARE - 1e-9;

  const answers: Answer[] = [
    fits(plan.bars, said.bars, () => samePlaces(said.bars, plan.bars!)),
    fits(plan.bars, said.bars.length > 0 ? true : null, () => lies.allAsPlanned),
    fits(plan.nozzleC, said.nozzleC, () => near(said.nozzleShares, plan.nozzleC!)),
    fits(plan.bedC, said.bedC, () => near(said.bedShares, plan.bedC!)),
    fits(
      plan.fan,
      said.fanSaid ? true : null,
      () =>
        said.fanLow >= plan.fan!.least - FAN_SLACK - 1e-9 &&
        said.fanHigh <= plan.fan!.most + FAN_SLACK + 1e-9,
    ),
    fits(plan.retract, said.retractMm, () => {
      const { lengthMm, speedMmS, count } = plan.retract!;
      return (
        Math.abs(said.retractMm! - lengthMm) <= RETRACT_MM + 1e-9 &&
        Math.abs(said.retractMmS! - speedMmS) <= RETRACT_SPEED_SHARE * speedMmS &&
        (count === undefined || Math.abs(said.retractCount - count) <= RETRACT_COUNT_SHARE * count)
      );
    }),
    fits(plan.layerMm, said.layerMm, () => Math.abs(said.layerMm! - plan.layerMm!) <= LAYER_MM),
    fits(plan.timeS, said.timeS, () => Math.abs(said.timeS - plan.timeS!) <= TIME_SHARE * plan.timeS!),
    fits(
      plan.leftG === undefined || needed === null ? undefined : plan.leftG,
      said.laidMm3,
      () => needed! <= plan.leftG! - Math.max(STRAND_RESERVE_G, STRAND_RESERVE_SHARE * plan.leftG!),
    ),
    fits(plan.ending, said.end === 'unknown' ? null : said.end, () => {
      const { end, heldS } = plan.ending!;
      if (end !== said.end) return false;
      if (heldS === undefined) return true;
      return said.heldS !== null && Math.abs(said.heldS - heldS) <= Math.max(HELD_S, HELD_SHARE * heldS);
    }),
  ];
  return {
    answers,
    different: answers.filter((answer) => answer === 'different').length,
    said,
    orientations: lies.orientations,
    neededG: needed,
  };
}

/** What a file says on the ten lines. "After the first layer": printing above the lowest height, all if there is one layer. */
export function saidBy(print: GcodePrint): Said {
  const { segments, passes, program, retractions, totals, ending } = print;
  const lowest = passes.count > 0 ? passes.zMm.reduce((a, b) => Math.min(a, b)) : 0;
  const highest = passes.count > 0 ? passes.zMm.reduce((a, b) => Math.max(a, b)) : 0;
  const oneLayer = highest - lowest <= PASS_STEP_MM;

  const time = {
    nozzle: new Map<number, number>(),
    bed: new Map<number, number>(),
    fan: new Map<number, number>(),
  };
  const add = (map: Map<number, number>, value: number, seconds: number) =>
    map.set(value, (map.get(value) ?? 0) + seconds);
  const heights = new Map<number, number>();
  let nozzle = Number.NaN;
  let bed = Number.NaN;
  let fan = 0;
  let fanSaid = false;
  let step = 0;
  let all = 0;
  for (let p = 0; p < passes.count; p++) {
    add(heights, Math.round(passes.heightMm[p]! * 1e4) / 1e4, passes.volumeMm3[p]!);
    const end = p + 1 < passes.count ? passes.first[p + 1]! : segments.count;
    const counts = oneLayer || passes.zMm[p]! - lowest > PASS_STEP_MM;
    for (let i = passes.first[p]!; i < end; i++) {
      if (segments.kind[i] !== PRINT || !counts) continue;
      for (; step < program.count && program.segment[step]! <= i; step++) {
        const value = program.value[step]!;
        if (program.what[step] === NOZZLE) nozzle = value;
        else if (program.what[step] === BED) bed = value;
        else if (program.what[step] === FAN) fan = value;
      }
      const dt = segments.dt[i]!;
      all += dt;
      add(time.nozzle, nozzle, dt);
      add(time.bed, bed, dt);
      add(time.fan, fan, dt);
    }
  }
  for (let k = 0; k < program.count; k++) fanSaid ||= program.what[k] === FAN;
  const shares = (map: Map<number, number>) =>
    [...map]
      .filter(([value]) => !Number.isNaN(value))
      .map(([value, seconds]) => ({ value, share: seconds / all }))
      .sort((a, b) => b.share - a.share);
  const nozzleShares = shares(time.nozzle);
  const bedShares = shares(time.bed);
  const fanShares = shares(time.fan).sort((a, b) => a.value - b.value);

  const lengths: number[] = [];
  const speeds: number[] = [];
  for (let k = 0; k < retractions.count; k++) {
    const start = retractions.startS[k]!;
    if (retractions.until[k]! < 0 || !ending || start >= ending.lastS) continue;
    // A drawing back at the very start of a file, before anything was given forward, counts with the others.
    lengths.push(Math.round(retractions.lengthMm[k]! * 100) / 100);
    speeds.push(Math.round(retractions.speedMmS[k]! * 10) / 10);
  }
  return {
    bars: (print.parts?.parts ?? []).filter((part) => part.solid >= SOLID_BAR && part.layers >= LAYERS_LEAST),
    layerMm: mostWeight(heights),
    nozzleC: nozzleShares[0]?.value ?? null,
    nozzleShares,
    bedC: bedShares[0]?.value ?? null,
    bedShares,
    fanLow: quantile(fanShares, FAN_QUANTILE),
    fanHigh: quantile(fanShares, 1 - FAN_QUANTILE),
    fanSaid,
    retractMm: mostFrequent(lengths),
    retractMmS: mostFrequent(speeds),
    retractCount: lengths.length,
    timeS: totals.timeS + totals.unseenS,
    laidMm3: totals.laidMm * strandArea(print.card),
    end: ending?.end ?? null,
    heldS: ending?.nozzleHeldS ?? null,
  };
}

function mostWeight(weights: ReadonlyMap<number, number>): number | null {
  let best: number | null = null;
  for (const [value, weight] of weights) if (best === null || weight > weights.get(best)!) best = value;
  return best;
}

/** The greater one where two are as frequent. */
function mostFrequent(values: readonly number[]): number | null {
  const counts = new Map<number, number>();
  for (const value of [...values].sort((a, b) => b - a)) counts.set(value, (counts.get(value) ?? 0) + 1);
  return mostWeight(counts);
}

function quantile(sorted: readonly Readonly<{ value: number; share: number }>[], q: number): number {
  let below = 0;
  for (const { value, share } of sorted) {
    below += share;
    if (below >= q - 1e-12) return value;
  }
  return sorted.at(-1)?.value ?? 0;
}

function centreOf(part: Part): [number, number] {
  return [(part.boxMm[0] + part.boxMm[2]) / 2, (part.boxMm[1] + part.boxMm[3]) / 2];
}

/** As many bars as planned, and each planned place has one of its own within 2 mm. */
function samePlaces(bars: readonly Part[], planned: readonly PlannedBar[]): boolean {
  if (bars.length !== planned.length) return false;
  const placed = planned.filter((bar) => bar.atMm !== undefined);
  const near = (plannedBar: PlannedBar, part: Part) => {
    const [x, y] = centreOf(part);
    return Math.hypot(x - plannedBar.atMm![0], y - plannedBar.atMm![1]) <= PLACE_MM;
  };
  return pairs(placed, bars, near).every((partner) => partner >= 0);
}

/** How each bar lies: as the planned bar that it is paired with, else as any planned bar could, else null. */
function liesOf(bars: readonly Part[], planned: readonly PlannedBar[], layer: number) {
  const partners = pairs(planned, bars, (bar, part) => lies(bar, bar.orientation, part, layer));
  const orientations: (Lie | null)[] = bars.map(() => null);
  for (const [k, partner] of partners.entries())
    if (partner >= 0) orientations[partner] = planned[k]!.orientation;
  const every: readonly Lie[] = ['flat', 'edge', 'upright'];
  for (const [k, part] of bars.entries())
    orientations[k] ??=
      every.find((orientation) => planned.some((bar) => lies(bar, orientation, part, layer))) ?? null;
  const allAsPlanned = bars.length === planned.length && partners.every((partner) => partner >= 0);
  return { orientations, allAsPlanned };
}

/** True where a part has the height and the sides of a bar in an orientation. */
function lies(bar: PlannedBar, orientation: Lie, part: Part, layer: number): boolean {
  const { lengthMm: l, widthMm: b, thickMm: t } = bar;
  const [long, short, high] =
    orientation === 'flat' ? [l, b, t] : orientation === 'edge' ? [l, t, b] : [b, t, l];
  return (
    Math.abs(part.heightMm - high) <= layer + 1e-6 &&
    Math.abs(part.longMm - Math.max(long, short)) <= SIDE_MM &&
    Math.abs(part.shortMm - Math.min(long, short)) <= SIDE_MM
  );
}

/**
 * Pairs as many of `a` with one of `b` each as can be (augmenting paths). Returns the partner of each of `a`, -1: none.
 */
function pairs<A, B>(a: readonly A[], b: readonly B[], suits: (one: A, other: B) => boolean): number[] {
  const owner = b.map(() => -1);
  const place = (k: number, seen: Set<number>): boolean => {
    for (const [j, other] of b.entries()) {
      if (seen.has(j) || !suits(a[k]!, other)) continue;
      seen.add(j);
      if (owner[j]! < 0 || place(owner[j]!, seen)) {
        owner[j] = k;
        return true;
      }
    }
    return false;
  };
  for (const k of a.keys()) place(k, new Set());
  const partners = a.map(() => -1);
  for (const [j, k] of owner.entries()) if (k >= 0) partners[k] = j;
  return partners;
}
