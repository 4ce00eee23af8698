import { existsSync, readFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of this checkout: cards, examples and the built page lie in it. */
export const HOME = findHome(dirname(fileURLToPath(import.meta.url)));

function findHome(folder: string): string {
  const manifest = join(folder, 'package.json');
  if (
    existsSync(manifest) &&
    (JSON.parse(readFileSync(manifest, 'utf8')) as { name?: string }).name === 'bonedry'
  )
    return folder;
  const above = dirname(folder);
  if (above === folder) throw new Error('the folder of this program was not found');
  return findHome(above);
}

/** Where this person's uploads, new campaigns and cached results are kept. */
export function dataFolder(): string {
  return resolve(process.env['BONEDRY_HOME'] || join(homedir(), '.bonedry'));
}
