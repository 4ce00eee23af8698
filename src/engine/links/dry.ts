import type { Job } from '../../job.ts';
import type { Draws } from '../draws.ts';
import type { HeatCap } from '../moisture/advice.ts';
import { floorOfPlace } from '../moisture/place.ts';
import { waterOfShare } from '../moisture/polymer.ts';
import { columnOf, makeOutcome, type Plan, type Stretch, simulate } from '../moisture/spool.ts';
import { makeScratch, packState, stateWidth } from '../moisture/spool-state.ts';
import { capOf, limitSaid } from './heat-limits.ts';
import type { Assessment, Check, Lever, Link } from './link.ts';
import { GRID, placeOf, polymerOf, windingOf } from './spool-params.ts';
import { unknownsOf } from './unknowns.ts';

/**
 * Link Dry: is the spool dry enough at the start of the first print, everywhere in the winding?
 *
 *   m = min(L/w_mean, 1.5 L/w_worst) at the end of the drying, L the visible or the strict limit   [dry-1]
 *
 * The spool is followed from its opening through its days in room or box and through its drying; then the drying is
 * carried on, so that the hours that would be enough are known too.
 */

/** Steps for ensembles; docs/equations/moisture.md tells what they cost in accuracy. */
const STEP_HOT = 240;
const STEP_ROOM = 600;
const STEP_ROOM_MOST = 3600;
/** After the planned drying steps grow by this up to that: time to the limits within 1 % of even steps (tested). */
const GROWTH_AFTER = 1.05;
const STEP_AFTER_MOST = 900;
const GROWTH_ROOM = 1.15;
/** Drying is carried on to this time from its start: longer is "not within 48 h" [s]. */
export const CARRIED_ON = 48 * 3600;
/** Points of the curves people see. */
const POINT_EVERY = 1800;

/** Times of the curves since the drying began [s]. */
export function dryAxis(job: Job): Float64Array {
  const until = Math.max(CARRIED_ON, job.drying.time);
  return Float64Array.from({ length: Math.floor(until / POINT_EVERY) + 1 }, (_, k) => k * POINT_EVERY);
}

/** When the spool is turned over while it dries, up to a time [s]. */
export function flipsUntil(job: Job, time: number): number[] {
  const every = job.drying.flipEvery;
  if (every === null || every <= 0) return [];
  return Array.from({ length: Math.max(0, Math.ceil(time / every) - 1) }, (_, k) => (k + 1) * every);
}

export const dry: Link = {
  name: 'Dry',
  sections: ['sinceOpened', 'drying'],

  reads(job) {
    return unknownsOf(job, ['Dry']);
  },

  assess(job: Job, draws: Draws, _, progress): Assessment {
    const axis = dryAxis(job);
    const count = draws.count;
    const mean = new Float64Array(axis.length * count);
    const worst = new Float64Array(axis.length * count);
    const lost = new Float64Array(axis.length * count);
    const figures = {
      'start water': new Float64Array(count),
      'mean water': new Float64Array(count),
      'worst water': new Float64Array(count),
      'time to visible': new Float64Array(count),
      'time to strict': new Float64Array(count),
      floor: new Float64Array(count),
      'water balance': new Float64Array(count),
      'heat balance': new Float64Array(count),
    };
    const strict = draws.column('limits.strict');
    const visible = draws.column('limits.visible');
    const over = draws.column('limits.worst over limit');
    const scratch = makeScratch(GRID);
    const width = stateWidth(GRID);
    const dried = new Float64Array(width * count);
    const inPlaces = job.sinceOpened.map((stay) => draws.over(stay.entries));
    const opened = draws.entry('spool.hours open').value as number;
    const set = draws.entry('dryer.temperature').value as number;
    const overCap = Math.max(0, set - dryingCap(job).temperature);
    let outcome: ReturnType<typeof makeOutcome> | undefined;
    for (let i = 0; i < count; i++) {
      progress(i / count);
      const place = placeOf(draws, i, 'dryer', overCap);
      const warm = place.mode === 'bed' ? place.bedTemperature : place.airTemperature;
      const polymer = polymerOf(draws, i, warm);
      const stretch = opened > 0 ? draws.column('spool.hours open')[i]! / opened : 0;
      const stays = job.sinceOpened.map(
        (stay, k): Stretch => ({
          place: placeOf(
            stay.in === 'dryer' ? draws : inPlaces[k]!,
            i,
            stay.in === 'dryer' ? 'dryer' : 'box',
          ),
          time: stay.time * stretch,
          step: STEP_ROOM,
          growth: GROWTH_ROOM,
          stepMost: STEP_ROOM_MOST,
        }),
      );
      const began = stays.reduce((sum, stay) => sum + stay.time, 0);
      const { time } = job.drying;
      const until = axis.at(-1)!;
      const plan: Plan = {
        stretches: [
          ...stays,
          { place, time, flips: flipsUntil(job, time), step: STEP_HOT },
          {
            place,
            time: until - time,
            flips: flipsUntil(job, until).flatMap((at) => (at >= time && time > 0 ? [at - time] : [])),
            step: STEP_HOT,
            growth: GROWTH_AFTER,
            stepMost: STEP_AFTER_MOST,
            goesOn: true,
          },
        ],
        samples: Array.from(axis, (t) => began + t),
        targets: [visible[i]!, strict[i]!],
        worstOver: over[i]!,
        clockFrom: stays.length,
        keepAfter: stays.length,
      };
      outcome ??= makeOutcome(plan, GRID);
      const room = draws.column('room.temperature')[i]!;
      const share = draws.column('spool.water from the bag')[i]!;
      const spool = {
        polymer,
        winding: windingOf(draws, i, warm),
        water: waterOfShare(share, polymer.fibreShare),
        temperature: room,
      };
      simulate(spool, plan, scratch, outcome);
      packState(outcome.kept, dried, i * width);
      const curves = {
        mean: columnOf(outcome, 'mean'),
        worst: columnOf(outcome, 'worst'),
        lost: columnOf(outcome, 'lost'),
      };
      mean.set(curves.mean, i * axis.length);
      worst.set(curves.worst, i * axis.length);
      const start = curves.lost[0]!;
      lost.set(
        curves.lost.map((kg) => kg - start),
        i * axis.length,
      );
      const end = outcome.ends[stays.length]!;
      figures['start water'][i] = curves.mean[0]!;
      figures['mean water'][i] = end.mean;
      figures['worst water'][i] = end.worst;
      figures['time to visible'][i] = outcome.dryAfter[0]!;
      figures['time to strict'][i] = outcome.dryAfter[1]!;
      figures.floor[i] = floorOfPlace(polymer, end.temperatureMean, room, place.roomHumidity);
      figures['water balance'][i] = outcome.waterBalance;
      figures['heat balance'][i] = outcome.heatBalance;
    }
    progress(1);
    const nominal = (key: string) => draws.entry(key).value as number;
    const check = (name: string, answer: Check['answer'], limit: Float64Array, of: number): Check => {
      const byMean = limit.map((L, i) => L / figures['mean water'][i]!);
      const byWorst = limit.map((L, i) => (over[i]! * L) / figures['worst water'][i]!);
      return {
        name,
        answer,
        margin: byMean.map((m, i) => Math.min(m, byWorst[i]!)),
        quantity: 'water that decides',
        unit: 'wt %',
        values: figures['mean water'].map((w, i) => Math.max(w, figures['worst water'][i]! / over[i]!)),
        limit: of,
        side: 'at most',
      };
    };
    return {
      checks: [
        check('visible', 'comes off', visible, nominal('limits.visible')),
        check('strict', 'counts', strict, nominal('limits.strict')),
      ],
      traces: { mean: { axis, rows: mean }, worst: { axis, rows: worst }, lost: { axis, rows: lost } },
      figures,
      carried: { 'dried spool': { width, rows: dried } },
    };
  },

  levers: dryLevers,
};

/** Hours of drying that a person thinks in. */
const HOUR = 3600;
/** Turning a spool over, and setting another time or temperature [s]. */
const HANDS_FLIP = 180;
const HANDS_SET = 60;

function dryLevers(job: Job): readonly Lever[] {
  const { time, flipEvery } = job.drying;
  // A short drying has the same next whole hour for several factors.
  const most = longestWatch(job);
  const hours = new Set(
    [1.5, 2, 3]
      .map((factor) => Math.min(Math.ceil((time * factor) / HOUR), Math.floor(most / HOUR)))
      .filter((next) => next * HOUR > time),
  );
  const longer = [...hours].map(
    (next): Lever => ({
      id: 'longer',
      changes: [{ path: 'kit.dryer.for', value: next * HOUR, unit: 'h' }],
      hands: HANDS_SET + HANDS_FLIP,
      bought: false,
    }),
  );
  const flip: Lever[] =
    flipEvery === null
      ? [
          {
            id: 'flip',
            changes: [{ path: 'kit.dryer.flip', value: 'half way', unit: '' }],
            hands: HANDS_FLIP,
            bought: false,
          },
        ]
      : [];
  return [...flip, ...longer, ...hotter(job), ...otherDryers(job)];
}

/**
 * Longest drying that may be offered [s]: under a cover on a hot bed only while somebody is there, so no longer than
 * the longest stretch of attended hours. A firm default for safety.
 */
export function longestWatch(job: Job): number {
  const onBed = job.entries['dryer.heated by']?.value === 'bed';
  const there = job.people?.there ?? [];
  if (!onBed || there.length === 0) return Number.POSITIVE_INFINITY;
  return Math.max(...there.map(({ from, to }) => to - from));
}

/** Ten kelvin more, never above the least of the limits that are known, and none above 70 C where one is not known. */
function hotter(job: Job): Lever[] {
  const now = job.entries['dryer.temperature']?.value;
  const cap = dryingCap(job);
  if (typeof now !== 'number' || cap.temperature < now + 10) return [];
  return [
    {
      id: 'hotter',
      changes: [{ path: 'kit.dryer.at', value: now + 10, unit: 'C' }],
      hands: HANDS_SET,
      bought: false,
    },
  ];
}

/** Highest temperature at which this spool may dry, and what rules; a limit nobody knows counts as 70 C. */
export function dryingCap(job: Job): HeatCap {
  const onBed = job.entries['dryer.heated by']?.value === 'bed';
  return capOf(job, onBed ? limitSaid(job, 'printer.limit of bed') : null);
}

/** Other ways to dry that the card drawer holds, where the spool stands the heat they are sold with. */
function otherDryers(job: Job): Lever[] {
  const now = job.entries['dryer.temperature']?.card.replace('dryer/', '');
  const cap = dryingCap(job).temperature;
  const swap: Readonly<Record<string, readonly [string, boolean][]>> = {
    'bed-under-plastic-cover': [
      ['bed-under-card-cover', false],
      ['fan-oven', true],
    ],
    'bed-under-card-cover': [['fan-oven', true]],
    'dryer-closed': [
      ['dryer-vented', false],
      ['fan-oven', true],
    ],
    'dryer-vented': [['fan-oven', true]],
  };
  const set = job.entries['dryer.temperature']?.value;
  return (swap[now ?? ''] ?? []).flatMap(([card, bought]) => {
    const at = typeof set === 'number' ? Math.min(set, cap) : cap;
    return [
      {
        id: card,
        changes: [
          { path: 'kit.dryer.card', value: card, unit: '' },
          { path: 'kit.dryer.at', value: at, unit: 'C' },
        ],
        hands: HANDS_SET,
        bought,
      },
    ];
  });
}
