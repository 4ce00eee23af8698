import { createHash } from 'node:crypto';
import { createWriteStream, existsSync, mkdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { type Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { InputFault } from '../problem.ts';

/** A G-code file of several hundred hours is about this size; more is a mistake. */
const UPLOAD_BYTES_MAX = 512 * 1024 * 1024;

/** A file name without folders, control characters or a leading dot; null where nothing sound is left. */
export function soundName(name: string): string | null {
  const bare = [...name.split(/[\\/]/).at(-1)!]
    .filter((sign) => sign >= ' ' && sign !== '\u007f')
    .join('')
    .trim();
  return bare === '' || bare.startsWith('.') || bare.length > 200 ? null : bare;
}

/**
 * Streams an upload to a file named by its content, under a folder of its own that keeps the person's name for it.
 * Written to a temporary name and renamed: nothing is half there.
 * @returns path of the file
 * @throws InputFault when it is too large
 */
export async function keepUpload(body: Readable, name: string, folder: string): Promise<string> {
  mkdirSync(folder, { recursive: true });
  const temporary = join(folder, `incoming-${process.pid}-${Math.random().toString(36).slice(2)}`);
  const hash = createHash('sha256');
  let bytes = 0;
  const count = new Transform({
    transform(chunk: Buffer, _, done) {
      bytes += chunk.length;
      if (bytes > UPLOAD_BYTES_MAX) {
        done(
          new InputFault([
            {
              code: 'too-large',
              message: 'This file is too large.',
              where: { file: name },
              expected: `at most ${UPLOAD_BYTES_MAX / 1024 / 1024} MB`,
            },
          ]),
        );
        return;
      }
      hash.update(chunk);
      done(null, chunk);
    },
  });
  try {
    await pipeline(body, count, createWriteStream(temporary));
    const home = join(folder, hash.digest('hex').slice(0, 32));
    const path = join(home, name);
    mkdirSync(home, { recursive: true });
    if (existsSync(path)) rmSync(temporary);
    else renameSync(temporary, path);
    return path;
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  }
}
