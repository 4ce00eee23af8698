import { renameSync, rmSync, writeFileSync } from 'node:fs';

/** Writes a file whole or not at all: under a temporary name first, then renamed. */
export function writeWhole(path: string, content: string | Uint8Array): void {
  const temporary = `${path}.${process.pid}.part`;
  try {
    writeFileSync(temporary, content);
    renameSync(temporary, path);
  } catch (error) {
    rmSync(temporary, { force: true });
    throw error;
  }
}
