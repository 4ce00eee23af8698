import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll } from 'vitest';
import { run } from '../../src/cli/run.ts';
import type { AskLine, Terminal } from '../../src/cli/terminal.ts';
import { Cancelled } from '../../src/problem.ts';
import { printBytes } from '../facts/named-prints.ts';

/** What the tests of the edges work in: a folder of their own, a small campaign, a terminal that can be read. */
export const HOME = join(import.meta.dirname, '../..');
export const CLI = join(HOME, 'dist/server/cli.js');

const rooms: string[] = [];
afterAll(() => {
  for (const room of rooms) rmSync(room, { recursive: true, force: true });
});

/** A folder that is taken away at the end. What the program keeps of its own goes to `home` in it. */
export function makeRoom(): string {
  const room = mkdtempSync(join(tmpdir(), 'bonedry-edges-'));
  rooms.push(room);
  process.env['BONEDRY_HOME'] = join(room, 'home');
  return room;
}

/** Writes a file into a room and says its name. */
export function put(room: string, name: string, content: string | Uint8Array): string {
  mkdirSync(dirname(join(room, name)), { recursive: true });
  writeFileSync(join(room, name), content);
  return name;
}

export const FLAT = 'prints/flat-one.gcode';

/** A campaign of one plate with one flat bar, as a person would write it, with comments. Its drying is short to compute. */
export function campaignText({ want = '{ comes off: 0.8, counts: 0.5 }', more = '' } = {}): string {
  return `# Brackets for the river gauges, invented.
format: 1
campaign: One bar
want: ${want} # a wish
kit:
  dryer: { card: fan-oven, at: "80 C", for: "2 h" } # the oven in the shed
spool:
  card: pa6-cf-15 # the grey one
  net: "750 g"
  dry at most: "100 C"
groups:
  - { name: flat, bar: 1B, orientation: flat, bars: 1 }
plates:
  - { name: A, print: { gcode: ${FLAT} }, bars: { 1: flat } }
${more}`;
}

/** The campaign with its print in a new room. */
export function makeScene(wish: Parameters<typeof campaignText>[0] = {}): string {
  const room = makeRoom();
  put(room, FLAT, printBytes('flat-one.gcode'));
  put(room, 'campaign.yaml', campaignText(wish));
  return room;
}

export type Said = { status: number; out: string; err: string; progress: string[] };
export type Wish = {
  input?: string;
  /** Answers to what is asked, in order; the input ends after the last. */
  answers?: readonly string[];
  stopper?: AbortController;
  onProgress?: (count: number) => void;
  onOut?: (text: string) => void;
};

/** Runs a command as the terminal would, in this process. */
export async function bonedry(folder: string, args: readonly string[], wish: Wish = {}): Promise<Said> {
  const said = { out: '', err: '', progress: [] as string[] };
  const answers = [...(wish.answers ?? [])];
  const line: AskLine = async (words) => {
    said.err += `${words}\n`;
    const answer = answers.shift();
    if (answer === undefined) throw new Cancelled();
    return answer;
  };
  const terminal: Terminal = {
    out: (text) => {
      said.out += text;
      wish.onOut?.(text);
    },
    err: (text) => {
      said.err += text;
    },
    input: async () => wish.input ?? '',
    progress: (text) => {
      if (text === '') return;
      said.progress.push(text);
      wish.onProgress?.(said.progress.length);
    },
    interactive: wish.answers !== undefined,
    asking: (work) => work(line),
    bold: (text) => text,
    folder,
    signal: (wish.stopper ?? new AbortController()).signal,
  };
  const status = await run(args, terminal);
  return { status, ...said };
}

/** All files under a folder, by their names from there. */
export function filesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .sort();
}
