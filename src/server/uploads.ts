import { createHash, randomUUID } from 'node:crypto';
import {
  createWriteStream,
  existsSync,
  readdirSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
  utimesSync,
} from 'node:fs';
import { join } from 'node:path';
import { Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { InputFault } from '../problem.ts';
import { makeFolder, unwritable } from '../work/write-whole.ts';

/** A G-code file of several hundred hours is about this size; more is a mistake. */
export const UPLOAD_BYTES_MAX = 512 * 1024 * 1024;
/** Longest name that every file system takes, with room for an ending of ours. */
const NAME_BYTES_MAX = 200;
/** Start of the temporary names. */
const INCOMING = 'incoming-';

/** A file name without folders, control characters or a leading dot; null where nothing sound is left. */
export function soundName(name: string): string | null {
  const bare = [...name.split(/[\\/]/).at(-1)!]
    .filter((sign) => sign >= ' ' && sign !== '\u007f')
    .join('')
    .trim();
  return bare === '' || bare.startsWith('.') || Buffer.byteLength(bare) > NAME_BYTES_MAX ? null : bare;
}

/** @throws InputFault for what is larger than is taken */
export function refuseLarge(bytes: number, name: string, most: number): void {
  if (bytes <= most) return;
  const megabytes = most >= 1e6 ? `${Math.floor(most / 1e6)} MB` : `${most} bytes`;
  throw new InputFault([
    {
      code: 'too-large',
      message: 'This file is too large.',
      where: { file: name },
      expected: `at most ${megabytes}`,
    },
  ]);
}

/**
 * A file that comes in as the body of a request, kept by `keepUpload`.
 * @throws InputFault also for a name that is none, and at once for a length that is told and too large
 */
export async function takeUpload(
  request: Request,
  given: string,
  folder: string,
  most: number,
): Promise<{ path: string; name: string }> {
  const name = soundName(given);
  if (name === null) throw new InputFault([{ code: 'wrong-name', message: 'This is no name for a file.' }]);
  refuseLarge(Number(request.headers.get('content-length') ?? 0), name, most);
  const sent = request.body ? Readable.fromWeb(request.body as never) : Readable.from([]);
  return { path: await keepUpload(sent, name, folder, most), name };
}

/**
 * Streams an upload into a folder named by its content, under the person's name for it. Written to a temporary name
 * and renamed: nothing is half there.
 * @param most bytes taken
 * @returns path of the file
 * @throws InputFault when it is too large, ends before its end, or cannot be written
 */
export async function keepUpload(
  body: Readable,
  name: string,
  folder: string,
  most: number,
): Promise<string> {
  makeFolder(folder);
  const temporary = join(folder, `${INCOMING}${randomUUID()}`);
  const hash = createHash('sha256');
  let bytes = 0;
  const count = new Transform({
    transform(chunk: Buffer, _, done) {
      try {
        bytes += chunk.length;
        refuseLarge(bytes, name, most);
        hash.update(chunk);
        done(null, chunk);
      } catch (error) {
        done(error as Error);
      }
    },
  });
  let failed: unknown = null;
  body.once('error', (error) => {
    failed ??= error;
  });
  const file = createWriteStream(temporary);
  try {
    await pipeline(body, count, file);
    const home = join(folder, hash.digest('hex').slice(0, 32));
    const path = join(home, name);
    makeFolder(home);
    if (existsSync(path)) {
      rmSync(temporary);
      const now = new Date();
      utimesSync(path, now, now);
    } else renameSync(temporary, path);
    return path;
  } catch (error) {
    // It may still be about to be made: taken away before that, it would stay.
    if (!file.closed) await new Promise<void>((done) => file.once('close', () => done()));
    rmSync(temporary, { force: true });
    // What broke off is told from what we broke off ourselves.
    if (error === failed && !(error instanceof InputFault))
      throw new InputFault([
        { code: 'cut-off', message: 'The file did not come to its end.', where: { file: name } },
      ]);
    throw unwritable(name, error);
  }
}

/** Most that the folder of uploads may hold; the longest unused go first, except those that a campaign is made of. */
export const UPLOADS_BYTES_MAX = 4 * 1024 * 1024 * 1024;
/** Younger than this nothing is taken away [ms]: it may be coming in, or lie with a page that asks its questions. */
const UNTOUCHED_MS = 24 * 3600 * 1000;

/**
 * Takes away what was left of uploads that never ended, and uploads beyond the bound that nobody uses. What cannot be
 * taken away stays: tidying never makes anything fail.
 *
 * @param inUse paths of files that campaigns are made of
 */
export function tidyUploads(folder: string, inUse: ReadonlySet<string>, most = UPLOADS_BYTES_MAX): void {
  const old = Date.now() - UNTOUCHED_MS;
  let bytes = 0;
  const kept = filesIn(folder).sort((a, b) => b.usedMs - a.usedMs);
  for (const { path, home, size, usedMs } of kept) {
    const isRest = home === folder;
    bytes += size;
    if (usedMs > old || inUse.has(path) || !(isRest || bytes > most)) continue;
    bytes -= size;
    try {
      rmSync(path, { force: true });
      if (!isRest && readdirSync(home).length === 0) rmdirSync(home);
    } catch {
      // Another process may hold it; the next time will do.
    }
  }
}

type Upload = Readonly<{ path: string; home: string; size: number; usedMs: number }>;

/** Files of the folders named by content, and what lies beside them: rests of uploads that were killed. */
function filesIn(folder: string): Upload[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, withFileTypes: true }).flatMap((entry) => {
    if (!entry.isFile()) return [];
    const home = entry.parentPath;
    if (home === folder && !entry.name.startsWith(INCOMING)) return [];
    const path = join(home, entry.name);
    const info = statSync(path, { throwIfNoEntry: false });
    return info ? [{ path, home, size: info.size, usedMs: info.mtimeMs }] : [];
  });
}
