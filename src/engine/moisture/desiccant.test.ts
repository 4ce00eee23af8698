import { describe, expect, it } from 'vitest';
import { desiccantBalance, desiccantSlope } from './desiccant.ts';
import { sorbentOf } from './kernel-inputs.ts';

const gel = sorbentOf('silica gel');
const sieve = sorbentOf('molecular sieve');

describe('desiccants', () => {
  it('silica gel follows the shape of the handbook within 2 % of its mass', () => {
    // Regular-density silica gel near 25 C, handbook shape (from memory).
    for (const [rh, q] of [
      [0.1, 0.05],
      [0.2, 0.12],
      [0.4, 0.22],
      [0.6, 0.29],
      [0.8, 0.34],
    ] as const)
      expect(Math.abs(desiccantBalance(gel, rh) - q)).toBeLessThan(0.02);
  });

  it('a molecular sieve takes most of its water from very dry air', () => {
    // 4A sieve near 25 C (general description; low end from memory): 9 % at 0.5 % RH, 19 % at 10 %.
    expect(desiccantBalance(sieve, 0.005)).toBeCloseTo(0.09, 2);
    expect(desiccantBalance(sieve, 0.1)).toBeCloseTo(0.19, 2);
  });

  it('slopes agree with difference quotients', () => {
    for (const sorbent of [gel, sieve])
      for (const rh of [0.003, 0.02, 0.3, 0.9]) {
        const h = 1e-6 * rh;
        const quotient = (desiccantBalance(sorbent, rh + h) - desiccantBalance(sorbent, rh - h)) / (2 * h);
        expect(desiccantSlope(sorbent, rh) / quotient).toBeCloseTo(1, 6);
      }
  });
});
