import { describe, expect, it } from 'vitest';
import { betaQuantile, betaShare, logGamma } from './beta.ts';

describe('beta distribution', () => {
  it('ln Gamma meets factorials and Gamma(1/2)', () => {
    expect(logGamma(0.5)).toBeCloseTo(Math.log(Math.sqrt(Math.PI)), 13);
    expect(logGamma(11)).toBeCloseTo(Math.log(3628800), 12);
  });

  // Beta(1, 9): share below x is 1 - (1 - x)^9; Beta(a, b) of whole a, b is a binomial tail (closed forms).
  it('meets its closed forms', () => {
    for (const x of [0.001, 0.05, 0.2, 0.7, 0.99]) {
      expect(betaShare(x, 1, 9)).toBeCloseTo(1 - (1 - x) ** 9, 13);
      expect(betaShare(x, 2, 3)).toBeCloseTo(6 * x ** 2 - 8 * x ** 3 + 3 * x ** 4, 13);
    }
  });

  it('Beta(1, 9), one in ten by counting, spans 0.6 to 28 % in nine cases of ten', () => {
    expect(betaQuantile(0.05, 1, 9)).toBeCloseTo(1 - 0.95 ** (1 / 9), 12);
    expect(betaQuantile(0.95, 1, 9)).toBeCloseTo(1 - 0.05 ** (1 / 9), 12);
  });
});
