/**
 * Goal: the folder of uploads stays bounded, and nothing that somebody uses goes. Method: files with sizes and ages set
 * by hand in a folder of the test's own.
 */
import { existsSync, mkdirSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keepUpload, tidyUploads } from './uploads.ts';

const DAY = 24 * 3600;
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bonedry-uploads-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** A file of some bytes that was last used so many days ago. */
function put(name: string, bytes: number, days: number): string {
  const path = join(folder, name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, 'x'.repeat(bytes));
  const then = Date.now() / 1000 - days * DAY;
  utimesSync(path, then, then);
  return path;
}

describe('uploads', () => {
  it('beyond the bound the longest unused goes, with its folder; none that a campaign is made of', () => {
    const [newest, used, oldest] = [
      put('c/c.gcode', 600, 2),
      put('b/b.gcode', 600, 30),
      put('a/a.gcode', 600, 9),
    ];
    tidyUploads(folder, new Set([used!]), 1000);
    expect([newest, used, oldest].map((path) => existsSync(path!))).toEqual([true, true, false]);
    expect(existsSync(dirname(oldest!))).toBe(false);
  });

  it('within the bound nothing goes, and nothing of the last day does', () => {
    const few = [put('a/a.gcode', 400, 90), put('b/b.gcode', 400, 0.5)];
    tidyUploads(folder, new Set(), 1000);
    expect(few.every((path) => existsSync(path))).toBe(true);
    const fresh = put('c/c.gcode', 5000, 0.5);
    tidyUploads(folder, new Set(), 1000);
    expect(existsSync(fresh)).toBe(true);
    expect(existsSync(few[0]!)).toBe(false);
  });

  it('what was left of an upload that was killed goes after a day; other files beside it stay', () => {
    const [rest, coming, other] = [
      put('incoming-1', 10, 2),
      put('incoming-2', 10, 0.1),
      put('notes.txt', 10, 9),
    ];
    tidyUploads(folder, new Set());
    expect([rest, coming, other].map((path) => existsSync(path!))).toEqual([false, true, true]);
  });

  it('an upload that comes again counts as used', async () => {
    const path = await keepUpload(Readable.from(['G1 X1']), 'a.gcode', folder, 100);
    const then = Date.now() / 1000 - 9 * DAY;
    utimesSync(path, then, then);
    expect(await keepUpload(Readable.from(['G1 X1']), 'a.gcode', folder, 100)).toBe(path);
    tidyUploads(folder, new Set(), 1);
    expect(existsSync(path)).toBe(true);
  });

  it('a folder that is not there is no fault', () => {
    expect(() => tidyUploads(join(folder, 'none'), new Set())).not.toThrow();
  });
});
