/**
 * Goal: the example's tool paths are made whole, always the same, and left alone when they are there.
 */
import { createHash } from 'node:crypto';
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type MakeProgress, makeExamplePrints } from '../../examples/make.ts';
import { examplePrints, smallPrints } from '../../examples/prints.ts';
import { namedPrints, planned, printBytes, printText, quickPrints } from './named-prints.ts';

const folder = mkdtempSync(join(tmpdir(), 'bonedry-prints-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const hashOf = (lines: Iterable<string>): string => {
  const hash = createHash('sha256');
  for (const line of lines) hash.update(line).update('\n');
  return hash.digest('hex');
};

describe('the named prints', () => {
  it('are four, the largest of tens of MB, and small ones of the same kinds', () => {
    expect(examplePrints().map(({ name }) => name)).toEqual(Object.values(namedPrints));
    expect(smallPrints().map(({ name }) => name)).toEqual(Object.values(quickPrints));
    expect(printBytes(namedPrints.upright).length).toBeGreaterThan(15e6);
    for (const name of Object.values(quickPrints)) expect(printBytes(name).length).toBeLessThan(1.5e6);
  });

  it('are the same bytes on every run', () => {
    for (const name of [...Object.values(quickPrints), namedPrints.flat]) {
      const again = [...examplePrints(), ...smallPrints()].find((print) => print.name === name)!;
      expect(hashOf(again.lines())).toBe(createHash('sha256').update(printBytes(name)).digest('hex'));
    }
  });

  it('are plain ASCII with one command a line', () => {
    for (const name of Object.values(quickPrints)) {
      const lines = printText(name).split('\n');
      expect(lines.pop()).toBe('');
      expect(lines.filter((line) => !/^(; [ -~]+|[GM]\d+( [A-Z]-?\d+(\.\d+)?)*)$/.test(line))).toEqual([]);
    }
  });

  it('end in four ways, one each', () => {
    expect(new Set(Object.values(namedPrints).map((name) => planned(name).ending)).size).toBe(4);
  });

  it('lie inside the sheet of 260 x 220 mm, bars at least 5 mm from its edge', () => {
    for (const name of Object.values(namedPrints)) {
      const xs: number[] = [];
      const ys: number[] = [];
      for (const { points } of firstLayer(name))
        for (const [x, y] of points) {
          xs.push(x);
          ys.push(y);
        }
      expect(Math.min(...xs, ...ys)).toBeGreaterThan(0.005);
      expect(Math.max(...xs)).toBeLessThan(0.255);
      expect(Math.max(...ys)).toBeLessThan(0.215);
    }
  });
});

function firstLayer(name: (typeof namedPrints)[keyof typeof namedPrints]) {
  const { bars, brims } = planned(name).print;
  const placed = bars
    .flatMap((bar) => [bar, ...(bar.posts ?? [])])
    .map(({ solid, at }) => ({
      points: solid.outline.map(([x, y]) => [x + at[0], y + at[1]] as const),
    }));
  const around = brims.map(({ outline, width }) => ({
    points: outline.flatMap(([x, y]) => [[x - width, y - width] as const, [x + width, y + width] as const]),
  }));
  return [...placed, ...around];
}

describe('making the files', () => {
  it('writes all four once, and leaves them alone when they are there and whole', () => {
    const told: MakeProgress[] = [];
    const paths = makeExamplePrints(folder, (progress) => told.push(progress));
    expect(paths).toEqual(Object.values(namedPrints).map((name) => join(folder, name)));
    expect(told.filter(({ state }) => state === 'made').map(({ name }) => name)).toEqual(
      Object.values(namedPrints),
    );
    for (const [i, name] of Object.values(namedPrints).entries())
      expect(readFileSync(paths[i]!).equals(Buffer.from(printBytes(name)))).toBe(true);
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);

    const old = new Date(2020, 1, 1);
    for (const path of paths) utimesSync(path, old, old);
    const again: MakeProgress[] = [];
    makeExamplePrints(folder, (progress) => again.push(progress));
    expect(again.map(({ state }) => state)).toEqual(['there', 'there', 'there', 'there']);
    for (const path of paths) expect(statSync(path).mtimeMs).toBe(old.getTime());
  });

  it('makes again what was cut off, made by other rules, or has lost its stamp', () => {
    makeExamplePrints(folder);
    truncateSync(join(folder, namedPrints.flat), 1000);
    const stampFile = join(folder, '.made.json');
    const stamps = JSON.parse(readFileSync(stampFile, 'utf8')) as Record<string, { rules: string }>;
    stamps[namedPrints.mixed]!.rules = 'others';
    writeFileSync(stampFile, JSON.stringify(stamps));
    const states = new Map<string, string>();
    makeExamplePrints(folder, ({ name, state }) => states.set(name, state));
    expect([...states.values()]).toEqual(['made', 'there', 'there', 'made']);
    expect(statSync(join(folder, namedPrints.flat)).size).toBe(printBytes(namedPrints.flat).length);

    writeFileSync(stampFile, 'no stamps');
    makeExamplePrints(folder, ({ name, state }) => states.set(name, state));
    expect([...states.values()]).toEqual(['made', 'made', 'made', 'made']);
  });
});
