import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roundDigits } from './digits.ts';
import { meanUncertainty, stressUncertainty } from './uncertainty.ts';

const bar = {
  F_N: 3200,
  b_mm: 10,
  h_mm: 4,
  u_F_rel: 0.0058,
  s_b_mm: 0.02,
  s_h_mm: 0.03,
  n_readings: 3,
  u_b_mm: 0.0115,
  u_h_mm: 0.0115,
  rough_mm: 0.03,
  k: 2,
};

describe('uncertainty', () => {
  it('shares add to one and the largest is named with what would halve it', () => {
    const { share_force, share_width, share_thickness, largest, advice } = stressUncertainty(bar);
    expect(share_force + share_width + share_thickness).toBeCloseTo(1, 14);
    expect(largest).toBe('thickness');
    expect(advice).toMatch(/12 readings instead of 3/);
    const weak = stressUncertainty({ ...bar, u_F_rel: 0.008 });
    expect(weak).toMatchObject({ largest: 'force' });
    // Half the force error leaves width and thickness as they are: that part is halved, the whole is not.
    expect(weak.advice).toMatch(/halve that part/);
    expect(stressUncertainty({ ...bar, u_F_rel: 0.004 }).U / weak.U).toBeGreaterThan(0.6);
    expect(stressUncertainty({ ...bar, s_h_mm: 0, rough_mm: 0.1 }).advice).toMatch(/ridges/);
    expect(stressUncertainty({ ...bar, s_h_mm: 0, u_h_mm: 0.1 }).advice).toMatch(/caliper/);
  });

  it('is the spread of F/(b h) under small changes of each part', () => {
    const parts = { ...bar, s_b_mm: 0, s_h_mm: 0, rough_mm: 0 };
    const stress = (F: number, b: number, h: number) => F / (b * h);
    const here = stress(3200, 10, 4);
    const squares = [
      stress(3200 * (1 + 0.0058), 10, 4),
      stress(3200, 10 + 0.0115, 4),
      stress(3200, 10, 4 + 0.0115),
    ].map((moved) => ((moved - here) / here) ** 2);
    const u = Math.sqrt(squares.reduce((a, b) => a + b));
    expect(stressUncertainty(parts).u_rel / u).toBeCloseTo(1, 2);
  });

  it('of a mean falls with n down to the common part', () => {
    expect(meanUncertainty(2.5, 4, 0, 80, 0.95)).toMatchObject({ u: 1.25, u_common: 0, df: 3 });
    expect(meanUncertainty(2.5, 10000, 0.007, 80, 0.95).u).toBeCloseTo(0.56, 2);
    const sure = meanUncertainty(0, 5, 0.007, 80, 0.95);
    expect(sure.k).toBeCloseTo(1.95996, 4);
  });
});

describe('digits', () => {
  it('rounds half to even on the decimal form, where the double itself lies on either side', () => {
    expect([1.005, 1.015, 1.025].map((x) => roundDigits(x, 3))).toEqual([1, 1.02, 1.02]);
    expect(roundDigits(-45.25, 3)).toBe(-45.2);
    expect(roundDigits(999.6, 3)).toBe(1000);
    expect(roundDigits(0, 3)).toBe(0);
    expect(roundDigits(2, 5)).toBe(2);
    expect(roundDigits(1.25e-7, 2)).toBe(1.2e-7);
    expect(roundDigits(6.0221e23, 2)).toBe(6e23);
    expect(() => roundDigits(Number.NaN, 2)).toThrow(RangeError);
    expect(() => roundDigits(1, 0)).toThrow(RangeError);
  });

  it('never moves by more than half a unit of the last digit, and a rounded number stays', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 1e9, noNaN: true }),
        fc.integer({ min: 1, max: 8 }),
        (x, digits) => {
          const rounded = roundDigits(x, digits);
          const unit = 10 ** (Math.floor(Math.log10(x)) - digits + 1);
          expect(Math.abs(rounded - x)).toBeLessThanOrEqual(0.5 * unit * (1 + 1e-9) + 1e-9 * x);
          expect(roundDigits(rounded, digits)).toBe(rounded);
        },
      ),
      { seed: 20261125, numRuns: 300 },
    );
  });
});
