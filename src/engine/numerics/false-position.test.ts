import { describe, expect, it } from 'vitest';
import { falsePosition } from './false-position.ts';

describe('false position', () => {
  it('finds roots of bent functions in few steps, without an end that sticks', () => {
    for (const [f, a, b, root] of [
      [(x: number) => Math.exp(x) - 2, -5, 5, Math.log(2)],
      [(x: number) => x ** 9 - 0.5, 0, 2, 0.5 ** (1 / 9)],
      [(x: number) => 1 / x - 3, 0.01, 10, 1 / 3],
    ] as const) {
      let calls = 0;
      const counted = (x: number) => {
        calls++;
        return f(x);
      };
      expect(falsePosition(counted, a, b, f(a), f(b), 1e-10)).toBeCloseTo(root, 8);
      expect(calls).toBeLessThan(30);
    }
  });

  it('takes an end that is a root, and refuses ends of one sign', () => {
    const f = (x: number) => x - 1;
    expect(falsePosition(f, 1, 3, 0, 2, 1e-12)).toBe(1);
    expect(() => falsePosition(f, 2, 3, 1, 2, 1e-12)).toThrow(RangeError);
  });
});
