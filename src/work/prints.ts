import { createHash } from 'node:crypto';
import { createReadStream, type Stats, statSync } from 'node:fs';
import { resolve } from 'node:path';
import type { GcodeCard } from '../engine/gcode/card.ts';
import { openGcode } from '../engine/gcode/container.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import { Refusal } from '../engine/kernel.ts';
import type { Job, Plate } from '../job.ts';
import { Cancelled, InputFault, type Problem } from '../problem.ts';
import type { Cache } from './cache.ts';
import { gcodeCardOf } from './gcode-card.ts';
import type { Pool, Wish } from './pool.ts';
import { openFile, unreadable } from './source.ts';
import type { PrintFile } from './task.ts';

/** One plate of a campaign with what its file says; no print where it has none, or where the file cannot be used. */
export type ReadPlate = Readonly<{
  plate: Plate;
  /** As the campaign calls it. */
  file: string | null;
  print: PrintSummary | null;
  /** Why the file cannot be read at all. */
  problems: readonly Problem[];
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
      const { file, member, relative } = print;
      try {
        const summary = await readPrint(
          { path: resolve(job.folder, file), name: file, member, relative },
          card,
          {
            ...wires,
            onProgress: (share) => {
              shares[k] = share;
              wires.onProgress?.(shares.reduce((a, b) => a + b, 0) / shares.length);
            },
          },
        );
        return { plate, file, print: summary, problems: [] };
      } catch (error) {
        if (!(error instanceof InputFault)) throw error;
        return { plate, file, print: null, problems: error.problems };
      }
    }),
  );
}

/** Reads one file in a worker; the same content with the same card is read once. @throws InputFault, Cancelled */
export async function readPrint(
  file: PrintFile,
  card: GcodeCard,
  { pool, cache, signal, onProgress }: Wires,
): Promise<PrintSummary> {
  const { path, name, member, relative, tookS } = file;
  refuseAtOnce(path, name, member);
  const before = statSync(path);
  const content = await contentHash(path, name, signal);
  const key = JSON.stringify(['read', content, card, member ?? null, relative ?? false, tookS ?? null]);
  const summary = await cache.once(key, { signal, onProgress }, async (tell) => {
    const read = await pool.run({ kind: 'read', ...file, card }, { signal, onProgress: tell });
    if (!isSame(before, statSync(path)))
      throw new InputFault([
        {
          code: 'changed',
          message: 'This file was changed while it was read.',
          where: { file: name },
          expected: 'a file that is written to its end: try again',
        },
      ]);
    return read;
  });
  // The same content may have been read under another name.
  return { ...summary, name };
}

/** What a look at the start and the list of members shows is told before the whole file is gone through. */
function refuseAtOnce(path: string, name: string, member: string | undefined): void {
  const file = openFile(path, name);
  try {
    openGcode(file, member);
  } catch (error) {
    if (error instanceof Refusal) throw new InputFault([{ code: 'refused', message: error.message }]);
    throw error;
  } finally {
    file.close();
  }
}

function isSame(a: Stats, b: Stats): boolean {
  return a.size === b.size && a.mtimeMs === b.mtimeMs && a.ino === b.ino;
}

async function contentHash(path: string, name: string, signal: AbortSignal | undefined): Promise<string> {
  const hash = createHash('sha256');
  try {
    const pieces = createReadStream(path, { highWaterMark: 1024 * 1024, ...(signal ? { signal } : {}) });
    for await (const piece of pieces) hash.update(piece as Buffer);
  } catch (error) {
    if (signal?.aborted) throw new Cancelled();
    throw unreadable(name, error);
  }
  return hash.digest('hex');
}
