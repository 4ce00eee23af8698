import type { Job, Print } from '../../job.ts';
import type { Draws } from '../draws.ts';
import { bendingStrain, type Sense, smallestRadius, type WindingSet } from '../feed/bend.ts';
import { strainAtBreak, type Toughness } from '../feed/break.ts';
import { coolingLength, heatLoss, temperatureAlong } from '../feed/cooling.ts';
import { modulusAt, pullBehindBend } from '../feed/pull.ts';
import { type Way, wayOf } from '../feed/way.ts';
import { waterOfShare } from '../moisture/polymer.ts';
import { courseOf } from './course.ts';
import { feedLevers } from './feed-levers.ts';
import type { Assessment, Link } from './link.ts';
import { atMiddle, polymerOf } from './spool-params.ts';
import { unknownsOf } from './unknowns.ts';
import { printsDone } from './weighings.ts';

/**
 * Link Feed: does the strand reach the extruder without snapping, and is there enough of it?
 *
 *   bend:   m = least of e_break/e over bends and over the prints    [feed-link-1]
 *   strand: m = strand left/(strand of all prints, purges and cuts)  [feed-link-2]
 *
 * The winding's radius, its water and its warmth come from Stay dry at each moment. Every bend is looked at twice: with
 * strand that runs, all metres so far having passed it, and with strand that has stood and is as cold as what is around
 * it, of which only the way up to the bend passes at each start.
 */

/** Strand that is cut off after it stood in the tube [m]: this, or all of the tube where that is longer. */
export const CUT_OFF = 2;

/** Where on the way the strand is bent: a name for each place, the straightening off the winding first. */
export function placesOfWay(way: Way): readonly string[] {
  return ['off the winding', ...way.bends.map((_, k) => `bend ${k + 1}`)];
}

/** The way with the values that stand on cards and in the campaign. */
export function nominalWay(job: Job): Way {
  return wayOf(job.kit.path, nominal(job, 'path.length'), nominal(job, 'path.tightest bend'));
}

function nominal(job: Job, key: string): number {
  const value = job.entries[key]?.value;
  if (typeof value !== 'number') throw new Error(`"${key}" has no single value`);
  return value;
}

export function senseOf(job: Job): Sense {
  const word = job.entries['path.way round']?.value;
  return word === 'with the winding' ? 1 : word === 'against the winding' ? -1 : 0;
}

export const feed: Link = {
  name: 'Feed',
  sections: ['kit', 'betweenPrints', 'prints', 'weighings'],
  after: ['Stay dry'],

  reads: (job) => unknownsOf(job, ['Dry', 'Stay dry', 'Feed']),

  assess(job: Job, draws: Draws, earlier, progress): Assessment {
    const before = earlier['Stay dry'];
    if (!before) throw new Error('the link Stay dry has not left its curves');
    const course = courseOf(job.prints);
    const { axis } = course;
    const points = axis.length;
    const count = draws.count;
    const row = (name: string, i: number) => before.traces[name]!.rows.subarray(i * points, (i + 1) * points);
    const sense = senseOf(job);
    const places = placesOfWay(nominalWay(job));
    const column = (fill = 0) => new Float64Array(count).fill(fill);
    const least = column(Number.POSITIVE_INFINITY);
    const strain = column();
    const marginTrace = new Float64Array(points * count).fill(Number.NaN);
    const pullTrace = new Float64Array(points * count).fill(Number.NaN);
    // Where the margin is least at each moment: what the strand is bent by there, and what would break it.
    const strainTrace = new Float64Array(points * count).fill(Number.NaN);
    const breakTrace = new Float64Array(points * count).fill(Number.NaN);
    const radiusTrace = new Float64Array(points * count);
    const figures: Record<string, Float64Array> = {
      'first place': column(),
      'first moment': column(),
      'first cold': column(),
      'strand needed': column(),
      'strand left': strandLeft(draws, before),
      'pull most': column(),
      'pull after a stop': column(),
      grip: draws.column('drive.grip'),
      'half warm after': column(),
    };
    for (const name of places)
      for (const [what, fill] of PLACE_FIGURES) figures[`${name}: ${what}`] = column(fill);

    for (let i = 0; i < count; i++) {
      progress(i / count);
      const truth = truthOf(job, draws, i);
      const { way, diameter } = truth;
      const outer = row('outer winding', i);
      const warmth = row('outer temperature', i);
      const radius = row('winding radius', i);
      radiusTrace.set(radius, points * i);
      const section = 0.25 * Math.PI * diameter * diameter;
      let passed = 0;
      let starts = 0;
      for (const { print, from, firstPoint, lastPoint } of course.legs) {
        if (print < 0) continue;
        const { flow, mass, time } = job.prints[print]!;
        const length = mass / (truth.nominalDensity * section);
        const reach = coolingLength({ ...truth.strand, speed: flow / section }, truth.loss);
        starts++;
        for (let k = firstPoint; k <= lastPoint; k++) {
          const water = waterOfShare(outer[k]!, truth.polymer.fibreShare);
          const set = { radius: radius[k]!, share: truth.setShare };
          const metres = passed + (length * (axis[k]! - from)) / time;
          const moment = look(truth, way, sense, set, water, warmth[k]!, reach, metres, starts);
          const at = k + points * i;
          for (const [p, name] of places.entries()) {
            const here = moment[p]!;
            const ofPlace = (what: string) => figures[`${name}: ${what}`]!;
            if (here.margin < ofPlace('margin')[i]!) {
              ofPlace('margin')[i] = here.margin;
              ofPlace('strain')[i] = here.strain;
              ofPlace('smallest radius')[i] = smallestRadius(diameter, here.breaks, set, sense);
            }
            if (k === lastPoint) {
              ofPlace('temperature running')[i] = here.running;
              ofPlace('temperature after a stop')[i] = here.stopped;
            }
            if (!(marginTrace[at]! <= here.margin)) {
              marginTrace[at] = here.margin;
              strainTrace[at] = here.strain;
              breakTrace[at] = here.breaks;
            }
            if (here.margin < least[i]!) {
              least[i] = here.margin;
              strain[i] = here.strain;
              figures['first place']![i] = p;
              figures['first moment']![i] = axis[k]!;
              figures['first cold']![i] = here.cold ? 1 : 0;
            }
          }
          pullTrace[at] = pullOf(truth, way, set, (p) => moment[p + 1]!.running);
          figures['pull most']![i] = Math.max(figures['pull most']![i]!, pullTrace[at]!);
          figures['pull after a stop']![i] = Math.max(
            figures['pull after a stop']![i]!,
            pullOf(truth, way, set, (p) => moment[p + 1]!.stopped),
          );
        }
        passed += length;
        figures['half warm after']![i] = reach * Math.LN2;
      }
      figures['strand needed']![i] = strandNeeded(job, truth, draws.column('path.purge')[i]!);
    }
    progress(1);
    const left = figures['strand left']!;
    const needed = figures['strand needed']!;
    return {
      checks: [
        {
          name: 'bend',
          answer: 'comes off',
          margin: least,
          quantity: 'bending strain',
          unit: '%',
          values: strain,
          limit: nominalBreak(job),
          side: 'at most',
        },
        {
          name: 'strand',
          answer: 'comes off',
          // Nothing more is needed once all prints are done.
          margin: left.map((kg, i) => kg / Math.max(needed[i]!, LEAST_NEEDED)),
          quantity: 'strand on the spool',
          unit: 'g',
          values: left,
          limit: nominalNeeded(job),
          side: 'at least',
        },
      ],
      traces: {
        'bend margin': { axis, rows: marginTrace },
        'bending strain': { axis, rows: strainTrace },
        'strain to break': { axis, rows: breakTrace },
        'winding radius': { axis, rows: radiusTrace },
        pull: { axis, rows: pullTrace },
      },
      figures,
    };
  },

  levers: feedLevers,
};

/** A gram: what counts as needed where no print is to come [kg]. */
const LEAST_NEEDED = 0.001;

/** What is kept of each place on the way, and what it starts with. */
const PLACE_FIGURES = [
  ['margin', Number.POSITIVE_INFINITY],
  ['strain', 0],
  ['smallest radius', 0],
  ['temperature running', 0],
  ['temperature after a stop', 0],
] as const;

/** One draw of everything that the way needs. */
type Truth = Readonly<{
  polymer: ReturnType<typeof polymerOf>;
  toughness: Toughness;
  way: Way;
  diameter: number;
  nominalDensity: number;
  density: number;
  strand: Readonly<{ diameter: number; density: number; heatCapacity: number }>;
  loss: number;
  room: number;
  setShare: number;
  modulus: number;
  modulusLeft: number;
  friction: number;
  inside: number;
  drag: number;
}>;

function truthOf(job: Job, draws: Draws, i: number): Truth {
  const at = (key: string) => draws.column(key)[i]!;
  const room = at('room.temperature');
  const warm = at('box.temperature');
  const diameter = at('strand.diameter');
  const polymer = polymerOf(draws, i, warm);
  const density = at('strand.density');
  return {
    polymer,
    toughness: {
      strainCold: at('strand.strain to break cold'),
      strainWarm: at('strand.strain to break warm'),
      offset: at('strand.offset of toughening'),
      width: at('strand.width of toughening'),
      scatter: at('strand.scatter of breaking'),
      length: at('strand.length the strain holds for'),
    },
    way: wayOf(job.kit.path, at('path.length'), at('path.tightest bend')),
    diameter,
    nominalDensity: nominal(job, 'strand.density'),
    density,
    strand: { diameter, density, heatCapacity: polymer.heatCapacity },
    loss: heatLoss(diameter, {
      inside: at('path.tube inside'),
      outside: at('path.tube outside'),
      conductivity: at('path.conductivity of tube'),
      airConductivity: atMiddle(draws, 'air.conductivity', warm, room),
      film: at('path.film on the tube'),
    }),
    room,
    setShare: at('strand.set from winding'),
    modulus: at('strand.stiffness of strand'),
    modulusLeft: at('strand.stiffness left at 65 C'),
    friction: at('path.friction'),
    inside: at('path.tube inside'),
    drag: at('path.drag of spool'),
  };
}

/** One place at one moment: strand that runs and strand that has stood, the worse of both. */
type Looked = {
  margin: number;
  strain: number;
  breaks: number;
  cold: boolean;
  running: number;
  stopped: number;
};

function look(
  truth: Truth,
  way: Way,
  sense: Sense,
  set: WindingSet,
  water: number,
  warmth: number,
  reach: number,
  metres: number,
  starts: number,
): Looked[] {
  const { polymer, toughness, diameter, room } = truth;
  const place = (strain: number, distance: number, inBox: boolean): Looked => {
    const running = inBox ? warmth : temperatureAlong(warmth, room, distance, reach);
    const stopped = inBox ? warmth : room;
    const breaksRunning = strainAtBreak(polymer, toughness, running, water, metres);
    // Of strand that has stood, as much passes at each start as lies before the bend.
    const breaksCold = inBox
      ? breaksRunning
      : strainAtBreak(polymer, toughness, stopped, water, starts * distance);
    const cold = breaksCold < breaksRunning;
    const breaks = Math.min(breaksRunning, breaksCold);
    return { margin: breaks / strain, strain, breaks, cold, running, stopped };
  };
  return [
    place(bendingStrain(diameter, Number.POSITIVE_INFINITY, set, sense), 0, true),
    ...way.bends.map((bend) =>
      place(bendingStrain(diameter, bend.radius, set, sense), bend.distance, bend.inBox),
    ),
  ];
}

/** Pull at the drive [N] with the temperatures that the bends have. */
function pullOf(truth: Truth, way: Way, set: WindingSet, temperatureAt: (bend: number) => number): number {
  const { diameter, inside, friction } = truth;
  return way.bends.reduce((tension, bend, p) => {
    const modulus = modulusAt(truth.modulus, truth.modulusLeft, temperatureAt(p));
    return pullBehindBend(tension, bend.radius, bend.angle, { modulus, diameter, inside, friction }, set);
  }, truth.drag);
}

/** Prints still to come: all, or those after the last reading of the scale. */
export function printsToCome(job: Pick<Job, 'prints' | 'weighings'>): readonly Print[] {
  return job.prints.slice(printsDone(job));
}

/** Waits to come after which the end is cut off. */
export function cutsOf(job: Job): number {
  const waits = Math.min(printsToCome(job).length, job.prints.length - 1);
  return job.betweenPrints === 'cut off' ? Math.max(0, waits) : 0;
}

/** On the spool at its last reading [kg]; before the first print all of it. */
function strandLeft(draws: Draws, before: Assessment): Float64Array {
  const taken = before.figures['strand taken']!;
  return draws.column('spool.strand left').map((kg, i) => Math.max(0, kg - taken[i]!));
}

/** Strand of all prints to come, a purge at each start and what is cut off [kg]. */
function strandNeeded(job: Job, truth: Truth, purge: number): number {
  const { way, diameter, density } = truth;
  const prints = printsToCome(job);
  const printed = prints.reduce((sum, { mass }) => sum + mass, 0) * (density / truth.nominalDensity);
  const cut = cutsOf(job) * Math.max(CUT_OFF, way.length) * density * 0.25 * Math.PI * diameter * diameter;
  return printed + prints.length * purge + cut;
}

/** The same with the values of cards and campaign: what the limit on the screen says [kg]. */
export function nominalNeeded(job: Job): number {
  const diameter = nominal(job, 'strand.diameter');
  const density = nominal(job, 'strand.density');
  const prints = printsToCome(job);
  const printed = prints.reduce((sum, { mass }) => sum + mass, 0);
  const cut = Math.max(CUT_OFF, nominal(job, 'path.length')) * density * 0.25 * Math.PI * diameter * diameter;
  return printed + prints.length * nominal(job, 'path.purge') + cutsOf(job) * cut;
}

/** Strain at which cold strand of the cards breaks over all metres of the campaign: the limit on the screen. */
function nominalBreak(job: Job): number {
  const diameter = nominal(job, 'strand.diameter');
  const metres =
    job.prints.reduce((sum, { mass }) => sum + mass, 0) /
    (nominal(job, 'strand.density') * 0.25 * Math.PI * diameter * diameter);
  const length = nominal(job, 'strand.length the strain holds for');
  const cold = nominal(job, 'strand.strain to break cold');
  return cold * Math.min(1, length / metres) ** (1 / nominal(job, 'strand.scatter of breaking'));
}
