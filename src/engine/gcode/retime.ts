import { Refusal } from '../kernel.ts';
import { falsePosition } from '../numerics/false-position.ts';
import type { GcodeCard } from './card.ts';
import { Clock } from './clock.ts';
import { LookAhead } from './look-ahead.ts';
import { cornerSpeedSquared } from './motion.ts';
import type { GcodePrint } from './print.ts';
import {
  ACCEL_PRINT,
  ACCEL_RETRACT,
  ACCEL_TRAVEL,
  DWELL,
  HANDS,
  HOME,
  PROBE,
  type Program,
  WAIT_EQUAL,
  WAIT_HOT,
} from './program.ts';
import { type Arcs, type Segments, wayLength } from './segments.ts';

/**
 * Total time of a print that was read, with other accelerations, corner rounding, top speed, ramps: the same look-ahead
 * and clock over the stored columns. What the file itself sets (M204) stays.
 *
 * Columns are in Float32, so that the time differs from the one of reading by about 1e-7 of it.
 *
 * @returns seconds
 */
export function timeOf(print: GcodePrint, card: GcodeCard): number {
  return timesOf(print, [card])[0]!;
}

/** The same for many cards at once: the way and its corners are worked out once for all. */
export function timesOf(print: GcodePrint, cards: readonly GcodeCard[]): number[] {
  const { segments, program } = print;
  const stretch = new Stretch(print);
  const machines = cards.map((card) => new TimedMachine(card));
  for (let from = 0; from < segments.count; from += STRETCH) {
    stretch.take(from, Math.min(segments.count, from + STRETCH));
    for (const machine of machines) machine.run(stretch, program);
  }
  return machines.map((machine) => machine.end(segments.count, program));
}

/** Segments worked out at once: their arrays stay in a near cache for all cards. */
const STRETCH = 2048;

const OF_PRINT = 0;
const OF_TRAVEL = 1;
const OF_RETRACT = 2;

/** What a stretch of segments asks of any machine. */
class Stretch {
  count = 0;
  /** Way, or the strand where nothing else moves [mm]. */
  readonly length = new Float64Array(STRETCH);
  readonly speed = new Float64Array(STRETCH);
  /** Radius of an arc [mm], 0 for a straight move. */
  readonly radius = new Float64Array(STRETCH);
  /** Which acceleration of the card, and the one that the file sets instead (0: none) [mm/s2]. */
  readonly which = new Uint8Array(STRETCH);
  readonly given = new Float64Array(STRETCH);
  /** s/(1 - s) of the corner before the move: 0 at a stop, Infinity straight on. */
  readonly corner = new Float64Array(STRETCH);
  private readonly print: GcodePrint;
  private readonly set = new Float64Array(3);
  private readonly ends = new Float64Array(4);
  private step = 0;
  private chained = false;
  private dirX = 0;
  private dirY = 0;
  private dirZ = 0;

  constructor(print: GcodePrint) {
    this.print = print;
  }

  take(from: number, to: number): void {
    const { segments, arcs } = this.print;
    this.count = to - from;
    for (let i = from; i < to; i++) {
      this.stepsBefore(i);
      const k = i - from;
      const strand = segments.dE[i]!;
      const way = wayLength(segments, arcs, i);
      const which = way > 0 ? (strand > 0 ? OF_PRINT : OF_TRAVEL) : OF_RETRACT;
      this.which[k] = which;
      this.given[k] = this.set[which]!;
      this.speed[k] = segments.speed[i]!;
      this.length[k] = way > 0 ? way : Math.abs(strand);
      this.radius[k] = 0;
      this.corner[k] = 0;
      if (way === 0) {
        this.chained = false;
        continue;
      }
      const arc = segments.arc.length > 0 ? segments.arc[i]! : -1;
      let inX = (segments.x1[i]! - segments.x0[i]!) / way;
      let inY = (segments.y1[i]! - segments.y0[i]!) / way;
      const inZ = (segments.z1[i]! - segments.z0[i]!) / way;
      let outX = inX;
      let outY = inY;
      if (arc >= 0) {
        this.radius[k] = arcs.radius[arc]!;
        tangents(segments, arcs, i, arc, way, this.ends);
        inX = this.ends[0]!;
        inY = this.ends[1]!;
        outX = this.ends[2]!;
        outY = this.ends[3]!;
      }
      if (this.chained)
        this.corner[k] = cornerSpeedSquared(1, 1, inX * this.dirX + inY * this.dirY + inZ * this.dirZ);
      this.chained = true;
      this.dirX = outX;
      this.dirY = outY;
      this.dirZ = inZ;
    }
  }

  private stepsBefore(segment: number): void {
    const { program } = this.print;
    for (; this.step < program.count && program.segment[this.step]! <= segment; this.step++) {
      const what = program.what[this.step]!;
      if (what === ACCEL_PRINT) this.set[OF_PRINT] = program.value[this.step]!;
      else if (what === ACCEL_TRAVEL) this.set[OF_TRAVEL] = program.value[this.step]!;
      else if (what === ACCEL_RETRACT) this.set[OF_RETRACT] = program.value[this.step]!;
      else if (STOPS.has(what)) this.chained = false;
    }
  }
}

const STOPS: ReadonlySet<number> = new Set([WAIT_HOT, WAIT_EQUAL, DWELL, HOME, PROBE, HANDS]);

/** Look-ahead and clock of one card. */
class TimedMachine {
  private readonly ahead = new LookAhead();
  private readonly clock: Clock;
  private readonly accels: readonly [number, number, number];
  private readonly delta: number;
  private readonly vmax: number;
  private accelBefore = 0;
  private v2Before = 0;

  constructor(card: GcodeCard) {
    this.clock = new Clock(card);
    this.accels = [card.printMmS2, card.travelMmS2, card.retractMmS2];
    this.delta = card.deltaMm;
    this.vmax = card.maxMmS;
  }

  run(stretch: Stretch, program: Program): void {
    const { ahead, accels, delta, vmax } = this;
    const { count, length, speed, radius, which, given, corner } = stretch;
    let accelBefore = this.accelBefore;
    let v2Before = this.v2Before;
    for (let k = 0; k < count; k++) {
      const set = given[k]!;
      const accel = set > 0 ? set : accels[which[k]!]!;
      let v = Math.min(speed[k]!, vmax);
      if (radius[k]! > 0) v = Math.min(v, Math.sqrt(accel * radius[k]!));
      const v2 = v * v;
      const j = ahead.count++;
      ahead.length[j] = length[k]!;
      ahead.speed[j] = v;
      ahead.accel[j] = accel;
      ahead.cap[j] = Math.min(v2, v2Before, Math.min(accel, accelBefore) * delta * corner[k]!);
      accelBefore = accel;
      v2Before = v2;
      if (ahead.full) this.settle(false, program);
    }
    this.accelBefore = accelBefore;
    this.v2Before = v2Before;
  }

  end(segmentCount: number, program: Program): number {
    this.settle(true, program);
    this.clock.stepsUpTo(segmentCount, program, null);
    return this.clock.now;
  }

  private settle(last: boolean, program: Program): void {
    const final = this.ahead.settle(last);
    this.clock.passUnseen(this.ahead, final, program);
    this.ahead.drop(final);
  }
}

function tangents(
  segments: Segments,
  arcs: Arcs,
  i: number,
  arc: number,
  way: number,
  into: Float64Array,
): void {
  const sweep = arcs.sweep[arc]!;
  const share = (arcs.radius[arc]! * sweep) / way;
  const ax = segments.x0[i]! - arcs.cx[arc]!;
  const ay = segments.y0[i]! - arcs.cy[arc]!;
  const bx = segments.x1[i]! - arcs.cx[arc]!;
  const by = segments.y1[i]! - arcs.cy[arc]!;
  const a = Math.hypot(ax, ay);
  const b = Math.hypot(bx, by);
  into[0] = (-ay / a) * share;
  into[1] = (ax / a) * share;
  into[2] = (-by / b) * share;
  into[3] = (bx / b) * share;
}

/** The card with both accelerations of moves taken times a factor. */
export function withFactor(card: GcodeCard, factor: number, deltaMm = card.deltaMm): GcodeCard {
  return { ...card, printMmS2: card.printMmS2 * factor, travelMmS2: card.travelMmS2 * factor, deltaMm };
}

/** Bounds of the factor on accelerations. */
const FACTOR_LEAST = 0.1;
const FACTOR_MOST = 10;

/**
 * One real duration typed in: the factor on the accelerations of printing and travel that gives it. What macros may
 * take before the first layer (`unseenS`) belongs to the duration.
 *
 * @param realS duration from start to end [s]
 * @returns factor 0.1 .. 10
 * @throws Refusal where no factor in these bounds gives it; the sentence names the durations that are within reach
 */
export function factorFromDuration(print: GcodePrint, realS: number): number {
  const wanted = realS - print.totals.unseenS;
  const off = (ln: number) => timeOf(print, withFactor(print.card, Math.exp(ln))) - wanted;
  const slow = off(Math.log(FACTOR_LEAST));
  const fast = off(Math.log(FACTOR_MOST));
  if (!(slow >= 0 && fast <= 0) || slow === fast) {
    const hours = (s: number) => ((s + realS) / 3600).toFixed(2);
    throw new Refusal(
      `${print.name} takes ${hours(fast)} to ${hours(slow)} h whatever the accelerations, not ${(realS / 3600).toFixed(2)} h: check that the duration is of this file, without pauses.`,
    );
  }
  return Math.exp(
    falsePosition(off, Math.log(FACTOR_LEAST), Math.log(FACTOR_MOST), slow, fast, 1e-4 * realS),
  );
}

/** Total time over the factor on accelerations and the corner rounding: nodes for `surfaceTime`. */
export type TimeSurface = Readonly<{
  lnFactor: readonly number[];
  lnDelta: readonly number[];
  /** `lnTime[factor + 5 * delta]` */
  lnTime: readonly number[];
}>;

/** Nodes reach over the spread of the cards; the time is smooth between. */
const LN_FACTORS = [-1.8, -0.9, 0, 0.9, 1.8] as const;
const LN_DELTAS = [-1.4, 0, 1.4] as const;

/** Times the print anew at 15 nodes. */
export function timeSurface(print: GcodePrint): TimeSurface {
  const { card } = print;
  const cards = LN_DELTAS.flatMap((d) =>
    LN_FACTORS.map((f) => withFactor(card, Math.exp(f), card.deltaMm * Math.exp(d))),
  );
  const lnTime = timesOf(print, cards).map(Math.log);
  return { lnFactor: LN_FACTORS, lnDelta: LN_DELTAS.map((d) => d + Math.log(card.deltaMm)), lnTime };
}

/**
 * Time from the nodes, by Lagrange polynomials in the logarithms; beyond the nodes the border's value.
 *
 * @returns seconds
 */
export function surfaceTime(surface: TimeSurface, factor: number, deltaMm: number): number {
  const f = weights(surface.lnFactor, Math.log(factor));
  const d = weights(surface.lnDelta, Math.log(deltaMm));
  let sum = 0;
  for (let j = 0; j < d.length; j++)
    for (let i = 0; i < f.length; i++) sum += f[i]! * d[j]! * surface.lnTime[i + f.length * j]!;
  return Math.exp(sum);
}

function weights(nodes: readonly number[], x: number): number[] {
  const at = Math.min(nodes.at(-1)!, Math.max(nodes[0]!, x));
  return nodes.map((node, k) =>
    nodes.reduce((w, other, j) => (j === k ? w : (w * (at - other)) / (node - other)), 1),
  );
}

/** Spread of what the time depends on: standard deviations of logarithms, from the cards. */
export type TimeSpread = Readonly<{ lnFactor: number; lnDelta: number; lnClock: number }>;

/**
 * Quantiles of the total time when accelerations (one factor), corner rounding and the clock scatter independently.
 * A grid of equally likely values of each, no drawing of lots.
 *
 * @returns time at each of `shares` [s]
 */
export function timeQuantiles(
  surface: TimeSurface,
  card: GcodeCard,
  spread: TimeSpread,
  shares: readonly number[],
): number[] {
  const times: number[] = [];
  for (const a of EQUALLY_LIKELY)
    for (const b of EQUALLY_LIKELY)
      for (const c of EQUALLY_LIKELY)
        times.push(
          surfaceTime(surface, Math.exp(spread.lnFactor * a), card.deltaMm * Math.exp(spread.lnDelta * b)) *
            Math.exp(spread.lnClock * c),
        );
  times.sort((a, b) => a - b);
  return shares.map((share) => times[Math.min(times.length - 1, Math.floor(share * times.length))]!);
}

/** Standard normal at 1/18, 3/18 .. 17/18. Source: tables of the normal distribution, e.g. ISO 3534-1 (from memory). */
const EQUALLY_LIKELY = [
  -1.59322, -0.96742, -0.58946, -0.28222, 0, 0.28222, 0.58946, 0.96742, 1.59322,
] as const;
