import type { Job } from '../../job.ts';
import type { Draws } from '../draws.ts';
import { waterAfterTube } from '../feed/uptake.ts';
import { Refusal } from '../kernel.ts';
import { desiccantBudget, desiccantRoom, type HeatCap } from '../moisture/advice.ts';
import { floorOfPlace, type Place } from '../moisture/place.ts';
import { balanceHumidity, type Polymer, strandShare, waterOfShare } from '../moisture/polymer.ts';
import { columnOf, makeOutcome, type Outcome, type Plan, type Stretch, simulate } from '../moisture/spool.ts';
import { makeScratch, makeState, stateWidth, unpackState } from '../moisture/spool-state.ts';
import { type Course, courseOf } from './course.ts';
import { capOf } from './heat-limits.ts';
import type { Assessment, Check, Link } from './link.ts';
import { GRID, placeOf, polymerOf, windingOf } from './spool-params.ts';
import { stayDryLevers } from './stay-dry-levers.ts';
import { unknownsOf } from './unknowns.ts';
import { weighedStrand } from './weighed-strand.ts';
import { printsDone } from './weighings.ts';

/**
 * Link Stay dry: does the strand stay so until the last layer, in its box and its tube?
 *
 *   m = L/w, w the greatest water of the strand that reaches the nozzle, over all prints   [stay-dry-1]
 *
 * The spool goes on from the state in which the drying left it: into its box, through waits and prints in their order,
 * the strand of each print drawn off the outside. What reaches the nozzle is the outer winding with what the tube adds
 * on the way [feed-10]; the strand that stood in the tube since the print before comes first. Where the spool was
 * weighed before and after a print, the print takes what the scale says [feed-13].
 */

/**
 * Steps in the box [s]: short after it was closed, longer as less changes. Against steps of a minute the greatest water
 * at the nozzle differs by 0.2 %, that of a single moment by up to 2.5 % (first hours in an open room).
 */
const STEP = 150;
const GROWTH = 1.15;
const STEP_WAIT_MOST = 3600;
const STEP_PRINT = 300;
const STEP_PRINT_MOST = 1800;
/** A spool that nothing is printed from is followed this far [s], with steps up to a quarter of a day. */
export const LEFT_ALONE = 14 * 86_400;
const STEP_ALONE_MOST = 6 * 3600;

export const stayDry: Link = {
  name: 'Stay dry',
  sections: ['betweenPrints', 'prints', 'drying', 'weighings'],
  after: ['Dry'],

  reads: (job) => unknownsOf(job, ['Dry', 'Stay dry']),

  assess(job: Job, draws: Draws, earlier, progress): Assessment {
    const dried = earlier.Dry?.carried?.['dried spool'];
    if (!dried) throw new Error('the link Dry has not left its spool');
    if (draws.entry('box.heated by').value === 'bed')
      throw new Refusal(
        'The strand cannot be fed from a bed that prints: name a box, or a dryer that stands beside the machine.',
      );
    const course = courseOf(job.prints);
    const { axis, leg } = course;
    const points = axis.length;
    const count = draws.count;
    const column = () => new Float64Array(count);
    const rows = () => new Float64Array(points * count);
    const traces = {
      outer: rows(),
      nozzle: rows(),
      humidity: rows(),
      temperature: rows(),
      radius: rows(),
      lighter: rows(),
    };
    const greatest = column();
    const figures = {
      'water at the start': column(),
      'added in the tube': column(),
      'water after standing': column(),
      'water at the end': column(),
      'hours to visible': column(),
      'hours to strict': column(),
      floor: column(),
      'desiccant room': column(),
      'desiccant time': column(),
      'water balance': column(),
      'heat balance': column(),
      'strand drawn': column(),
      'strand lacking': column(),
      'strand taken': column(),
    };
    const strict = draws.column('limits.strict');
    const visible = draws.column('limits.visible');
    const density = draws.column('strand.density');
    const nominalDensity = draws.entry('strand.density').value as number;
    const overCap = overBoxCap(job);
    const done = printsDone(job);
    const scratch = makeScratch(GRID);
    const start = makeState(GRID);
    let outcome: Outcome | undefined;
    let alone: Outcome | undefined;
    for (let i = 0; i < count; i++) {
      progress(i / count);
      const place = placeOf(draws, i, 'box', overCap);
      const warm = place.mode === 'air' ? place.airTemperature : place.surroundings;
      const polymer = polymerOf(draws, i, warm);
      const spool = { polymer, winding: windingOf(draws, i, warm), water: 0, temperature: 0 };
      unpackState(dried.rows, i * stateWidth(GRID), start);

      const weighed = weighedStrand(job, earlier.Dry!, i);
      const strandOf = (print: number) =>
        weighed[print] ?? (job.prints[print]!.mass * density[i]!) / nominalDensity;
      const plan = planOf(course, place, strandOf);
      outcome ??= makeOutcome(plan, GRID);
      simulate(spool, plan, scratch, outcome, start);
      traces.outer.set(columnOf(outcome, 'outer'), i * points);
      traces.humidity.set(columnOf(outcome, 'airHumidity'), i * points);
      traces.temperature.set(columnOf(outcome, 'outerTemperature'), i * points);
      traces.radius.set(columnOf(outcome, 'outerRadius'), i * points);
      traces.lighter.set(columnOf(outcome, 'lighter'), i * points);
      const nozzle = nozzleWater(job, draws, i, polymer, course, columnOf(outcome, 'outer'));
      traces.nozzle.set(nozzle.water, i * points);
      let most = 0;
      for (let k = 0; k < points; k++)
        if (course.legs[leg[k]!]!.print >= 0) most = Math.max(most, nozzle.water[k]!);
      greatest[i] = most;
      let taken = 0;
      for (let print = 0; print < done; print++) taken += strandOf(print);
      figures['strand taken'][i] = taken;
      figures['water at the start'][i] = traces.outer[i * points]!;
      figures['added in the tube'][i] = nozzle.added;
      figures['water after standing'][i] = nozzle.stood;
      figures['water at the end'][i] = traces.outer[i * points + points - 1]!;
      figures['water balance'][i] = outcome.waterBalance;
      figures['heat balance'][i] = outcome.heatBalance;
      figures['strand drawn'][i] = outcome.drawn.strand;
      figures['strand lacking'][i] = outcome.drawn.lacking;

      const leftAlone: Plan = {
        stretches: [{ place, time: LEFT_ALONE, step: STEP, growth: GROWTH, stepMost: STEP_ALONE_MOST }],
        limits: [visible[i]!, strict[i]!],
      };
      alone ??= makeOutcome(leftAlone, GRID);
      simulate(spool, leftAlone, scratch, alone, start);
      figures['hours to visible'][i] = alone.wetAfter[0]!;
      figures['hours to strict'][i] = alone.wetAfter[1]!;
      figures.floor[i] = floorOfPlace(polymer, warm, place.roomTemperature, place.roomHumidity);
      const limit = balanceHumidity(polymer, warm, waterOfShare(strict[i]!, polymer.fibreShare));
      figures['desiccant room'][i] = desiccantRoom(place, limit);
      figures['desiccant time'][i] = desiccantBudget(place, warm, limit);
    }
    progress(1);
    const check = (name: string, answer: Check['answer'], limit: Float64Array): Check => ({
      name,
      answer,
      margin: greatest.map((water, i) => limit[i]! / water),
      quantity: 'water at the nozzle',
      unit: 'wt %',
      values: greatest,
      limit: draws.entry(`limits.${name}`).value as number,
      side: 'at most',
    });
    return {
      checks: [check('visible', 'comes off', visible), check('strict', 'counts', strict)],
      traces: {
        'outer winding': { axis, rows: traces.outer },
        nozzle: { axis, rows: traces.nozzle },
        'air humidity': { axis, rows: traces.humidity },
        'outer temperature': { axis, rows: traces.temperature },
        'winding radius': { axis, rows: traces.radius },
        lighter: { axis, rows: traces.lighter },
      },
      figures,
    };
  },

  levers: stayDryLevers,
};

/** Waits and prints in the box as stretches of one plan; `strandOf` gives the dry strand of a print [kg]. */
function planOf(course: Course, place: Place, strandOf: (print: number) => number): Plan {
  return {
    stretches: course.legs.map(
      ({ print, from, to }, k): Stretch => ({
        place,
        time: to - from,
        step: k === 0 ? STEP : STEP_PRINT,
        growth: GROWTH,
        stepMost: print < 0 ? STEP_WAIT_MOST : STEP_PRINT_MOST,
        goesOn: k > 0,
        ...(print < 0 ? {} : { drawn: strandOf(print) }),
      }),
    ),
    samples: Array.from(course.axis),
  };
}

/** Highest temperature at which the spool may stand in its box, and what rules. */
export function boxCap(job: Job): HeatCap {
  return capOf(job, null);
}

/** How far a box is set above that [K]: it is computed as much cooler. */
function overBoxCap(job: Job): number {
  const entry = job.entries['box.temperature'];
  return typeof entry?.value === 'number' && entry.law.kind !== 'follows'
    ? Math.max(0, entry.value - boxCap(job).temperature)
    : 0;
}

/**
 * Water of the strand that reaches the nozzle at each moment (NaN while waiting), what the tube adds at most to running
 * strand, and the wettest of the strand that stood in the tube, 0 where none did; shares of the strand.
 */
function nozzleWater(
  job: Job,
  draws: Draws,
  i: number,
  polymer: Polymer,
  course: Course,
  outer: Float64Array,
): { water: Float64Array; added: number; stood: number } {
  const diameter = draws.column('strand.diameter')[i]!;
  const length = draws.column('path.length')[i]!;
  const air = {
    temperature: draws.column('room.temperature')[i]!,
    humidity: draws.column('room.humidity')[i]!,
  };
  const after = (share: number, time: number) =>
    strandShare(
      waterAfterTube(polymer, air, waterOfShare(share, polymer.fibreShare), diameter, time),
      polymer.fibreShare,
    );
  const stands = (job.betweenPrints ?? 'left in the tube') === 'left in the tube';
  const water = new Float64Array(outer.length).fill(Number.NaN);
  let added = 0;
  let stood = 0;
  let before: { end: number; outer: number } | null = null;
  for (const { print, from, to, firstPoint, lastPoint } of course.legs) {
    if (print < 0) continue;
    const speed = job.prints[print]!.flow / (0.25 * Math.PI * diameter * diameter);
    for (let k = firstPoint; k <= lastPoint; k++) {
      water[k] = after(outer[k]!, length / speed);
      added = Math.max(added, water[k]! - outer[k]!);
    }
    if (before !== null && stands) {
      const first = after(before.outer, from - before.end);
      water[firstPoint] = Math.max(water[firstPoint]!, first);
      stood = Math.max(stood, first);
    }
    before = { end: to, outer: outer[lastPoint]! };
  }
  return { water, added, stood };
}
