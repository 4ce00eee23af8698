import type { Assessment } from '../engine/links/link.ts';
import { boxCap, LEFT_ALONE } from '../engine/links/stay-dry.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { Job } from '../job.ts';
import { showNumber, showQuantity, showSpan, showUnit, writeQuantity } from '../units.ts';
import { bandOf, ninths, nominal, printsOf, shareOf } from './depth-curves.ts';
import { scaleWords } from './scale-words.ts';
import type { StayDryDepth } from './views.ts';

/** The link Stay dry in depth: water over the campaign, hours left, desiccant, the night in the tube, in words. */
export function stayDryDepth(job: Job, found: Assessment, weights: Float64Array): StayDryDepth {
  return {
    hours: Array.from(found.traces['nozzle']!.axis, (t) => t / 3600),
    nozzle: bandOf(found, 'nozzle', weights, 100),
    outer: bandOf(found, 'outer winding', weights, 100),
    prints: printsOf(job),
    limits: (['strict', 'visible'] as const).map((name) => {
      const value = nominal(job, `limits.${name}`);
      return { name, water: 100 * value, label: `${name} ${showNumber(100 * value, 2)}${showUnit('wt %')}` };
    }),
    found: foundWords(job, found, weights),
    left: leftWords(found, weights),
    desiccant: desiccantWords(job, found, weights),
    advice: adviceOf(job, found, weights),
    cautions: cautionsOf(job),
    weak: WEAK,
    levers: leversOf(job),
  };
}

const stands = (job: Job) => (job.betweenPrints ?? 'left in the tube') === 'left in the tube';

function foundWords(job: Job, found: Assessment, weights: Float64Array): string[] {
  const { figures } = found;
  const water = (name: string) => ninths(figures[name]!, weights, 'wt %').whole;
  const sentences = [
    `At the first print the outer winding holds ${water('water at the start')}, after the last one ${water('water at the end')}.`,
    `The tube adds at most ${water('added in the tube')} to strand that runs.`,
  ];
  if (stands(job) && job.prints.length > 1)
    sentences.push(
      `Strand that stands in the tube between prints holds up to ${water('water after standing')} when the next one starts: cut it off, or draw it back.`,
    );
  const heated = isHeated(job);
  sentences.push(
    heated
      ? `Warmed room air alone cannot keep it below ${water('floor')}, nor lets it rise above that for long.`
      : `In this room's air it would end at ${water('floor')}.`,
  );
  const assumed = job.prints.filter(({ from }) => from === 'assumed').map(({ plate }) => plate);
  if (assumed.length > 0)
    sentences.push(
      `Assumed: ${assumed.length === 1 ? `plate ${assumed[0]} prints` : `plates ${assumed.join(', ')} print`} for 4 h, since no file says it.`,
    );
  if (!job.people?.there.length && job.prints.length > 1)
    sentences.push('Assumed: 12 h between two prints, since nobody said when people are there.');
  const off = [...(job.people?.away ?? [])].sort()[0];
  if (off !== undefined && job.dryingBegan === null && job.people!.there.length > 0 && job.prints.length > 1)
    sentences.push(
      `Assumed: the drying begins in the week of ${off}, the first with a day off, since none is booked.`,
    );
  if (job.betweenPrints === null && job.prints.length > 1)
    sentences.push('Assumed: the strand stays in the tube between prints, since nobody said where it is.');
  return sentences;
}

/**
 * "Nothing printed from it, it passes the strict limit after 31 h in half of the runs, after 8 h in 1 of 10."
 * Figures `hours to visible` and `hours to strict` are times [s], infinite where the limit is not passed.
 */
export function leftWords(found: Pick<Assessment, 'figures'>, weights: Float64Array): string[] {
  const within = showSpan(LEFT_ALONE);
  return (['visible', 'strict'] as const).map((limit) => {
    const column = found.figures[`hours to ${limit}`]!;
    const passes = shareOf(weights, (i) => Number.isFinite(column[i]!));
    const half = weightedQuantile(column, weights, 0.5);
    const early = weightedQuantile(column, weights, 0.1);
    if (passes < 0.1)
      return `Nothing printed from it, it stays below the ${limit} limit for ${within} and longer.`;
    const tenth = early <= SOON ? 'at once' : `after ${rounded(early)}`;
    if (!Number.isFinite(half))
      return `Nothing printed from it, it passes the ${limit} limit ${tenth} in 1 run of 10, and not within ${within} in half of them.`;
    // Rounding has a floor of half an hour: a spool that starts too wet must not seem to have that long.
    if (half <= SOON)
      return `Nothing printed from it, it passes the ${limit} limit at once in half of the runs or more.`;
    return `Nothing printed from it, it passes the ${limit} limit after ${rounded(half)} in half of the runs, ${tenth} in 1 of 10.`;
  });
}
/** Sooner than this is at once [s]. */
const SOON = 900;

function rounded(seconds: number): string {
  const step = seconds < 12 * 3600 ? 1800 : 3600;
  return showSpan(Math.max(step, Math.round(seconds / step) * step));
}

function desiccantWords(job: Job, found: Assessment, weights: Float64Array): string[] | null {
  if (!job.kit.desiccant) return null;
  const room = found.figures['desiccant room']!;
  const time = found.figures['desiccant time']!;
  const used = shareOf(weights, (i) => room[i]! <= 0);
  const half = weightedQuantile(time, weights, 0.5);
  const early = weightedQuantile(time, weights, 0.1);
  const sentences = [
    used >= 0.5
      ? 'In half of the runs and more the desiccant is too full for the strict limit from the start: dry it again, or use a molecular sieve.'
      : `It can take ${ninths(room, weights, 'g').whole} more before the air is too damp for the strict limit.`,
  ];
  if (!Number.isFinite(half))
    sentences.push(
      'What leaks in does not fill it in half of the runs: the air outside is no damper than that.',
    );
  else if (half > 0)
    sentences.push(
      `What leaks in fills it in ${days(half)} in half of the runs${early > 0 && early < half ? `, in ${days(early)} in 1 of 10` : ''}.`,
    );
  if (isHeated(job))
    sentences.push(
      'Its law holds near 25 °C: warm desiccant holds less, silica gel above all, and can give water back.',
    );
  return sentences;
}

function days(seconds: number): string {
  const count = seconds / 86_400;
  return count < 3 ? showSpan(Math.round(seconds / 3600) * 3600) : `${showNumber(count, 0)} days`;
}

function isHeated(job: Job): boolean {
  return job.entries['box.temperature']?.law.kind !== 'follows';
}

function adviceOf(job: Job, found: Assessment, weights: Float64Array): string[] {
  const advice: string[] = [];
  const card = job.entries['box.temperature']?.card ?? '';
  if (card === 'box/open-room')
    advice.push('On an open holder a dry spool is spoiled within a day: put it into a closed box.');
  if (stands(job) && job.prints.length > 1) {
    const stood = found.figures['water after standing']!;
    const strict = nominal(job, 'limits.strict');
    if (shareOf(weights, (i) => stood[i]! > strict) > 0.5)
      advice.push('After each night cut off 2 m of strand, or draw it back into the box when a print ends.');
  }
  return [...advice, ...scaleWords(job, found, weights)];
}

function cautionsOf(job: Job): StayDryDepth['cautions'] {
  if (!isHeated(job)) return [];
  const cautions: StayDryDepth['cautions'] = [];
  const set = nominal(job, 'box.temperature');
  const cap = boxCap(job);
  if (set > cap.temperature)
    cautions.push({
      hazard: `Computed at ${showQuantity(cap.temperature, 'C', 3)}, not at the ${showQuantity(set, 'C', 3)} that you set.`,
      words:
        'Nothing above 70 °C while nobody has said what strand and spool stand. Ask their makers, and say it as "dry at most".',
    });
  const alone = job.prints.length > 1 || job.prints.some(({ time }) => time > 8 * 3600);
  cautions.push({
    hazard: `Box at ${showQuantity(Math.min(set, cap.temperature), 'C', 3)}${alone ? ', day and night' : ''}.`,
    words:
      'Leave a heated box alone only where its manual allows it, clear of anything that burns. Follow your local rules. Air the room: warm polyamide gives off fumes.',
  });
  return cautions;
}

/** What the model leaves out: said on the screen that shows its numbers. */
const WEAK: string[] = [
  'The tube counts as if its strand lay in open room air: a closed tube with still air does better.',
  'How much the box leaks is a guess; weighings of the spool in it narrow it.',
  'The outer winding is the mean of the outermost sixth of the winding; its very skin follows the air faster.',
  'Left out: the minutes the box stands open, strand inside the hot end.',
];

/** Boxes and other places by card, as people call them. */
export const BOXES: readonly (readonly [string, string])[] = [
  ['heated-box', 'from a warm closed box'],
  ['heated-box-with-desiccant', 'from a warm closed box with desiccant'],
  ['sealed-box-with-desiccant', 'from a sealed box with desiccant, not heated'],
  ['open-room', 'from an open holder'],
  ['dryer-vented', 'straight from a dryer with a vent'],
  ['dryer-closed', 'straight from a dryer without a vent'],
];

function leversOf(job: Job): StayDryDepth['levers'] {
  const card = (job.entries['box.temperature']?.card ?? '').replace(/^(box|dryer)\//, '');
  const heated = isHeated(job)
    ? [
        {
          label: 'Box at, °C',
          path: 'kit.box.at',
          value: writeQuantity(nominal(job, 'box.temperature'), 'C'),
          hint: `at most ${showQuantity(boxCap(job).temperature, 'C', 3)}`,
          choices: null,
        },
      ]
    : [];
  const sorbent = job.kit.desiccant
    ? [
        {
          label: 'Desiccant',
          path: 'kit.box.desiccant.card',
          value: (job.entries['desiccant.capacity']?.card ?? '').replace('desiccant/', ''),
          hint: '',
          choices: [
            { value: 'silica-gel', label: 'Silica gel' },
            { value: 'molecular-sieve', label: 'Molecular sieve' },
          ],
        },
        {
          label: 'How much of it, g',
          path: 'kit.box.desiccant.dry mass',
          value: writeQuantity(nominal(job, 'desiccant.dry mass'), 'g'),
          hint: 'its dry weight, such as 500 g',
          choices: null,
        },
      ]
    : [];
  return [
    {
      label: 'Fed',
      path: 'kit.box.card',
      value: card,
      hint: '',
      choices: BOXES.map(([value, words]) => ({
        value,
        label: words.charAt(0).toUpperCase() + words.slice(1),
      })),
    },
    ...heated,
    ...sorbent,
    {
      label: 'Strand between prints',
      path: 'kit.box.between prints',
      value: job.betweenPrints ?? 'left in the tube',
      hint: '',
      choices: [
        { value: 'left in the tube', label: 'Left in the tube' },
        { value: 'cut off', label: 'Left in the tube, then 2 m cut off' },
        { value: 'drawn back', label: 'Drawn back into the box' },
      ],
    },
  ];
}
