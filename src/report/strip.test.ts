import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { quantileOf, shareHolds } from '../engine/plan/predictive.ts';
import { type Drawn, makeStrip, runsThatHold, spreadOf } from './strip.ts';

const even = (count: number) => new Float64Array(count).fill(1);
const drawn = (x: number[], more: Partial<Drawn> = {}, scatter = 0.15): Drawn => ({
  predictive: { x: Float64Array.from(x), scatter, weights: even(x.length) },
  limit: 0.002,
  side: 'at most',
  unit: 0.01,
  print: (value) => (100 * value).toFixed(2),
  printLimit: (value) => `${(100 * value).toFixed(2)} wt %`,
  finding: 'found',
  ...more,
});
const margins = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 1, maxLength: 64 });

describe('predictive', () => {
  // One draw: ln margin is normal, so its quantiles are x + s z (closed form).
  it('of one draw is a normal', () => {
    const predictive = { x: Float64Array.of(0.3), scatter: 0.2, weights: even(1) };
    expect(quantileOf(predictive, 0.975)).toBeCloseTo(0.3 + 0.2 * 1.959963984540054, 9);
    expect(shareHolds(predictive)).toBeCloseTo(0.9331927987311419, 12); // Phi(1.5), handbook table
  });

  it('a hazard fails a run outright', () => {
    const predictive = {
      x: Float64Array.of(1),
      scatter: 0.1,
      hazard: Float64Array.of(0.7),
      weights: even(1),
    };
    expect(shareHolds(predictive)).toBeCloseTo(0.7, 9);
    expect(quantileOf(predictive, 0.2)).toBe(Number.NEGATIVE_INFINITY);
    expect(quantileOf(predictive, 0.5)).toBeGreaterThan(0.8);
  });
});

describe('strip', () => {
  it('has twenty dots, none on the line, and they tell what the share tells', () => {
    fc.assert(
      fc.property(margins, (x) => {
        const strip = makeStrip(drawn(x));
        expect(strip.dots).toHaveLength(20);
        expect(strip.dots.every((dot) => dot.holds === dot.column >= 0)).toBe(true);
        expect(Math.abs(runsThatHold(strip) - 20 * shareHolds(drawn(x).predictive))).toBeLessThanOrEqual(
          0.5 + 1e-6,
        );
        const ascii = [...strip.ascii].filter((sign) => /[0-9a-k]/.test(sign));
        expect(ascii.reduce((sum, sign) => sum + Number.parseInt(sign, 36), 0)).toBe(20);
      }),
      { seed: 1 },
    );
  });

  it('at most four ticks, in order, none under the limit, none below nought', () => {
    fc.assert(
      fc.property(margins, fc.constantFrom('at most' as const, 'at least' as const), (x, side) => {
        const { ticks } = makeStrip(drawn(x, { side }));
        expect(ticks.length).toBeLessThanOrEqual(4);
        for (const { at, label } of ticks) {
          expect(Math.abs(at)).toBeGreaterThanOrEqual(46);
          expect(Number(label)).toBeGreaterThanOrEqual(0);
        }
      }),
      { seed: 2 },
    );
  });

  it('a quantity that must stay small runs backwards: less water lies further right', () => {
    const dry = makeStrip(drawn([1.2, 1.2]));
    const wet = makeStrip(drawn([-1.2, -1.2]));
    expect(Math.min(...dry.dots.map((dot) => dot.column))).toBeGreaterThanOrEqual(0);
    expect(Math.max(...wet.dots.map((dot) => dot.column))).toBeLessThan(0);
  });

  it('a plan being tried keeps the scale, so that it is seen to move', () => {
    const before = drawn([-0.3, 0.1, 0.4]);
    const spread = spreadOf(before);
    const after = makeStrip(drawn([0.4, 0.6, 0.8], { spread }));
    expect(makeStrip(before).ticks).toEqual(makeStrip(drawn([0.4, 0.6, 0.8], { spread })).ticks);
    expect(after.dots.every((dot) => dot.column < 12)).toBe(true);
  });
});
