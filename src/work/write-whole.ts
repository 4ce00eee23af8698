import {
  closeSync,
  fsyncSync,
  mkdirSync,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { InputFault } from '../problem.ts';

/**
 * Writes a file whole or not at all, also where the power goes: under a temporary name, to the disk, then renamed. A
 * link stays a link, and who may read the file stays as it was.
 * @throws InputFault where it may not be written or there is no room
 */
export function writeWhole(path: string, text: string): void {
  let temporary: string | null = null;
  try {
    const { place, mode } = there(path);
    temporary = `${place}.${process.pid}.part`;
    const file = openSync(temporary, 'w', mode);
    try {
      const bytes = Buffer.from(text);
      for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, place);
  } catch (error) {
    if (temporary !== null) rmSync(temporary, { force: true });
    throw unwritable(path, error);
  }
}

/** Makes a folder with those above it. @throws InputFault where it may not be made */
export function makeFolder(path: string): void {
  try {
    mkdirSync(path, { recursive: true });
  } catch (error) {
    throw unwritable(path, error);
  }
}

function there(path: string): { place: string; mode: number } {
  try {
    const place = realpathSync(path);
    return { place, mode: statSync(place).mode & 0o777 };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    return { place: path, mode: 0o666 };
  }
}

const WRITING: Readonly<Record<string, string>> = {
  EACCES: 'This may not be written by you.',
  EPERM: 'This may not be written by you.',
  EROFS: 'This disk cannot be written to.',
  ENOSPC: 'There is no room left on the disk.',
  EDQUOT: 'There is no room left on the disk.',
  ENOENT: 'The folder is not there any more.',
  ENOTDIR: 'A part of this path is a file, not a folder.',
};

/** The sentence for a file that cannot be written; what is no fault of a file comes back as it is. */
export function unwritable(name: string, error: unknown): unknown {
  const message = WRITING[(error as NodeJS.ErrnoException).code ?? ''];
  if (message === undefined) return error;
  return new InputFault([
    { code: 'unwritable', message: `${message} Nothing was changed.`, where: { file: name } },
  ]);
}
