/**
 * Writes the example's tool paths and curves beside the example campaign. A file that is there already, whole and made by the
 * same rules, is left alone. Written under a temporary name and renamed, so that no half file is ever read.
 */
import { createHash } from 'node:crypto';
import {
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { textBytes } from '../src/engine/gcode/synthetic.ts';
import { exampleCurves } from './curves.ts';
import { type ExamplePrint, examplePrints } from './prints.ts';

export type MakeProgress = Readonly<{
  name: string;
  /** Bytes written so far of this file. */
  bytes: number;
  state: 'there' | 'writing' | 'made';
}>;

const stampName = '.made.json';
/** Lines from the start that go into a stamp: they hold every rule of the generator at least once. */
const stampLines = 4000;

type Stamps = Record<string, { rules: string; bytes: number }>;

/**
 * Makes the four prints in a folder, which is made where it is missing.
 *
 * @returns their paths, in the order of the plates
 */
export function makeExamplePrints(folder: string, onProgress?: (progress: MakeProgress) => void): string[] {
  mkdirSync(folder, { recursive: true });
  const stampFile = join(folder, stampName);
  const stamps = readStamps(stampFile);
  return examplePrints().map((print) => {
    const path = join(folder, print.name);
    const rules = rulesOf(print);
    const stamp = stamps[print.name];
    if (stamp?.rules === rules && existsSync(path) && statSync(path).size === stamp.bytes) {
      onProgress?.({ name: print.name, bytes: stamp.bytes, state: 'there' });
      return path;
    }
    const bytes = write(path, print, (written) =>
      onProgress?.({ name: print.name, bytes: written, state: 'writing' }),
    );
    stamps[print.name] = { rules, bytes };
    writeWhole(stampFile, `${JSON.stringify(stamps, null, 2)}\n`);
    onProgress?.({ name: print.name, bytes, state: 'made' });
    return path;
  });
}

/**
 * Makes the curves of the example's bars in a folder, which is made where it is missing. A file that is there with the
 * same content is left alone.
 *
 * @returns their paths, in the order of the plates
 */
export function makeExampleCurves(folder: string): string[] {
  mkdirSync(folder, { recursive: true });
  return exampleCurves().map(({ name, text }) => {
    const path = join(folder, name);
    if (!existsSync(path) || readFileSync(path, 'utf8') !== text) writeWhole(path, text);
    return path;
  });
}

/** A hash of what a file depends on: its plan, its first lines, and how it ends. */
function rulesOf(print: ExamplePrint): string {
  const hash = createHash('sha256').update(JSON.stringify([print.print, print.bars, print.ending]));
  let count = 0;
  for (const line of print.lines()) {
    hash.update(line);
    if (++count >= stampLines) break;
  }
  return hash.digest('hex');
}

function write(path: string, print: ExamplePrint, onBytes: (bytes: number) => void): number {
  const temporary = `${path}.${process.pid}.part`;
  const file = openSync(temporary, 'w');
  let bytes = 0;
  try {
    let told = 0;
    for (const chunk of textBytes(print.lines())) {
      writeSync(file, chunk);
      bytes += chunk.length;
      if (bytes - told >= 1 << 20) {
        told = bytes;
        onBytes(bytes);
      }
    }
  } catch (fault) {
    closeSync(file);
    rmSync(temporary, { force: true });
    throw fault;
  }
  closeSync(file);
  renameSync(temporary, path);
  return bytes;
}

function writeWhole(path: string, text: string): void {
  const temporary = `${path}.${process.pid}.part`;
  writeFileSync(temporary, text);
  renameSync(temporary, path);
}

/** A stamp that cannot be read counts as none: the files are then made again. */
function readStamps(path: string): Stamps {
  try {
    return JSON.parse(readFileSync(path, 'utf8')) as Stamps;
  } catch {
    return {};
  }
}
