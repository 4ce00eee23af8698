import { describe, expect, it } from 'vitest';
import { peakIntegral } from './peak-integral.ts';

describe('integral over one peak', () => {
  it('of a normal density is one, wherever and however narrow it is', () => {
    for (const [middle, width] of [
      [0, 1],
      [3, 0.02],
      [-7, 0.001],
    ] as const) {
      const logF = (v: number) =>
        -0.5 * ((v - middle) / width) ** 2 - Math.log(width * Math.sqrt(2 * Math.PI));
      expect(Math.abs(peakIntegral(logF, -10, 10) - 1)).toBeLessThan(1e-12);
    }
  });

  it('keeps its relative precision when the value is tiny, and with one long flank', () => {
    const scaled = (v: number) => -300 + 1.5 * v - Math.exp(v);
    const gamma = 0.5 * Math.sqrt(Math.PI);
    expect(Math.abs(peakIntegral(scaled, -40, 6) / (gamma * Math.exp(-300)) - 1)).toBeLessThan(1e-12);
  });

  it('follows a step that is named as a cut', () => {
    const logF = (v: number) => -v - Math.log1p(Math.exp(-(v - 2) / 0.005));
    const exact = Math.exp(-2) * ((0.005 * Math.PI) / Math.sin(0.005 * Math.PI));
    const cuts = [-0.2, -0.08, -0.03, 0, 0.03, 0.08, 0.2].map((d) => 2 + d);
    expect(Math.abs(peakIntegral(logF, 0, 45, cuts) / exact - 1)).toBeLessThan(1e-10);
  });

  it('is nothing where the integrand is nothing', () => {
    expect(peakIntegral(() => Number.NEGATIVE_INFINITY, 0, 1)).toBe(0);
  });
});
