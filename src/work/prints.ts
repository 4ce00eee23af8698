import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { resolve } from 'node:path';
import type { GcodeCard } from '../engine/gcode/card.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { Job, Plate } from '../job.ts';
import { Cancelled, InputFault, sentence } from '../problem.ts';
import type { ProblemView } from '../report/views.ts';
import type { Cache } from './cache.ts';
import { gcodeCardOf } from './gcode-card.ts';
import type { Pool, Wish } from './pool.ts';
import { unreadable } from './source.ts';

/** One plate of a campaign with what its file says; no print where it has none, or where the file cannot be used. */
export type ReadPlate = Readonly<{
  plate: Plate;
  file: string | null;
  print: PrintSummary | null;
  problems: readonly ProblemView[];
}>;

type Wires = { pool: Pool; cache: Cache } & Wish;

/** Reads the files of all plates that have one; what cannot be read is a problem of that plate, not the end of all. */
export async function readPlates(job: Job, wires: Wires): Promise<ReadPlate[]> {
  const card = gcodeCardOf(job);
  const shares = new Float64Array(job.plates.length);
  return Promise.all(
    job.plates.map(async (plate, k): Promise<ReadPlate> => {
      const { print } = plate;
      if (print?.kind !== 'gcode') return { plate, file: null, print: null, problems: [] };
      const file = print.file;
      try {
        const summary = await readPrint(resolve(job.folder, file), card, print.member, {
          ...wires,
          onProgress: (share) => {
            shares[k] = share;
            wires.onProgress?.(shares.reduce((a, b) => a + b, 0) / shares.length);
          },
        });
        return { plate, file, print: summary, problems: [] };
      } catch (error) {
        if (error instanceof Cancelled || !(error instanceof InputFault)) throw error;
        const problems = error.problems.map((problem) => ({
          sentence: sentence(problem),
          file,
          line: problem.where?.line ?? null,
          level: 'stop' as const,
        }));
        return { plate, file, print: null, problems };
      }
    }),
  );
}

/** Reads one file in a worker; the same content with the same card is read once. @throws InputFault, Cancelled */
export async function readPrint(
  path: string,
  card: GcodeCard,
  member: string | undefined,
  { pool, cache, signal, onProgress }: Wires,
): Promise<PrintSummary> {
  const content = await contentHash(path);
  const key = createHash('sha256')
    .update(JSON.stringify(['read', content, card, member ?? null]))
    .digest('hex');
  const known = cache.get(key) as PrintSummary | undefined;
  if (known) return known;
  const summary = await pool.run(
    { kind: 'read', path, card, ...(member === undefined ? {} : { member }) },
    { signal, ...(onProgress ? { onProgress } : {}) },
  );
  cache.put(key, summary);
  return summary;
}

function contentHash(path: string): Promise<string> {
  return new Promise((done, fail) => {
    const hash = createHash('sha256');
    createReadStream(path, { highWaterMark: 1024 * 1024 })
      .on('data', (chunk) => hash.update(chunk))
      .on('error', (error) => {
        try {
          fail(unreadable(path, error));
        } catch (other) {
          fail(other);
        }
      })
      .on('end', () => done(hash.digest('hex')));
  });
}
