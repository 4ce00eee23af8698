import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Law } from '../job.ts';
import { editDistance, nearest } from './nearest.ts';
import { misfit, moveSpread, parseSpread, parseUncertain } from './spread.ts';

/** Goal: the grammar of spreads, both ways round. Method: each form by hand, then any numbers written and read back. */
const law = (text: string, unit: string): Law => {
  const parsed = parseSpread(text, unit);
  if (!parsed.ok) throw new Error(`${parsed.message} Expected ${parsed.expected}.`);
  return parsed.value;
};

describe('a spread', () => {
  it('of every form is read in SI', () => {
    expect(law('+- 3 K', 'C')).toEqual({ kind: 'normal', sd: 3 });
    expect(law('+- 2 C', 'C')).toEqual({ kind: 'normal', sd: 2 });
    expect(law('+- 10 g', 'g')).toEqual({ kind: 'normal', sd: 0.01 });
    expect(law('+- 1.5 K in 216 .. 224 C', 'C')).toEqual({
      kind: 'normal',
      sd: 1.5,
      low: 489.15,
      high: 497.15,
    });
    expect(law('x/ 1.57', 'kPa')).toEqual({ kind: 'factor', factor: 1.57 });
    expect(law('x/ 1.568 in 1.5 .. 15 kPa', 'kPa')).toEqual({
      kind: 'factor',
      factor: 1.568,
      low: 1500,
      high: 15000,
    });
    expect(law('x/ 1.57', '')).toEqual({ kind: 'factor', factor: 1.57 });
    expect(law('20 .. 26 C', 'C')).toEqual({ kind: 'even', low: 293.15, high: 299.15 });
    expect(law('-1 .. 1 %', '%')).toEqual({ kind: 'even', low: -0.01, high: 0.01 });
    expect(law('165 / 185 / 195 C', 'C')).toEqual({
      kind: 'triangle',
      low: 438.15,
      peak: 458.15,
      high: 468.15,
    });
    expect(law('0 / 3 / 8 %', '%')).toEqual({ kind: 'triangle', low: 0, peak: 0.03, high: 0.08 });
    expect(law('counts 1 of 10', '')).toEqual({ kind: 'count', hits: 1, of: 10 });
    expect(law('fixed', 'mm')).toEqual({ kind: 'fixed' });
    expect(law('follows melts at by melts at + 8 K', 'C')).toEqual({
      kind: 'follows',
      keys: ['melts at'],
      by: 'melts at + 8 K',
    });
  });

  it.each([
    ['', 'C'],
    ['about 3', 'C'],
    ['+- 0 K', 'C'],
    ['+- 3', 'C'],
    ['+- 3 mm', 'C'],
    ['x/ 0.9', 'kPa'],
    ['x/ 1.5', 'C'],
    ['x/ 1.5 kPa', 'kPa'],
    ['26 .. 20 C', 'C'],
    ['20 .. 26', 'C'],
    ['20 .. 26 .. 30 C', 'C'],
    ['165 / 195 C', 'C'],
    ['185 / 165 / 195 C', 'C'],
    ['20 .. 26 C in 10 .. 30 C', 'C'],
    ['+- 3 K in 10 .. 30 C in 0 .. 40 C', 'C'],
    ['counts 0 of 10', ''],
    ['counts 10 of 10', ''],
    ['follows by nothing', 'C'],
    ['0,5 .. 0,7 mm', 'mm'],
  ])('"%s" is refused', (text, unit) => expect(parseSpread(text, unit).ok).toBe(false));

  it('of any size comes back as it was written', () => {
    const number = fc.double({ min: 0.01, max: 1000, noNaN: true }).map((x) => Number(x.toPrecision(5)));
    fc.assert(
      fc.property(number, number, number, (a, b, c) => {
        const [low, peak, high] = [a, b, c].sort((x, y) => x - y) as [number, number, number];
        fc.pre(low < high);
        const close = (x: number, y: number) => expect(Math.abs(x - y)).toBeLessThan(1e-12 * Math.max(1, y));
        const normal = law(`+- ${a} mm in ${low} .. ${high} mm`, 'mm') as Extract<Law, { kind: 'normal' }>;
        close(normal.sd, a / 1000);
        close(normal.low!, low / 1000);
        close(normal.high!, high / 1000);
        const triangle = law(`${low} / ${peak} / ${high} mm`, 'mm') as Extract<Law, { kind: 'triangle' }>;
        close(triangle.peak, peak / 1000);
        expect(misfit(triangle.peak, triangle)).toBeNull();
        const even = parseUncertain(`${low} .. ${high} mm`, 'mm');
        if (!even.ok) throw new Error(even.message);
        close(even.value.value, (low + high) / 2000);
        expect(misfit(even.value.value, even.value.law!)).toBeNull();
      }),
      { seed: 3, numRuns: 300 },
    );
  });
});

describe('a value of the person', () => {
  it('brings its spread, or none', () => {
    expect(parseUncertain('22 C', 'C')).toEqual({ ok: true, value: { value: 295.15, law: null } });
    expect(parseUncertain('22 C +- 2 C', 'C')).toEqual({
      ok: true,
      value: { value: 295.15, law: { kind: 'normal', sd: 2 } },
    });
    expect(parseUncertain('5 kPa x/ 1.57 in 1.5 .. 15 kPa', 'kPa')).toMatchObject({
      value: { value: 5000, law: { kind: 'factor', low: 1500 } },
    });
    expect(parseUncertain('1 in 31', '')).toEqual({ ok: true, value: { value: 1 / 31, law: null } });
    expect(parseUncertain('counts 1 of 10', '')).toEqual({
      ok: true,
      value: { value: 0.1, law: { kind: 'count', hits: 1, of: 10 } },
    });
  });

  it('outside its own bounds is refused', () => {
    expect(parseUncertain('22 C +- 2 C in 25 .. 30 C', 'C').ok).toBe(false);
    expect(parseUncertain('22 +- 2 C', 'C').ok).toBe(false);
  });

  it('without a spread takes that of its card with it', () => {
    expect(moveSpread({ kind: 'even', low: 0.1, high: 0.32 }, 0.2, 0.1, '')).toEqual({
      kind: 'even',
      low: expect.closeTo(0.05, 12) as number,
      high: 0.16,
    });
    expect(moveSpread({ kind: 'even', low: 293.15, high: 299.15 }, 296.15, 290.15, 'C')).toEqual({
      kind: 'even',
      low: 287.15,
      high: 293.15,
    });
    expect(moveSpread({ kind: 'even', low: -0.01, high: 0.01 }, 0, 0.01, '%')).toEqual({
      kind: 'even',
      low: 0,
      high: 0.02,
    });
    const moved = moveSpread({ kind: 'factor', factor: 1.15, low: 0.26, high: 0.5 }, 0.34, 0.17, 'W/mK');
    expect(moved).toEqual({ kind: 'factor', factor: 1.15, low: 0.13, high: 0.25 });
  });

  it('with the moved spread always lies inside it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        (from, to) => {
          for (const text of [`${from / 2} .. ${from * 2} mm`, `${from / 3} / ${from} / ${from * 2} mm`])
            expect(misfit(to / 1000, moveSpread(law(text, 'mm'), from / 1000, to / 1000, 'mm'))).toBeNull();
        },
      ),
      { seed: 4, numRuns: 200 },
    );
  });
});

describe('the nearest known word', () => {
  it('is found through a slip and not through another word', () => {
    expect(nearest('temprature', ['volume', 'temperature'])).toBe('temperature');
    expect(nearest('pritner', ['printer', 'pointer'])).toBe('printer');
    expect(nearest('colour', ['printer', 'sheet'])).toBeNull();
    expect(nearest('x', [])).toBeNull();
  });

  it('is the word itself, and one slip never leads astray among words far apart', () => {
    const known = ['enclosed-desktop', 'bed-under-card-cover', 'fan-oven', 'dryer-vented'];
    fc.assert(
      fc.property(fc.constantFrom(...known), fc.nat(), fc.stringMatching(/^[a-z]$/), (word, at, letter) => {
        const k = at % word.length;
        expect(nearest(word, known)).toBe(word);
        expect(nearest(word.slice(0, k) + letter + word.slice(k + 1), known)).toBe(word);
        expect(nearest(word.slice(0, k) + word.slice(k + 1), known)).toBe(word);
      }),
      { seed: 5, numRuns: 200 },
    );
  });

  it('is measured as a distance: none to itself, the same both ways', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 12 }), fc.string({ maxLength: 12 }), (a, b) => {
        expect(editDistance(a, a)).toBe(0);
        expect(editDistance(a, b)).toBe(editDistance(b, a));
        expect(editDistance(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length));
      }),
      { seed: 6, numRuns: 200 },
    );
  });
});
