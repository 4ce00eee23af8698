import { describe, expect, it } from 'vitest';
import { gaussLegendre, integrate } from './gauss-legendre.ts';

describe('Gauss-Legendre', () => {
  it('has the points and weights of the table for five (Abramowitz and Stegun 25.4.29, from memory)', () => {
    const { points, weights } = gaussLegendre(5);
    expect(points[4]).toBeCloseTo(0.906179845938664, 14);
    expect(points[3]).toBeCloseTo(0.538469310105683, 14);
    expect(points[2]).toBeCloseTo(0, 15);
    expect(weights[4]).toBeCloseTo(0.236926885056189, 14);
    expect(weights[2]).toBeCloseTo(0.568888888888889, 14);
  });

  it('with n points is exact up to degree 2n - 1 and no further', () => {
    for (const n of [1, 2, 3, 8, 33]) {
      const power = (degree: number) => integrate((x) => x ** degree, 0, 1, n) * (degree + 1);
      expect(power(2 * n - 1)).toBeCloseTo(1, 13);
      if (n < 8) expect(Math.abs(power(2 * n) - 1)).toBeGreaterThan(1e-9);
    }
  });
});
