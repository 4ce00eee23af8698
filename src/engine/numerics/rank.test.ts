import { describe, expect, it } from 'vitest';
import { correlation, ranks, weightedQuantile } from './rank.ts';

const even = (count: number) => new Float64Array(count).fill(1);

describe('ranks and quantiles', () => {
  it('equal values share their ranks', () => {
    expect([...ranks(Float64Array.of(3, 1, 3, 2))]).toEqual([2.5, 0, 2.5, 1]);
  });

  it('a monotone pair has rank correlation one, a column that stands still none', () => {
    const a = Float64Array.of(1, 2, 4, 8, 16);
    const b = a.map((x) => -Math.exp(x));
    expect(correlation(ranks(a), ranks(b), even(5))).toBeCloseTo(-1, 12);
    expect(correlation(a, even(5), even(5))).toBe(0);
  });

  // Even weights: the (i - 0.5)/n rule of Hazen 1914, type 5 of Hyndman and Fan 1996, Am. Statistician 50, 361.
  it('even weights give the quantiles of Hazen', () => {
    const values = Float64Array.of(4, 1, 3, 2);
    expect(weightedQuantile(values, even(4), 0.5)).toBeCloseTo(2.5, 12);
    expect(weightedQuantile(values, even(4), 0.25)).toBeCloseTo(1.5, 12);
    expect(weightedQuantile(values, even(4), 0.01)).toBe(1);
    expect(weightedQuantile(values, even(4), 0.99)).toBe(4);
  });

  it('a draw without weight is not seen, and endless values stay endless', () => {
    expect(weightedQuantile(Float64Array.of(1, 2, 100), Float64Array.of(1, 1, 0), 0.99)).toBe(2);
    expect(weightedQuantile(Float64Array.of(1, Infinity, Infinity), even(3), 0.5)).toBe(Infinity);
    expect(weightedQuantile(Float64Array.of(1, 2, Infinity), even(3), 0.3)).toBeLessThan(2);
  });
});
