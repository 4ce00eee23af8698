import { createHash } from 'node:crypto';
import { NO_TEST } from '../campaign/tested.ts';
import type { DrawRange } from '../engine/draws.ts';
import { LINKS } from '../engine/links/index.ts';
import { type Assessment, type Earlier, join, type Link, sliceOf } from '../engine/links/link.ts';
import type { Job } from '../job.ts';
import type { Cache } from './cache.ts';
import type { Pool, Wish } from './pool.ts';

/** Draws a worker takes at a time: small enough to balance two cores, large enough that threads cost nothing. */
const DRAWS_A_PIECE = 16;

/**
 * The job as one link sees it: the entries whose cards name the link as a reader, and the sections it says it reads.
 * What a link did not declare it cannot read, so the cache key below is complete.
 */
export function narrow(job: Job, link: Link): Job {
  const entries = Object.fromEntries(
    Object.entries(job.entries).filter(([, entry]) => entry.readBy.includes(link.name)),
  );
  const blank: Job = {
    campaign: '',
    folder: '',
    invented: false,
    question: null,
    want: { comesOff: 0, counts: 0, finishBy: null },
    people: null,
    entries,
    kit: {
      cards: {},
      sheet: { size: null, clamps: null, glue: null },
      path: [],
      desiccant: false,
      fedFromDryer: false,
    },
    betweenPrints: null,
    sinceOpened: [],
    drying: { time: 0, flipEvery: null, assumed: false, weighings: [] },
    weighings: [],
    dryingBegan: null,
    groups: [],
    plates: [],
    prints: [],
    events: [],
    settings: {},
    test: NO_TEST,
  };
  return { ...blank, ...Object.fromEntries(link.sections.map((section) => [section, job[section]])) } as Job;
}

/** Hash of everything that a link's findings depend on: what it reads itself, and what it starts from. */
export function keyOf(job: Job, link: Link, range: DrawRange): string {
  const before = (link.after ?? []).map((name) =>
    keyOf(job, LINKS.find((other) => other.name === name)!, range),
  );
  return createHash('sha256')
    .update(JSON.stringify([link.name, narrow(job, link), range, before]))
    .digest('hex');
}

/**
 * One link over all draws, in pieces on the pool; the same numbers for any number of workers. Cached by content.
 * @param earlier what the links before found for the same job and draws; those it starts from must be there
 */
export async function assess(
  job: Job,
  link: Link,
  range: DrawRange,
  earlier: Earlier,
  { pool, cache, ...wish }: { pool: Pool; cache: Cache } & Wish,
): Promise<Assessment> {
  const narrowed = narrow(job, link);
  const before = (link.after ?? []).map((name) => [name, earlier[name]!] as const);
  return cache.once(keyOf(job, link, range), wish, async (onProgress) => {
    const pieces: DrawRange[] = [];
    for (let from = range.from; from < range.to; from += DRAWS_A_PIECE)
      pieces.push({ seed: range.seed, from, to: Math.min(from + DRAWS_A_PIECE, range.to) });
    const shares = new Float64Array(pieces.length);
    const tell = (index: number, share: number) => {
      shares[index] = share;
      onProgress(shares.reduce((a, b) => a + b, 0) / pieces.length);
    };
    // All have ended before one that failed is told: whoever hears of it finds the threads free.
    const parts = await allOf(
      pieces.map(async (piece, index) => {
        const part = await pool.run(
          {
            kind: 'assess',
            link: link.name,
            job: narrowed,
            range: piece,
            earlier: Object.fromEntries(
              before.map(([name, whole]) => [
                name,
                sliceOf(whole, piece.from - range.from, piece.to - range.from),
              ]),
            ),
          },
          { signal: wish.signal, onProgress: (share) => tell(index, share) },
        );
        tell(index, 1);
        return part;
      }),
    );
    return join(parts);
  });
}

/** Like `Promise.all`, after every one has ended; the first in order that failed is thrown. */
async function allOf<T>(promises: readonly Promise<T>[]): Promise<T[]> {
  await Promise.allSettled(promises);
  return Promise.all(promises);
}
