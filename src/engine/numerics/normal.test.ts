import { describe, expect, it } from 'vitest';
import { normalQuantile, normalShare } from './normal.ts';

// Values: Abramowitz and Stegun 1964, tables 26.1 and 26.5 (from memory), and 1.959963984540054 as every table has it.
describe('normal distribution', () => {
  it.each([
    [0, 0.5],
    [1, 0.841344746068543],
    [-1, 0.158655253931457],
    [2, 0.977249868051821],
    [-3, 0.00134989803163009],
    [-6, 9.86587645037698e-10],
  ])('the share below %f is that of the handbook table', (x, share) => {
    expect(Math.abs(normalShare(x) / share - 1)).toBeLessThan(1e-13);
  });

  it('the two forms of the share meet where one takes over from the other', () => {
    const step = 1e-9;
    const slope = Math.exp(-4.5) / Math.sqrt(2 * Math.PI);
    expect(normalShare(-3 + step) - normalShare(-3 - step)).toBeCloseTo(2 * step * slope, 15);
  });

  it('quantile and share undo each other from 1e-300 to 1 - 1e-15', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 14);
    for (const p of [1e-300, 1e-100, 1e-12, 1e-4, 0.03, 0.3, 0.5, 0.8, 0.99, 1 - 1e-9, 1 - 1e-15])
      expect(Math.abs(normalShare(normalQuantile(p)) / p - 1)).toBeLessThan(p < 1e-20 ? 1e-12 : 1e-14);
  });

  it('refuses what is no share', () => {
    for (const p of [0, 1, -0.1, Number.NaN]) expect(() => normalQuantile(p)).toThrow(RangeError);
  });
});
