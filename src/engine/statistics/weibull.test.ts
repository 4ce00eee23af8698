import { describe, expect, it } from 'vitest';
import { boundPlates } from './bound-plates.ts';
import { boundRank, lowerBound, toleranceFactor } from './tolerance.ts';
import { weibullFit, weibullSmall } from './weibull.ts';

describe('Weibull', () => {
  it('agrees with SciPy 1.17.1 on five bars', () => {
    const { shape, scale } = weibullFit([92.1, 95.4, 90.3, 96, 93.8]);
    // SciPy searches by simplex and stops at about five digits.
    expect(shape / 54.76297896363383).toBeCloseTo(1, 4);
    expect(scale / 94.51454119245075).toBeCloseTo(1, 6);
  });

  it('scale follows the unit and shape does not, also where x^b would overflow', () => {
    const x = [92.1, 95.4, 90.3, 96, 93.8];
    const here = weibullFit(x);
    const there = weibullFit(x.map((value) => value * 1e6));
    expect(there.shape / here.shape).toBeCloseTo(1, 12);
    expect(there.scale / here.scale / 1e6).toBeCloseTo(1, 12);
  });

  it('needs two different positive values', () => {
    expect(() => weibullFit([3, 3, 3])).toThrow('different');
    expect(() => weibullFit([0, 3])).toThrow('positive');
  });

  it('of five bars has a shape that may be 0.68 to 2.83 times the true one, nine times in ten', () => {
    const { q_lo, q_hi, unbias } = weibullSmall(5, 0.9);
    expect(q_lo).toBeCloseTo(0.68, 1);
    expect(Math.abs(q_hi / 2.83 - 1)).toBeLessThan(0.03);
    expect(Math.abs(unbias * (1 + 1.37 / (5 - 1.92)) - 1)).toBeLessThan(0.01);
    expect(weibullSmall(5, 0.9)).toEqual({ q_lo, q_hi, unbias });
  });
});

describe('lower bounds', () => {
  it('have the factors of R 4.6 (qt with ncp) at 90 % and 99 %', () => {
    const known = [
      [5, 0.9, 3.406633262803492],
      [5, 0.99, 5.741084517245292],
      [10, 0.9, 2.354640131834441],
      [10, 0.99, 3.981117845281852],
    ] as const;
    for (const [n, p, k] of known) expect(Math.abs(toleranceFactor(n, p, 0.95) / k - 1)).toBeLessThan(1e-9);
  });

  it('by rank begin at 29 values for 90/95 and at 299 for 99/95', () => {
    expect([28, 29].map((n) => boundRank(n, 0.9, 0.95))).toEqual([0, 1]);
    expect([298, 299].map((n) => boundRank(n, 0.99, 0.95))).toEqual([0, 1]);
    const x = Array.from({ length: 46 }, (_, i) => 100 - i);
    expect(lowerBound(x, 0.9, 0.95, 1)).toMatchObject({ rank: 2, rank_bound: 56 });
  });

  it('are called B-basis only with 18 bars from 3 plates or spools that pool, at 90/95', () => {
    const x = Array.from({ length: 18 }, (_, i) => 90 + (i % 5));
    expect(lowerBound(x, 0.9, 0.95, 3)).toMatchObject({ b_basis: true, name: 'B-basis', missing: null });
    expect(lowerBound(x, 0.9, 0.95, 2)).toMatchObject({
      b_basis: false,
      name: '90/95 lower bound of these plates',
    });
    expect(lowerBound(x.slice(1), 0.9, 0.95, 3)).toMatchObject({ b_basis: false });
    expect(lowerBound(x, 0.99, 0.95, 3)).toMatchObject({ b_basis: false, missing: null });
    expect(lowerBound(x, 0.9, 0.95, 1).missing).toContain('18');
  });

  it('are not shown for few bars or wide scatter, and leave out what cannot be had', () => {
    expect(lowerBound([90, 92, 91, 93], 0.9, 0.95, 1).shown).toBe(false);
    expect(lowerBound([20, 92, 51, 93, 80], 0.9, 0.95, 1)).toMatchObject({ shown: false });
    expect(lowerBound([-1, 2, 3, 4, 5], 0.9, 0.95, 1)).toMatchObject({ lognormal: null, weibull: null });
    expect(lowerBound([90, 92, 91, 93, 94], 0.9, 0.9, 1).weibull).toBeNull();
    expect(lowerBound([90], 0.9, 0.95, 1)).toMatchObject({ k: null, normal: null, shown: false });
  });

  it('of plates that scatter no more than their bars is that of one population', () => {
    const groups = [
      [90, 94, 92, 96],
      [91, 95, 93, 93],
      [92, 92, 95, 93],
    ].map((values, i) => ({ name: String(i), values }));
    const { bound, S, u, T } = boundPlates(groups, 0.9, 0.95);
    expect(u).toBeLessThan(1);
    expect(T).toBe(toleranceFactor(12, 0.9, 0.95));
    expect(bound).toBeCloseTo(93 - T * S, 12);
  });

  it('of plates alone approach that of so many plates when the bars on a plate are alike', () => {
    const groups = [80, 90, 100].map((centre, i) => ({
      name: String(i),
      values: [-0.01, 0, 0.01, 0].map((d) => centre + d),
    }));
    const { bound } = boundPlates(groups, 0.9, 0.95);
    expect(bound).toBeCloseTo(90 - toleranceFactor(3, 0.9, 0.95) * 10, 2);
    expect(() =>
      boundPlates(
        [
          { name: 'a', values: [1] },
          { name: 'b', values: [2] },
        ],
        0.9,
        0.95,
      ),
    ).toThrow('one bar');
  });
});
