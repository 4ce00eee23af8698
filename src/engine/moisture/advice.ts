import { saturationPressure } from '../air/saturation.ts';
import { desiccantBalance } from './desiccant.ts';
import { leakage, type Place, roomVapour } from './place.ts';
import { makeOutcome, type Plan, type Spool, type Stretch, simulate } from './spool.ts';
import type { Scratch, SpoolState } from './spool-state.ts';

/** What to do with a spool: when to turn it over, how hot it may get, how long a desiccant lasts. */

/** One flip is tried at these shares of the time; outside, one half of the spool has too little of it. */
export const FLIP_SHARES = [0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7] as const;
/** Shares whose worst cell is within this of the best one are as good: the gain is flat there. */
const AS_GOOD = 0.01;

export type FlipScan = Readonly<{
  shares: readonly number[];
  /** Share of water in the wettest cell at the end, for each, and without a flip. */
  worst: readonly number[];
  unflipped: number;
  /** The best share, and from where to where it matters little. */
  best: number;
  asGood: readonly [number, number];
}>;

/**
 * Tries one flip at 0.3 .. 0.7 of a drying and takes the least worst cell [moisture-16].
 *
 * @param stretch the drying; its own flips are left out
 * @param from    state of the spool at its start; missing: even
 */
export function flipScan(
  spool: Spool,
  stretch: Stretch,
  scratch: Scratch,
  from?: SpoolState,
  shares: readonly number[] = FLIP_SHARES,
): FlipScan {
  const worstWith = (flips: readonly number[]) => {
    const plan: Plan = { stretches: [{ ...stretch, flips }] };
    return simulate(spool, plan, scratch, makeOutcome(plan, scratch.grid), from).ends[0]!.worst;
  };
  const worst = shares.map((share) => worstWith([share * stretch.time]));
  const least = Math.min(...worst);
  const good = shares.filter((_, i) => worst[i]! <= least * (1 + AS_GOOD));
  return {
    shares,
    worst,
    unflipped: worstWith([]),
    best: shares[worst.indexOf(least)]!,
    asGood: [good[0]!, good[good.length - 1]!],
  };
}

/** No heat above 70 C while a limit of strand or spool is not known [K] (choice, for safety). */
const UNKNOWN_CAP = 343.15;
/** A spool stays this far below the temperature at which its material softens [K] (choice, for safety). */
const BELOW_SOFTENING = 15;

export type HeatLimits = Readonly<{
  /** Highest drying temperature the strand's maker allows [K]; null: not known. */
  strand: number | null;
  /** Of the spool: a limit [K], or where its material softens [K]; null: not known. */
  spool: Readonly<{ limit: number } | { softens: number }> | null;
  /** Of dryer, oven or bed itself [K]; null: it states none. */
  device: number | null;
}>;

export type HeatCap = Readonly<{
  temperature: number;
  /** What rules; an unknown limit counts as 70 C. */
  ruledBy: 'strand' | 'spool' | 'device' | 'strand limit not known' | 'spool limit not known';
}>;

/**
 * Highest allowed temperature of air and bed, never to be broken [moisture-23]: the least of the strand's limit, the
 * spool's (softening minus 15 K) and the device's; 70 C for a limit of strand or spool that nobody knows.
 */
export function heatCap(limits: HeatLimits): HeatCap {
  const { strand, spool, device } = limits;
  const caps: HeatCap[] = [
    strand === null
      ? { temperature: UNKNOWN_CAP, ruledBy: 'strand limit not known' }
      : { temperature: strand, ruledBy: 'strand' },
    spool === null
      ? { temperature: UNKNOWN_CAP, ruledBy: 'spool limit not known' }
      : {
          temperature: 'limit' in spool ? spool.limit : spool.softens - BELOW_SOFTENING,
          ruledBy: 'spool',
        },
    ...(device === null ? [] : [{ temperature: device, ruledBy: 'device' } as const]),
  ];
  return caps.reduce((least, cap) => (cap.temperature < least.temperature ? cap : least));
}

/** Water that the desiccant of a box can still take before the air passes a humidity [kg] [moisture-24]; 0 without one. */
export function desiccantRoom({ desiccant }: Place, humidity: number): number {
  if (!desiccant) return 0;
  return Math.max(0, desiccant.mass * (desiccantBalance(desiccant.sorbent, humidity) - desiccant.start));
}

/**
 * How long the desiccant of a box can take what leaks in before the air passes a humidity [s] [moisture-24]:
 *
 *   t = m (q_eq(rh_limit) - q0)/(leak (p_room - p_limit))
 *
 * @param temperature of the air in the box [K]
 * @param humidity    relative humidity that must not be passed, 0..1
 * @returns 0 where the desiccant is used up already, Infinity where nothing leaks in
 */
export function desiccantBudget(place: Place, temperature: number, humidity: number): number {
  const room = desiccantRoom(place, humidity);
  if (room <= 0) return 0;
  const rise = roomVapour(place) - humidity * saturationPressure(temperature);
  const inflow = leakage(place, temperature) * rise;
  return inflow > 0 ? room / inflow : Number.POSITIVE_INFINITY;
}
