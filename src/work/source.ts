import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { basename } from 'node:path';
import type { Source } from '../engine/kernel.ts';
import { InputFault } from '../problem.ts';

/** A file opened for the engine; `close` gives it back. */
export type OpenFile = Source & { close(): void };

/**
 * Opens a file for reading.
 * @throws InputFault in one sentence: not there, a folder, or not allowed
 */
export function openFile(path: string): OpenFile {
  const name = basename(path);
  let handle: number;
  try {
    handle = openSync(path, 'r');
  } catch (error) {
    throw unreadable(path, error);
  }
  const info = fstatSync(handle);
  if (info.isDirectory()) {
    closeSync(handle);
    throw new InputFault([
      { code: 'is-a-folder', message: 'This is a folder.', where: { file: path }, expected: 'a file' },
    ]);
  }
  return {
    name,
    size: info.size,
    read: (offset, into) => readSync(handle, into, 0, into.length, offset),
    close: () => closeSync(handle),
  };
}

/** The sentence for a file that cannot be opened or read. */
export function unreadable(path: string, error: unknown): InputFault {
  const code = (error as NodeJS.ErrnoException).code;
  const why: Record<string, string> = {
    ENOENT: 'There is no such file.',
    EACCES: 'This file may not be read by you.',
    EISDIR: 'This is a folder.',
    ENOTDIR: 'A part of this path is a file, not a folder.',
  };
  if (code === undefined || why[code] === undefined) throw error;
  return new InputFault([
    {
      code: 'unreadable',
      message: why[code],
      where: { file: path },
      expected: 'the name of a file that is there',
    },
  ]);
}
