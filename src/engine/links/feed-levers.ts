import type { Job, Piece } from '../../job.ts';
import { capOf } from './heat-limits.ts';
import type { Lever } from './link.ts';
import { pathText } from './path-text.ts';

/** What keeps the strand from snapping: wider bends, the winding's way, warmth at the tight ones, enough of it. */

/** Laying the tube in a wider bend, turning the spool over on its holder, moving the box, another spool [s]. */
const HANDS_BEND = 600;
const HANDS_TURN = 60;
const HANDS_BOX = 900;
const HANDS_SPOOL = 300;
/** Bends that people can hold something against: a saucer and a plate [m]. */
const WIDER = [0.06, 0.1] as const;

export function feedLevers(job: Job): readonly Lever[] {
  return [...wayRound(job), ...wider(job), ...intoTheBox(job), ...fullSpool(job)];
}

function wayRound(job: Job): Lever[] {
  if (job.entries['path.way round']?.value === 'with the winding') return [];
  return [
    {
      id: 'way round',
      changes: [{ path: 'kit.box.tube.way round', value: 'with the winding', unit: '' }],
      hands: HANDS_TURN,
      bought: false,
    },
  ];
}

/** The way as it is told, or as its card assumes it. */
function told(job: Job): readonly Piece[] {
  const { path } = job.kit;
  const value = (key: string) => job.entries[key]?.value as number;
  const tube: Piece = { kind: 'tube', length: value('path.length') };
  const bend: Piece = { kind: 'bend', radius: value('path.tightest bend'), angle: Math.PI / 2 };
  const withTube = path.some(({ kind }) => kind === 'tube') ? path : [tube, ...path];
  return withTube.some(({ kind }) => kind === 'bend') ? withTube : [...withTube, bend];
}

function wider(job: Job): Lever[] {
  const pieces = told(job);
  const tightest = Math.min(
    ...pieces.map((piece) => (piece.kind === 'bend' ? piece.radius : Number.POSITIVE_INFINITY)),
  );
  return WIDER.filter((radius) => radius > 1.1 * tightest).map((radius) => ({
    id: 'wider bend',
    changes: [
      {
        path: 'kit.box.path',
        value: pathText(
          pieces.map((piece) =>
            piece.kind === 'bend' ? { ...piece, radius: Math.max(piece.radius, radius) } : piece,
          ),
        ),
        unit: '',
      },
    ],
    hands: HANDS_BEND,
    bought: false,
  }));
}

/** All bends before the tube begins, in the warm air of the box; a box that is not heated becomes one that is. */
function intoTheBox(job: Job): Lever[] {
  const pieces = told(job);
  const entry = job.entries['box.temperature'];
  const heated = typeof entry?.value === 'number' && entry.law.kind !== 'follows';
  const bends = pieces.filter(({ kind }) => kind === 'bend');
  const tubes = pieces.filter(({ kind }) => kind === 'tube');
  const moved = [...bends, ...tubes];
  const isMoved = moved.every((piece, k) => piece === pieces[k]);
  if (heated && isMoved) return [];
  const cap = capOf(job, null).temperature;
  const box = heated
    ? []
    : [
        {
          path: 'kit.box.card',
          value: job.kit.desiccant ? 'heated-box-with-desiccant' : 'heated-box',
          unit: '',
        },
        ...(cap < CARD_AT ? [{ path: 'kit.box.at', value: cap, unit: 'C' }] : []),
      ];
  return [
    {
      id: heated ? 'bends in the box' : 'warm box',
      changes: [...box, { path: 'kit.box.path', value: pathText(moved), unit: '' }],
      hands: HANDS_BOX,
      bought: !heated,
    },
  ];
}
/** Temperature that the cards of heated boxes give [K]: theirs, repeated for the cap. */
const CARD_AT = 338.15;

/** A spool of the next usual size, where the plan asks for most of this one. */
function fullSpool(job: Job): Lever[] {
  const left = job.entries['spool.strand left'];
  const needed = job.prints.reduce((sum, { mass }) => sum + mass, 0);
  const purge = job.prints.length * ((job.entries['path.purge']?.value as number | undefined) ?? 0);
  const now = typeof left?.value === 'number' ? left.value : (job.entries['spool.net']?.value as number);
  const size = USUAL_SPOOLS.find((kg) => kg > 1.1 * (needed + purge));
  if (size === undefined || now >= 1.2 * (needed + purge) || size <= now) return [];
  const path = left?.from === 'campaign' ? (left.path ?? 'spool.net') : 'spool.net';
  return [
    { id: 'full spool', changes: [{ path, value: size, unit: 'g' }], hands: HANDS_SPOOL, bought: true },
  ];
}
/** Strand on spools as they are sold [kg]: common practice, no source. */
const USUAL_SPOOLS = [0.5, 0.75, 1, 2, 3] as const;
