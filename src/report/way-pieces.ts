import { parse } from 'yaml';
import type { Entry, Job } from '../job.ts';
import { writeQuantity } from '../units.ts';
import type { FeedPicture } from './views.ts';

type Piece = FeedPicture['pieces'][number];

/**
 * The strand's way for editing: its pieces as they are written in the campaign, spreads and all, and in their places
 * the tube and the bend that the card assumes where nobody told one.
 * @param text the campaign file, read without a complaint
 */
export function wayPieces(job: Job, text: string): Piece[] {
  const written = (parse(text, { version: '1.2' }) as { kit?: { box?: { path?: unknown } } }).kit?.box?.path;
  const items = Array.isArray(written) ? (written as Readonly<Record<string, unknown>>[]) : [];
  const pieces = items.flatMap((item): Piece[] =>
    (['tube', 'bend'] as const)
      .filter((kind) => typeof item[kind] === 'string')
      .map((kind) => (item[kind] === 'unknown' ? assumed(job, kind) : said(kind, String(item[kind])))),
  );
  const has = (kind: Piece['kind']) => pieces.some((piece) => piece.kind === kind);
  // Bends without a tube lie at the end of one whose length nobody said.
  return [
    ...(has('tube') ? [] : [assumed(job, 'tube')]),
    ...pieces,
    ...(has('bend') ? [] : [assumed(job, 'bend')]),
  ];
}

function said(kind: Piece['kind'], text: string): Piece {
  return { kind, text, assumed: false };
}

/** What the card of the way says where nobody did: its length, or one quarter turn as tight as it has it. */
function assumed(job: Job, kind: Piece['kind']): Piece {
  const text =
    kind === 'tube'
      ? spreadText(job.entries['path.length']!, 'm', '')
      : spreadText(job.entries['path.tightest bend']!, 'mm', ' x 90 deg');
  return { kind, text, assumed: true };
}

/** A length with its spread as a campaign has it, such as "40 mm x 90 deg x/ 1.3". */
function spreadText({ value, law }: Entry, unit: string, turn: string): string {
  const bare = `${writeQuantity(value as number, unit)}${turn}`;
  if (law.kind === 'factor') return `${bare} x/ ${Number(law.factor.toPrecision(3))}`;
  if (law.kind === 'normal') return `${bare} +- ${writeQuantity(law.sd, unit)}`;
  if (law.kind !== 'even') return bare;
  // A bend takes no pair of ends: the factor whose 9 runs in 10 reach as far.
  const ninths = (0.95 * law.high + 0.05 * law.low) / (0.05 * law.high + 0.95 * law.low);
  return `${bare} x/ ${Number((ninths ** (0.5 / Z_OF_NINTHS)).toPrecision(3))}`;
}
/** Standard normal that 19 in 20 lie below. */
const Z_OF_NINTHS = 1.645;
