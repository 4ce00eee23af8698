import { describe, expect, it } from 'vitest';
import { findPositiveRoot, findRoot } from './root.ts';

describe('root', () => {
  it('is found to the rounding of a double', () => {
    expect(findRoot((x) => x * x * x - 2 * x - 5, 2, 3)).toBeCloseTo(2.0945514815423265, 15);
    expect(findRoot(Math.cos, 1, 2)).toBeCloseTo(Math.PI / 2, 15);
  });

  it('needs few steps where the function is smooth and stays safe where it is not', () => {
    let calls = 0;
    const counted = (f: (x: number) => number) => (x: number) => {
      calls++;
      return f(x);
    };
    findRoot(
      counted((x) => Math.exp(x) - 3),
      0,
      5,
    );
    expect(calls).toBeLessThan(15);
    expect(findRoot((x) => (x < 0.3 ? -1 : 1), 0, 1)).toBeCloseTo(0.3, 14);
    expect(findRoot((x) => (x - 0.7) ** 9, 0, 1)).toBeCloseTo(0.7, 1);
  });

  it('of a positive quantity is found whatever its size', () => {
    for (const size of [1e-200, 1e-9, 1, 1e12, 1e200])
      expect(findPositiveRoot((x) => Math.log(x / size), 1) / size).toBeCloseTo(1, 12);
    expect(findPositiveRoot((x) => x - 4, 4)).toBe(4);
  });

  it('is refused where there is no change of sign', () => {
    expect(() => findRoot((x) => 1 + x * x, -1, 1)).toThrow(RangeError);
    expect(() => findPositiveRoot((x) => 1 + x, 1)).toThrow(RangeError);
  });
});
