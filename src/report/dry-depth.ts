import { CARRIED_ON, dryingCap, flipsUntil, longestWatch } from '../engine/links/dry.ts';
import { lostAt, weightsOfWeighings } from '../engine/links/dry-weights.ts';
import type { Assessment } from '../engine/links/link.ts';
import type { HeatCap } from '../engine/moisture/advice.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { Job } from '../job.ts';
import { fromSi, showNumber, showQuantity, showRange, showSpan, showUnit, writeQuantity } from '../units.ts';
import type { DryDepth } from './views.ts';

/** The link Dry in depth: curves, hours needed, what the scale should show, advice and cautions, in words. */
export function dryDepth(job: Job, found: Assessment, weights: Float64Array): DryDepth {
  const { drying } = job;
  const flips = flipsUntil(job, drying.time);
  return {
    hours: Array.from(found.traces['mean']!.axis, (t) => t / 3600),
    mean: band(found, 'mean', weights),
    worst: band(found, 'worst', weights),
    plannedHours: drying.time / 3600,
    flips: flips.map((t) => t / 3600),
    limits: limitsOf(job),
    needed: neededWords(job, found, weights),
    scale: scaleRows(job, found, weights),
    advice: adviceOf(job, found, weights),
    cautions: cautionsOf(job),
    weak: WEAK,
    levers: leversOf(job),
  };
}

function band(found: Assessment, name: string, weights: Float64Array) {
  const { axis, rows } = found.traces[name]!;
  const points = axis.length;
  const column = new Float64Array(weights.length);
  const at = (p: number) =>
    Array.from(axis, (_, k) => {
      for (let i = 0; i < weights.length; i++) column[i] = rows[k + points * i]!;
      return 100 * weightedQuantile(column, weights, p);
    });
  return { low: at(0.05), median: at(0.5), high: at(0.95) };
}

function nominal(job: Job, key: string): number {
  const value = job.entries[key]?.value;
  if (typeof value !== 'number') throw new Error(`"${key}" has no single value`);
  return value;
}

function limitsOf(job: Job): DryDepth['limits'] {
  return (['strict', 'visible'] as const).map((name) => {
    const value = nominal(job, `limits.${name}`);
    return { name, water: 100 * value, label: `${name} ${showNumber(100 * value, 2)}${showUnit('wt %')}` };
  });
}

/** "To the strict limit: 31 h for half of the runs, 46 h for 9 in 10." A time outside 48 h is told as such. */
function neededWords(job: Job, found: Assessment, weights: Float64Array): string[] {
  const within = `within ${showSpan(CARRIED_ON)}`;
  const time = (seconds: number) =>
    Number.isFinite(seconds) ? showSpan(Math.ceil(seconds / 1800) * 1800) : null;
  const sentences = (['visible', 'strict'] as const).map((limit) => {
    const column = found.figures[`time to ${limit}`]!;
    const half = time(weightedQuantile(column, weights, 0.5));
    const most = time(weightedQuantile(column, weights, 0.9));
    if (half === null) return `To the ${limit} limit: not ${within} for half of the runs, in this place.`;
    if (most === null)
      return `To the ${limit} limit: ${half} for half of the runs, not ${within} for 9 in 10.`;
    return `To the ${limit} limit: ${half} for half of the runs, ${most} for 9 in 10.`;
  });
  const heated = ninths(found.figures['floor']!, weights, 'wt %').whole;
  sentences.push(
    `However long: this place with this room's air cannot go below ${heated}, and a spool left in it ends there.`,
  );
  if (job.drying.flipEvery !== null)
    sentences.push(`The spool is turned over every ${showSpan(job.drying.flipEvery)}.`);
  return sentences;
}

/** Grams lost at quarters of the drying, or at the times it was weighed, and what the readings say back. */
function scaleRows(job: Job, found: Assessment, weights: Float64Array): DryDepth['scale'] {
  const [first, ...later] = job.drying.weighings;
  const times =
    later.length > 0
      ? later.map((weighing) => weighing.at)
      : QUARTERS.map((share) => share * job.drying.time).filter((t) => t > 0);
  const from = later.length > 0 ? first!.at : 0;
  // What was foretold before anything was weighed: the readings have not moved it.
  const even = new Float64Array(weights.length).fill(1);
  return times.map((t, k) => {
    const lost = Float64Array.from(weights, (_, i) => lostAt(found, i, t) - lostAt(found, i, from));
    const reading = later[k];
    return {
      at: `after ${showSpan(t)}`,
      predicted: `${ninths(lost, even, 'g').whole} less`,
      seen: reading ? `${showQuantity(first!.mass - reading.mass, 'g', 3)} less` : null,
      says: reading && k === later.length - 1 ? saysBack(job, found, weights) : null,
    };
  });
}
const QUARTERS = [0.25, 0.5, 0.75, 1];

/** "That tells the start, 0.37 wt % (0.30 to 0.45), not the rest: left at the end 0.16 (0.09 to 0.26), as before ..." */
function saysBack(job: Job, found: Assessment, weights: Float64Array): string {
  const told = weightsOfWeighings(job, found);
  if (!told?.believable)
    return 'No run agrees with this: the spool does not behave like this strand, or a weighing is off. Two figures swapped? The figures stay as they were.';
  const even = new Float64Array(weights.length).fill(1);
  const start = found.figures['start water']!;
  const left = found.figures['mean water']!;
  const coarse =
    told.effective < COARSE_UNDER
      ? ` Only about ${Math.max(1, Math.round(told.effective))} of ${weights.length} runs agree with it: these figures are coarse.`
      : '';
  return `That tells the start, ${ninths(start, weights, 'wt %').whole}, before ${ninths(start, even, 'wt %').whole}. Left at the end: ${ninths(left, weights, 'wt %').whole}, before ${ninths(left, even, 'wt %').whole}: a weight tells the start more than the rest.${coarse}`;
}
/** Fewer equal draws than this say too little for two digits. */
const COARSE_UNDER = 30;

function ninths(column: Float64Array, weights: Float64Array, unit: string) {
  const [low, median, high] = [0.05, 0.5, 0.95].map((p) => weightedQuantile(column, weights, p)) as [
    number,
    number,
    number,
  ];
  return showRange({ median, low, high }, unit);
}

function adviceOf(job: Job, found: Assessment, weights: Float64Array): string[] {
  const advice: string[] = [];
  const card = job.entries['dryer.temperature']?.card ?? '';
  const bed = job.entries['dryer.heated by']?.value === 'bed';
  if (card.endsWith('bed-under-plastic-cover'))
    advice.push(
      'A tight plastic cover keeps the water in: drying all but stops. Use a card cover, or open a gap.',
    );
  if (card.endsWith('dryer-closed'))
    advice.push(
      'This dryer has no vent: it warms the spool and keeps the water. Open it a gap, or air it every half hour.',
    );
  if (bed && job.drying.flipEvery === null && job.drying.time > 0)
    advice.push(
      `Turn the spool over after about ${showSpan(job.drying.time / 2)}: the upper windings stay cold and take up water from the lower ones.`,
    );
  if (bed && job.drying.flipEvery !== null) {
    const flips = flipsUntil(job, job.drying.time).map((t) => showSpan(t));
    if (flips.length > 0)
      advice.push(`Turn the spool over after ${flips.join(', ')}. Up to 4 h late does no harm.`);
  }
  const rise = maxRise(found, weights);
  if (rise > 0.0002)
    advice.push(
      'In the first hours the wettest winding can grow wetter than the start: heat drives water to the cold side. That is no error.',
    );
  advice.push(
    'Weigh within 10 min of taking it out; more than 0.1 g is not gained in that time. A board under a hot spool keeps its warmth off the scale.',
    'Right after its best drying, weigh the spool once more: that dry weight of this very spool is what makes every later weighing tell the water left.',
  );
  return advice;
}

function maxRise(found: Assessment, weights: Float64Array): number {
  const { median } = band(found, 'worst', weights);
  return (Math.max(...median) - median[0]!) / 100;
}

function cautionsOf(job: Job): DryDepth['cautions'] {
  const cautions: DryDepth['cautions'] = [];
  const set = nominal(job, 'dryer.temperature');
  const cap = dryingCap(job);
  const used = Math.min(set, cap.temperature);
  const at = showQuantity(used, 'C', 3);
  const whose = job.entries['dryer.temperature']?.from === 'campaign' ? 'that you set' : 'that are usual';
  if (set > cap.temperature)
    cautions.push({
      hazard: `Computed at ${at}, not at the ${showQuantity(set, 'C', 3)} ${whose}.`,
      words: CAP_WORDS[cap.ruledBy],
    });
  const watch = longestWatch(job);
  if (job.drying.time > watch)
    cautions.push({
      hazard: `${showSpan(job.drying.time)} on the bed do not fit into your hours.`,
      words: `You are there ${showSpan(watch)} on end at most, and a cover on a hot bed is not left alone. Dry it shorter, or in an oven or dryer whose manual allows it.`,
    });
  if (job.entries['dryer.heated by']?.value === 'bed') {
    cautions.push({
      hazard: `Bed ${at}. It burns through thin gloves.`,
      words:
        "Keep cover and spool clear of the heater and of any flame. Dry under a cover only while you are there. Follow the machine's manual and your local rules.",
    });
  } else {
    cautions.push({
      hazard: `Oven or dryer at ${at}.`,
      words:
        'Gloves for the spool. Never an oven that food goes into. Left alone only where its manual allows it. Air the room: warm polyamide gives off fumes.',
    });
  }
  return cautions;
}

/** Why a drying is not computed as hot as it was set. */
const CAP_WORDS: Readonly<Record<HeatCap['ruledBy'], string>> = {
  'strand limit not known':
    'Nothing above 70 °C while nobody has said what strand and spool stand. Ask their makers, and say it as "dry at most".',
  'spool limit not known':
    'Nothing above 70 °C while nobody has said what strand and spool stand. Ask their makers, and say it as "dry at most".',
  strand: 'Strand and spool stand no more.',
  spool: 'Strand and spool stand no more.',
  device: "The bed goes no higher by its machine's manual.",
};

/** What the model leaves out: said on the screen that shows its numbers. */
const WEAK: string[] = [
  'How fast water moves at 70 to 90 °C rests on processing practice, not on a table: half as fast again, or slower by that, moves the hours needed by 10 to 20 %.',
  'No measured drying of a spool has been compared with this model. Your first one, with weighings, outranks every number here.',
  'How much covers leak, how well the flange touches the bed and how open the winding is are guesses; weighings narrow them only partly.',
  'Left out: air streaming through the winding, hysteresis, change of the crystals.',
];

function leversOf(job: Job): DryDepth['levers'] {
  const { drying } = job;
  const card = (job.entries['dryer.temperature']?.card ?? '').replace('dryer/', '');
  return [
    {
      label: 'How it is dried',
      path: 'kit.dryer.card',
      value: card,
      hint: '',
      choices: DRYERS.map(([value, label]) => ({ value, label })),
    },
    {
      label: 'Dry for, h',
      path: 'kit.dryer.for',
      value: writeQuantity(drying.time, 'h'),
      hint: 'such as 12 h',
      choices: null,
    },
    {
      label: 'At, °C',
      path: 'kit.dryer.at',
      value: writeQuantity(nominal(job, 'dryer.temperature'), 'C'),
      hint: `at most ${showQuantity(dryingCap(job).temperature, 'C', 3)}`,
      choices: null,
    },
    {
      label: 'Turn it over',
      path: 'kit.dryer.flip',
      value: drying.flipEvery === null ? 'no' : `every ${fromSi(drying.flipEvery, 'h')} h`,
      hint: 'such as every 4 h, or no',
      choices: null,
    },
  ];
}

export const DRYERS: readonly (readonly [string, string])[] = [
  ['bed-under-card-cover', 'On the bed under a card cover'],
  ['bed-under-plastic-cover', 'On the bed under a plastic cover'],
  ['dryer-vented', 'Spool dryer with a vent'],
  ['dryer-closed', 'Spool dryer without a vent'],
  ['fan-oven', 'Oven with a fan, never one for food'],
];
