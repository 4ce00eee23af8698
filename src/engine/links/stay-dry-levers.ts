import type { Job } from '../../job.ts';
import { capOf } from './heat-limits.ts';
import type { Lever } from './link.ts';
import { pathText } from './path-text.ts';

/** What keeps the strand dry: one step each. Where the strand stands in the tube, a better box alone mends nothing. */

/** Cutting the end off, drawing the strand back and threading it again, setting a box, another box, a tube [s]. */
const HANDS_CUT = 60;
const HANDS_DRAW_BACK = 240;
const HANDS_SET = 60;
const HANDS_PLACE = 600;
const HANDS_TUBE = 900;
/** A box is set so much warmer in one step [K]. */
const WARMER = 5;

const HEATED = 'heated-box';
const HEATED_DESICCANT = 'heated-box-with-desiccant';
const SEALED = 'sealed-box-with-desiccant';

export function stayDryLevers(job: Job): readonly Lever[] {
  return [...night(job), ...warmer(job), ...places(job), ...shorterTube(job)];
}

/** Waits between prints in which the strand stands in the tube. */
function standing(job: Job): number {
  return job.betweenPrints === 'cut off' || job.betweenPrints === 'drawn back'
    ? 0
    : Math.max(0, job.prints.length - 1);
}

const BETWEEN = 'kit.box.between prints';

function night(job: Job): Lever[] {
  const times = standing(job);
  if (times === 0) return [];
  return [
    {
      id: 'cut off',
      changes: [{ path: BETWEEN, value: 'cut off', unit: '' }],
      hands: HANDS_CUT * times,
      bought: false,
    },
    {
      id: 'draw back',
      changes: [{ path: BETWEEN, value: 'drawn back', unit: '' }],
      hands: HANDS_DRAW_BACK * times,
      bought: false,
    },
  ];
}

/** The same with the end cut off after every wait, where the strand still stands in the tube. */
function withCut(job: Job, lever: Lever): Lever {
  const times = standing(job);
  if (times === 0) return lever;
  return {
    ...lever,
    changes: [...lever.changes, { path: BETWEEN, value: 'cut off', unit: '' }],
    hands: lever.hands + HANDS_CUT * times,
  };
}

function boxCard(job: Job): string {
  return (job.entries['box.temperature']?.card ?? '').replace(/^(box|dryer)\//, '');
}

/** Set temperature of a heated box [K]; null for one that follows the room. */
function setAt(job: Job): number | null {
  const entry = job.entries['box.temperature'];
  return typeof entry?.value === 'number' && entry.law.kind !== 'follows' ? entry.value : null;
}

function warmer(job: Job): Lever[] {
  const now = setAt(job);
  if (now === null) return [];
  const to = Math.min(now + WARMER, capOf(job, null).temperature);
  if (to < now + 1) return [];
  return [
    withCut(job, {
      id: 'warmer box',
      changes: [{ path: 'kit.box.at', value: to, unit: 'C' }],
      hands: HANDS_SET,
      bought: false,
    }),
  ];
}

/** Places that keep it drier than this one, in rising effort. */
const BETTER: Readonly<Record<string, readonly string[]>> = {
  'open-room': [SEALED, HEATED, HEATED_DESICCANT],
  [SEALED]: [HEATED_DESICCANT],
  [HEATED]: [HEATED_DESICCANT],
};

/** A sieve still takes up water in air so dry, or so warm, that gel gives it back. */
const SIEVE = { path: 'kit.box.desiccant.card', value: 'molecular-sieve', unit: '' } as const;

function places(job: Job): Lever[] {
  const card = boxCard(job);
  const cap = capOf(job, null).temperature;
  const to = (place: string, bought: boolean): Lever => {
    const heated = place !== SEALED;
    const now = setAt(job);
    // A box that is named new would stand at its card's 65 C: the cap goes before it.
    const at =
      heated && (now === null ? cap < CARD_AT : now > cap)
        ? [{ path: 'kit.box.at', value: cap, unit: 'C' }]
        : [];
    return withCut(job, {
      id: place,
      changes: [
        { path: 'kit.box.card', value: place, unit: '' },
        ...at,
        ...(place === HEATED ? [] : [SIEVE]),
      ],
      hands: HANDS_PLACE,
      bought,
    });
  };
  const better = (BETTER[card] ?? (job.kit.fedFromDryer ? [HEATED_DESICCANT] : [])).map((place) =>
    to(place, true),
  );
  const isGel = job.kit.desiccant && job.entries['desiccant.capacity']?.card === 'desiccant/silica-gel';
  if (!isGel) return better;
  return [
    ...better,
    withCut(job, { id: 'molecular sieve', changes: [SIEVE], hands: HANDS_PLACE, bought: true }),
  ];
}
/** Temperature that the cards of heated boxes give where the campaign gives none [K]: theirs, repeated for the cap. */
const CARD_AT = 338.15;

/** Half as much tube, where it is told. */
function shorterTube(job: Job): Lever[] {
  const { path } = job.kit;
  if (!path.some((piece) => piece.kind === 'tube')) return [];
  const halved = path.map((piece) =>
    piece.kind === 'tube' ? { ...piece, length: 0.5 * piece.length } : piece,
  );
  return [
    withCut(job, {
      id: 'shorter tube',
      changes: [{ path: 'kit.box.path', value: pathText(halved), unit: '' }],
      hands: HANDS_TUBE,
      bought: false,
    }),
  ];
}
