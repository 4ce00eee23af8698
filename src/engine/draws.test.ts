import { describe, expect, it } from 'vitest';
import type { Entry, Law, Sharing } from '../job.ts';
import { Draws, fromNormal } from './draws.ts';

const entry = (key: string, value: number, law: Law, sharing: Sharing = 'kit'): Entry => ({
  key,
  card: 'test/test',
  value,
  unit: '',
  law,
  sharing,
  source: 'made up for this test',
  readBy: [],
  from: 'card',
});
const entries = Object.fromEntries(
  [
    entry('limits.strict', 0.002, { kind: 'even', low: 0.0015, high: 0.003 }, 'material'),
    entry('limits.visible', 0.004, { kind: 'even', low: 0.0025, high: 0.0055 }, 'material'),
    entry('printer.clock factor', 1, { kind: 'factor', factor: 1.03 }, 'run'),
    entry('strand.melts at', 493.15, { kind: 'normal', sd: 1.5, low: 489.15, high: 497.15 }),
    entry('strand.flows above', 501.15, { kind: 'follows', keys: ['melts at'], by: 'melts at + 8 K' }),
    entry('bars.loss of bars', 0.1, { kind: 'count', hits: 1, of: 10 }),
    entry('x.triangle', 185, { kind: 'triangle', low: 165, peak: 185, high: 195 }),
  ].map((e) => [e.key, e]),
);
const all = { seed: 7, from: 0, to: 256 };
const mean = (column: Float64Array) => column.reduce((a, b) => a + b) / column.length;

describe('draws', () => {
  it('a part of the draws is that part of the whole, bit for bit', () => {
    const whole = new Draws(entries, all).column('limits.strict');
    const part = new Draws(entries, all).part(64, 128).column('limits.strict');
    expect([...part]).toEqual([...whole.slice(64, 128)]);
  });

  it('a column does not depend on what else was asked for, and changes with the seed', () => {
    const first = new Draws(entries, all);
    first.column('x.triangle');
    expect(first.column('strand.melts at')).toEqual(new Draws(entries, all).column('strand.melts at'));
    expect(first.column('strand.melts at')).not.toEqual(
      new Draws(entries, { ...all, seed: 8 }).column('strand.melts at'),
    );
  });

  it('what is new in every run differs from plate to plate, what belongs to the kit does not', () => {
    const draws = new Draws(entries, all);
    expect(draws.column('printer.clock factor', 'A')).not.toEqual(draws.column('printer.clock factor', 'B'));
    expect(draws.column('strand.melts at', 'A')).toBe(draws.column('strand.melts at', 'B'));
  });

  it('the visible limit never falls below the strict one in the same draw', () => {
    const draws = new Draws(entries, all);
    const strict = draws.column('limits.strict');
    const visible = draws.column('limits.visible');
    expect(visible.every((limit, i) => limit >= strict[i]!)).toBe(true);
    expect(visible.some((limit, i) => limit === strict[i]!)).toBe(true);
  });

  it('an entry that follows keeps its distance', () => {
    const draws = new Draws(entries, all);
    const melts = draws.column('strand.melts at');
    expect(draws.column('strand.flows above').every((x, i) => Math.abs(x - melts[i]! - 8) < 1e-9)).toBe(true);
  });

  // Means of the laws in closed form: (a + b)/2; (a + peak + b)/3; hits/of. Stratified, so far closer than 1/sqrt(N).
  it('256 draws have the means of their laws', () => {
    const draws = new Draws(entries, all);
    expect(mean(draws.column('limits.strict'))).toBeCloseTo(0.00225, 5);
    expect(mean(draws.column('x.triangle'))).toBeCloseTo((165 + 185 + 195) / 3, 1);
    expect(mean(draws.column('bars.loss of bars'))).toBeCloseTo(0.1, 3);
  });

  it('bounds hold and the peak of a triangle is where its two sides meet', () => {
    const law: Law = { kind: 'normal', sd: 3, low: -8, high: 8 };
    expect(fromNormal(0, law, 5)).toBe(8);
    expect(fromNormal(0, law, -5)).toBe(-8);
    expect(fromNormal(1, { kind: 'factor', factor: 2 }, -1)).toBe(0.5);
    expect(fromNormal(1, { kind: 'triangle', low: 0, peak: 1, high: 2 }, 0)).toBeCloseTo(1, 12);
  });

  it('says which entry is missing or has no numbers', () => {
    const draws = new Draws({ ...entries, 'a.word': { ...entries['x.triangle']!, value: 'bed' } }, all);
    expect(() => draws.column('no.such')).toThrow('no.such');
    expect(() => draws.column('a.word')).toThrow('bed');
  });
});
