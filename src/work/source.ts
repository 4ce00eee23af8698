import { closeSync, fstatSync, openSync, readSync, statSync } from 'node:fs';
import type { Source } from '../engine/kernel.ts';
import { InputFault } from '../problem.ts';

/** A file opened for the engine; `close` gives it back. */
export type OpenFile = Source & { close(): void };

/**
 * Opens a file for reading at any place.
 * @param name how sentences call it: as the person typed it
 * @throws InputFault in one sentence: not there, a folder, no file, or not allowed
 */
export function openFile(path: string, name = path): OpenFile {
  let handle: number;
  try {
    // Looked at before it is opened: opening a pipe would wait for whoever writes to it.
    const info = statSync(path);
    if (info.isDirectory()) throw aFolder(name);
    if (!info.isFile())
      throw new InputFault([
        {
          code: 'no-file',
          message: 'This is a device or a pipe.',
          where: { file: name },
          expected: 'a file on a disk',
        },
      ]);
    handle = openSync(path, 'r');
  } catch (error) {
    throw unreadable(name, error);
  }
  return {
    name,
    size: fstatSync(handle).size,
    read: (offset, into) => readSync(handle, into, 0, into.length, offset),
    close: () => closeSync(handle),
  };
}

function aFolder(name: string): InputFault {
  return new InputFault([
    { code: 'is-a-folder', message: 'This is a folder.', where: { file: name }, expected: 'a file' },
  ]);
}

const READING: Readonly<Record<string, string>> = {
  ENOENT: 'There is no such file.',
  EACCES: 'This file may not be read by you.',
  EPERM: 'This file may not be read by you.',
  ENOTDIR: 'A part of this path is a file, not a folder.',
  ENAMETOOLONG: 'This name is too long for a file.',
  ELOOP: 'This link leads round in a circle.',
  ERR_INVALID_ARG_VALUE: 'This is no name for a file.',
};

/** The sentence for a file that cannot be opened or read; what is no fault of a file comes back as it is. */
export function unreadable(name: string, error: unknown): unknown {
  const { code, syscall } = error as NodeJS.ErrnoException;
  if (error instanceof InputFault || code === undefined) return error;
  if (code === 'EISDIR') return aFolder(name);
  const message = READING[code] ?? (syscall && `This file cannot be read (${code}).`);
  if (message === undefined || message === '') return error;
  return new InputFault([
    { code: 'unreadable', message, where: { file: name }, expected: 'the name of a file that is there' },
  ]);
}
