import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitLine, fitParabola } from './fit.ts';
import { medianInPlace } from './median.ts';
import { noiseOf } from './noise.ts';
import { sizeOf } from './sizes.ts';
import { modulusUncertainty, ofClass } from './uncertainty.ts';
import { breakPlace, REASONS } from './validity.ts';

// Goal: the small pieces. Method: against slow and obvious forms, and laws that they must keep.

const all = (count: number) => Int32Array.from({ length: count }, (_, k) => k);

describe('median', () => {
  it('is the middle of the sorted values', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ noNaN: true, min: -1e9, max: 1e9 }), { minLength: 1, maxLength: 60 }),
        (x) => {
          const sorted = [...x].sort((a, b) => a - b);
          const n = x.length;
          const middle = n % 2 === 1 ? sorted[n >> 1]! : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
          expect(medianInPlace(Float64Array.from(x))).toBe(middle);
        },
      ),
      { seed: 7, numRuns: 500 },
    );
  });
});

describe('noise', () => {
  it('a smooth curve has none, and normal noise has its deviation', () => {
    const smooth = Float64Array.from({ length: 500 }, (_, k) => 3 * k - 0.001 * k * k);
    expect(noiseOf(smooth, 499).deviation).toBeLessThan(1e-9);
    let seed = 99;
    const uniform = () => {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      return (seed + 0.5) / 4294967296;
    };
    const noisy = Float64Array.from(
      { length: 20_000 },
      (_, k) => 3 * k + 2 * Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform()),
    );
    expect(noiseOf(noisy, 19_999).deviation).toBeGreaterThan(1.94);
    expect(noiseOf(noisy, 19_999).deviation).toBeLessThan(2.06);
  });

  it('the resolution is the least step', () => {
    expect(noiseOf(Float64Array.of(0, 5, 5, 15, 10), 4).resolution).toBe(5);
  });
});

describe('least squares', () => {
  it('a line and a parabola come back exactly, far from zero too', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e3, max: 1e3, noNaN: true }),
        fc.double({ min: 0.5, max: 50, noNaN: true }),
        fc.double({ min: -2, max: 2, noNaN: true }),
        (p0, p1, p2) => {
          const x = Float64Array.from({ length: 30 }, (_, k) => 100 + k);
          const line = fitLine(
            x,
            x.map((v) => p0 + p1 * v),
            all(30),
            30,
          )!;
          expect(Math.abs(line.slope / p1 - 1)).toBeLessThan(1e-10);
          expect(Math.abs(line.intercept - p0)).toBeLessThan(1e-7);
          const parabola = fitParabola(
            x,
            x.map((v) => p0 + p1 * v + p2 * v * v),
            all(30),
            30,
          )!;
          expect(Math.abs(parabola.p0 - p0)).toBeLessThan(1e-5);
          expect(Math.abs(parabola.p2 - p2)).toBeLessThan(1e-8);
        },
      ),
      { seed: 11, numRuns: 200 },
    );
  });

  it('standard errors and r2 are those of the closed forms', () => {
    const x = Float64Array.of(1, 2, 3, 4, 5);
    const y = Float64Array.of(2.1, 3.9, 6.2, 7.8, 10.1);
    // By hand: slope 1.99, residuals 0.06, -0.13, 0.18, -0.21, 0.10; sum of squares 0.107; Sxx = 10; Syy = 39.708.
    const line = fitLine(x, y, all(5), 5)!;
    expect(line.slope).toBeCloseTo(1.99, 12);
    expect(line.slopeError).toBeCloseTo(Math.sqrt(0.107 / 3 / 10), 12);
    expect(line.r2).toBeCloseTo(1 - 0.107 / 39.708, 12);
  });

  it('the error of a parabola at zero is that of the weights that make it', () => {
    const x = Float64Array.from({ length: 12 }, (_, k) => 4 + k * 0.7);
    const noise = Float64Array.of(1, -2, 0, 3, 1, -1, 2, -3, 0, 1, -2, 1);
    const fit = fitParabola(x, noise, all(12), 12)!;
    // p0 is linear in y: its weights by unit vectors, its variance by their squares.
    let squares = 0;
    for (let k = 0; k < 12; k++)
      squares +=
        fitParabola(
          x,
          Float64Array.from({ length: 12 }, (_, i) => (i === k ? 1 : 0)),
          all(12),
          12,
        )!.p0 ** 2;
    let rest = 0;
    for (let k = 0; k < 12; k++) rest += (noise[k]! - fit.p0 - fit.p1 * x[k]! - fit.p2 * x[k]! ** 2) ** 2;
    expect(fit.p0Error).toBeCloseTo(Math.sqrt((squares * rest) / 9), 9);
  });

  it('too few readings, or none apart, give nothing', () => {
    expect(fitLine(Float64Array.of(1, 1, 1), Float64Array.of(1, 2, 3), all(3), 3)).toBe(null);
    expect(fitLine(Float64Array.of(1, 2), Float64Array.of(1, 2), all(2), 2)).toBe(null);
    expect(fitParabola(new Float64Array(6), new Float64Array(6), all(6), 6)).toBe(null);
  });
});

describe('uncertainty', () => {
  it('class 1 is 0.577 %', () => {
    expect(ofClass(1)).toBeCloseTo(0.00577, 5);
  });

  it('the modulus has the extensometer and the slope besides', () => {
    expect(modulusUncertainty(0.003, 0.004, 6e9, 0)).toBeCloseTo(0.005, 12);
    expect(modulusUncertainty(0, 0, 6e9, 6e7)).toBeCloseTo(0.01, 12);
  });
});

describe('sizes and places', () => {
  it('a reading more than 2 % off the mean is asked about and stays in the mean', () => {
    const size = sizeOf([0.01, 0.01, 0.0104]);
    expect(size.mean).toBeCloseTo(0.0304 / 3, 12);
    expect(size.asked).toEqual([0.0104]);
    expect(sizeOf([0.01, 0.0101]).asked).toEqual([]);
    expect(() => sizeOf([])).toThrow(RangeError);
  });

  it('a break counts inside the parallel part and in the fillet, not within 10 mm of a grip', () => {
    const bar = { gaugeLength: 0.05, lengthNarrow: 0.06, gripDistance: 0.115 };
    expect(breakPlace(0.02, bar)).toEqual({ place: 'gauge length', counts: true });
    expect(breakPlace(0.028, bar)).toEqual({ place: 'parallel part', counts: true });
    expect(breakPlace(0.04, bar)).toEqual({ place: 'fillet', counts: true });
    expect(breakPlace(0.0475, bar)).toEqual({ place: 'at the grip', counts: false });
  });

  it('an odd value is no reason to leave a bar out', () => {
    expect(REASONS.map(({ words }) => words).join()).not.toMatch(/outlier|odd|low|value/i);
    expect(new Set(REASONS.map(({ code }) => code)).size).toBe(REASONS.length);
  });
});
