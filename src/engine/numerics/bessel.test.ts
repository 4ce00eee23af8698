import { describe, expect, it } from 'vitest';
import { besselJ, besselY } from './bessel.ts';

describe('Bessel functions', () => {
  it('meet the printed tables', () => {
    // Abramowitz and Stegun 1964, Table 9.1 (rounded here to the digits remembered).
    expect(besselJ(0, 1)).toBeCloseTo(0.7651976866, 10);
    expect(besselJ(1, 1)).toBeCloseTo(0.4400505857, 10);
    expect(besselY(0, 1)).toBeCloseTo(0.0882569642, 10);
    expect(besselY(1, 1)).toBeCloseTo(-0.7812128213, 10);
    expect(besselJ(0, 10)).toBeCloseTo(-0.2459357645, 10);
    expect(besselJ(1, 10)).toBeCloseTo(0.0434727462, 10);
    expect(besselY(0, 10)).toBeCloseTo(0.0556711673, 10);
    expect(besselY(1, 10)).toBeCloseTo(0.2490154242, 10);
    expect(besselJ(0, 50)).toBeCloseTo(0.0558123277, 10);
    expect(besselY(0, 50)).toBeCloseTo(-0.0980649955, 10);
  });

  it('have the Wronskian J1 Y0 - J0 Y1 = 2/(pi x) on both sides of the joint at 12', () => {
    for (let x = 0.05; x < 60; x += 0.173) {
      const wronskian = besselJ(1, x) * besselY(0, x) - besselJ(0, x) * besselY(1, x);
      expect(Math.abs(wronskian - 2 / (Math.PI * x))).toBeLessThan(1e-9);
    }
  });

  it('have no jump at the joint', () => {
    for (const order of [0, 1] as const) {
      expect(Math.abs(besselJ(order, 12 - 1e-12) - besselJ(order, 12))).toBeLessThan(2e-10);
      expect(Math.abs(besselY(order, 12 - 1e-12) - besselY(order, 12))).toBeLessThan(2e-10);
    }
  });

  it('refuse arguments outside their range', () => {
    expect(() => besselJ(0, -1)).toThrow(RangeError);
    expect(() => besselY(0, 0)).toThrow(RangeError);
  });
});
