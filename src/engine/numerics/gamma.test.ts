import { describe, expect, it } from 'vitest';
import { gammaShare, gammaTail, stirlingRest } from './gamma.ts';

describe('incomplete gamma function', () => {
  it('of shape 1 is the exponential, of a whole shape a sum of Poisson terms', () => {
    for (const x of [1e-8, 0.3, 1.9, 2.1, 40]) {
      expect(gammaShare(x, 1) / -Math.expm1(-x)).toBeCloseTo(1, 13);
      expect(gammaTail(x, 1) / Math.exp(-x)).toBeCloseTo(1, 13);
      expect(gammaTail(x, 3) / (Math.exp(-x) * (1 + x + (x * x) / 2))).toBeCloseTo(1, 13);
    }
    expect(gammaShare(0, 2)).toBe(0);
    expect(gammaTail(-1, 2)).toBe(1);
  });

  it('near its middle at shape 1e5 has the value of mpmath 1.3.0', () => {
    expect(gammaShare(1e5, 1e5)).toBeCloseTo(0.500420522110365, 13);
  });

  it('what Stirling leaves out is the same from both sides of the border, and 1/(12 x) far out', () => {
    const step = stirlingRest(12 - 1e-13) / stirlingRest(12) - 1;
    expect(Math.abs(step)).toBeLessThan(1e-11);
    expect(stirlingRest(1) - (1 - 0.5 * Math.log(2 * Math.PI))).toBeCloseTo(0, 14);
    expect(stirlingRest(1e6) * 12e6).toBeCloseTo(1, 12);
  });
});
