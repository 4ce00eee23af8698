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
  const { segments, arcs, program } = print;
  const { kind: _kind, dE, speed, count } = segments;
  const ahead = new LookAhead();
  const clock = new Clock(card);
  const accelOf = { print: card.printMmS2, travel: card.travelMmS2, retract: card.retractMmS2 };
  const arcEnds = new Float64Array(4);
  let step = 0;
  let chained = false;
  let dirX = 0;
  let dirY = 0;
  let dirZ = 0;
  let accelBefore = 0;
  let v2Before = 0;
  for (let i = 0; i < count; i++) {
    for (; step < program.count && program.segment[step]! <= i; step++) {
      const value = program.value[step]!;
      switch (program.what[step]) {
        case ACCEL_PRINT:
          accelOf.print = value;
          break;
        case ACCEL_TRAVEL:
          accelOf.travel = value;
          break;
        case ACCEL_RETRACT:
          accelOf.retract = value;
          break;
        case WAIT_HOT:
        case WAIT_EQUAL:
        case DWELL:
        case HOME:
        case PROBE:
        case HANDS:
          chained = false;
          break;
      }
    }
    const strand = dE[i]!;
    const way = wayLength(segments, arcs, i);
    let v = Math.min(speed[i]!, card.maxMmS);
    if (way > 0) {
      const accel = strand > 0 ? accelOf.print : accelOf.travel;
      const arc = segments.arc.length > 0 ? segments.arc[i]! : -1;
      let inX = (segments.x1[i]! - segments.x0[i]!) / way;
      let inY = (segments.y1[i]! - segments.y0[i]!) / way;
      const inZ = (segments.z1[i]! - segments.z0[i]!) / way;
      let outX = inX;
      let outY = inY;
      if (arc >= 0) {
        v = Math.min(v, Math.sqrt(accel * arcs.radius[arc]!));
        tangents(segments, arcs, i, arc, way, arcEnds);
        inX = arcEnds[0]!;
        inY = arcEnds[1]!;
        outX = arcEnds[2]!;
        outY = arcEnds[3]!;
      }
      const v2 = v * v;
      let cap = 0;
      if (chained) {
        const corner = cornerSpeedSquared(
          Math.min(accel, accelBefore),
          card.deltaMm,
          inX * dirX + inY * dirY + inZ * dirZ,
        );
        cap = Math.min(v2, v2Before, corner);
      }
      ahead.add(way, v, accel, cap);
      chained = true;
      dirX = outX;
      dirY = outY;
      dirZ = inZ;
      accelBefore = accel;
      v2Before = v2;
    } else {
      ahead.add(Math.abs(strand), v, accelOf.retract, 0);
      chained = false;
    }
    if (ahead.full) settle(false);
  }
  settle(true);
  clock.stepsUpTo(count, program, null);
  return clock.now;

  function settle(last: boolean): void {
    const final = ahead.settle(last);
    clock.passUnseen(ahead, final, program);
    ahead.drop(final);
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

/** Times the print anew at 15 nodes. Cost: 15 passes over the columns. */
export function timeSurface(print: GcodePrint): TimeSurface {
  const { card } = print;
  const lnTime = LN_DELTAS.flatMap((d) =>
    LN_FACTORS.map((f) => Math.log(timeOf(print, withFactor(card, Math.exp(f), card.deltaMm * Math.exp(d))))),
  );
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
