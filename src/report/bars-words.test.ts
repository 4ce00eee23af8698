import { describe, expect, it } from 'vitest';
import { barOf, TEST } from '../engine/results/bars.fixture.ts';
import { type Asked, resultsOf } from '../engine/results/results.ts';
import { digitsOf, plusMinus, pWords, ratioWords } from './bars-figures.ts';
import { headlineOf, pairSaying } from './bars-words.ts';
import { niceAxis } from './nice-ticks.ts';

// Goal: one sentence says what may be said and no more. Method: small series whose verdicts are known.

const asked = (compare: readonly string[], said: Partial<Asked> = {}): Asked => ({
  compare,
  measure: 'strength',
  smallest: 0.1,
  power: 0.8,
  assumed: false,
  ...said,
});
const bars = (group: string, plate: string, mean: number, spread = 1) =>
  [-spread, 0, spread].map((step, k) => barOf(`${group}${plate}${k}`, mean + step, { group, plate }));
const on = (means: Readonly<Record<string, readonly number[]>>, spread = 1) =>
  Object.entries(means).flatMap(([group, each]) =>
    each.flatMap((mean, k) => bars(group, `p${k}`, mean, spread)),
  );
const headline = (means: Readonly<Record<string, readonly number[]>>, said: Asked, spread = 1) =>
  headlineOf(resultsOf(on(means, spread), said, TEST, 0.95)[0]!, said).replaceAll('\u00a0', ' ');

describe('the headline', () => {
  it('tells what the weaker of two keeps', () => {
    expect(headline({ flat: [80, 81, 79], upright: [32, 33, 31] }, asked(['flat', 'upright']))).toMatch(
      /^Upright keeps 40 % \(3\d to 4\d\) of flat$/,
    );
  });

  it('tells two alike, or open, and never differs for the order of asking', () => {
    const alike = { flat: [80, 81, 79], edge: [80.2, 80.8, 79.4] };
    expect(headline(alike, asked(['flat', 'edge']))).toMatch(/^.* are alike within 10 %$/);
    expect(headline(alike, asked(['edge', 'flat']))).toBe(headline(alike, asked(['flat', 'edge'])));
    expect(headline({ flat: [80, 90, 70], edge: [85, 80, 90] }, asked(['flat', 'edge']))).toMatch(
      /^Whether flat and edge differ by 10 % is open \(flat keeps \d+ % \(\d+ to \d+\)\)$/,
    );
  });

  it('names the strongest of three where all lie apart', () => {
    const three = { flat: [80, 80.5, 79.5], edge: [120, 121, 119], upright: [32, 32.2, 31.8] };
    expect(headline(three, asked(['flat', 'edge', 'upright']))).toMatch(
      /^Edge is strongest; of its strength flat keeps 6[67][.\d]* % \([\d.]+ to [\d.]+\) and upright 2[67][.\d]* % \([\d.]+ to [\d.]+\)$/,
    );
  });

  it('does not answer where plate and group are one, or where the curves have no such number', () => {
    const lone = [...bars('flat', 'A', 80), ...bars('upright', 'B', 32)];
    const said = asked(['flat', 'upright']);
    expect(headlineOf(resultsOf(lone, said, TEST, 0.95)[0]!, said)).toBe(
      'Not answered: plate and group cannot be told apart',
    );
    const yields = asked(['flat', 'upright'], { measure: 'yield stress' });
    expect(headlineOf(resultsOf(lone, yields, TEST, 0.95)[0]!, yields)).toBe(
      'Not answered: these curves give no yield stress',
    );
  });
});

describe('what may be said of a pair', () => {
  it('has its interval, its method, and the bars as they are from the higher one', () => {
    const said = asked(['flat', 'upright']);
    const [series] = resultsOf(on({ flat: [80, 81, 79], upright: [32, 33, 31] }), said, TEST, 0.95);
    const { words, small } = pairSaying(series!.pairs[0]!, series!, said);
    expect(words).toMatch(/of flat; they differ by more than 10.%\.$/);
    expect(small).toContain('95\u00a0% interval. Compared within plates that carry both.');
    expect(small).toMatch(/flat is 48.MPa higher \(4\d to 4\d|5\d\), for these plates\./);
  });
});

describe('figures', () => {
  it('have the digits of the standard, zeros kept', () => {
    expect(digitsOf(98.04e6, 'MPa', 3)).toBe('98.0\u00a0MPa');
    expect(digitsOf(0.0245, '%', 2)).toBe('2.4\u00a0%');
    expect(digitsOf(0.0255, '%', 2)).toBe('2.6\u00a0%');
    expect(digitsOf(7.1e9, 'GPa', 3)).toBe('7.10\u00a0GPa');
    expect(digitsOf(0, 'MPa', 3)).toBe('0\u00a0MPa');
  });

  it('tell a spread to two digits, and one below their last place as such', () => {
    const figures = (mean: number, half: number | null) => ({
      n: 5,
      mean,
      s: 1,
      cv: 0.1,
      lo: half === null ? null : mean - half,
      hi: half === null ? null : mean + half,
      without: [],
      asked: null,
    });
    expect(plusMinus(figures(97.83e6, 2.71e6), 'MPa', 3)).toBe('97.8\u00a0±\u00a02.7');
    expect(plusMinus(figures(0.0219817, 4.7e-6), '%', 2)).toBe('2.20\u00a0±\u00a0<0.01');
    expect(plusMinus(figures(97.83e6, null), 'MPa', 3)).toBe('97.8');
    expect(plusMinus(null, 'MPa', 3)).toBe('–');
    expect(ratioWords(0.383, 0.308, 0.477)).toBe('38\u00a0% (31 to 48)');
    expect([pWords(0.00009), pWords(0.1), pWords(0.0123)]).toEqual(['p < 0.0001', 'p = 0.10', 'p = 0.012']);
  });
});

describe('an axis', () => {
  it('holds both ends in round steps, whole ones where things are counted', () => {
    expect(niceAxis(16, 92, 6).ticks.map(({ label }) => label)).toEqual(['0', '20', '40', '60', '80', '100']);
    expect(niceAxis(1, 4, 6, 1).ticks.map(({ at }) => at)).toEqual([1, 2, 3, 4]);
    expect(niceAxis(5, 5, 4).ticks.length).toBeGreaterThan(1);
    for (const [low, high] of [
      [0.271, 0.338],
      [-3, 17],
      [0, 1e-3],
    ] as const) {
      const axis = niceAxis(low, high, 6);
      expect(axis.low).toBeLessThanOrEqual(low);
      expect(axis.high).toBeGreaterThanOrEqual(high);
      expect(axis.ticks.length).toBeLessThanOrEqual(8);
    }
  });
});
