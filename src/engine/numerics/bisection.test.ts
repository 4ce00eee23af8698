import { describe, expect, it } from 'vitest';
import { bisect } from './bisection.ts';

describe('bisection', () => {
  it('finds a root to the last digits whichever way the function runs', () => {
    expect(bisect((x) => x * x - 2, 0, 2)).toBeCloseTo(Math.SQRT2, 14);
    expect(bisect((x) => 2 - x * x, 0, 2)).toBeCloseTo(Math.SQRT2, 14);
  });
  it('takes a zero at an end', () => {
    expect(bisect((x) => x, 0, 1)).toBe(0);
    expect(bisect((x) => x - 1, 0, 1)).toBe(1);
  });
  it('refuses ends of one sign', () => {
    expect(() => bisect((x) => x + 5, 0, 1)).toThrow(/0 and 1/);
  });
});
