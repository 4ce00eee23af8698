import { describe, expect, it } from 'vitest';
import { correlation, ranks } from './rank.ts';

const even = (count: number) => new Float64Array(count).fill(1);

describe('ranks', () => {
  it('equal values share their ranks', () => {
    expect([...ranks(Float64Array.of(3, 1, 3, 2))]).toEqual([2.5, 0, 2.5, 1]);
  });

  it('a monotone pair has rank correlation one, a column that stands still none', () => {
    const a = Float64Array.of(1, 2, 4, 8, 16);
    const b = a.map((x) => -Math.exp(x));
    expect(correlation(ranks(a), ranks(b), even(5))).toBeCloseTo(-1, 12);
    expect(correlation(a, even(5), even(5))).toBe(0);
  });
});
