import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../numerics/normal.ts';
import { distributionTests, oslLognormal, oslNormal, oslWeibull, shapiroWilk } from './normality.ts';
import { poolable } from './pooling.ts';
import { levene } from './variances.ts';

const groups = (...values: number[][]) => values.map((one, i) => ({ name: String(i), values: one }));

describe('tests of a distribution', () => {
  it('Shapiro-Wilk agrees with SciPy 1.17.1 for 3, 5 and 11 values (the last from Shapiro and Wilk 1965)', () => {
    const cases = [
      { x: [1, 2, 4], W: 0.9642857142857142, p: 0.6368868450289689 },
      { x: [3.1, 4.7, 5.5, 5.6, 6.0], W: 0.866549196371396, p: 0.25273000404414214 },
      {
        x: [148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236],
        W: 0.7888146948631716,
        p: 0.006703814061898823,
      },
    ];
    for (const { x, W, p } of cases) {
      const got = shapiroWilk(x)!;
      expect(got.W).toBeCloseTo(W, 6);
      expect(got.p / p).toBeCloseTo(1, 3);
    }
  });

  it('find each distribution fitting its own quantiles and the others worse', () => {
    const shares = Array.from({ length: 40 }, (_, i) => (i + 0.5) / 40);
    const normal = shares.map((p) => 100 + 8 * normalQuantile(p));
    const skewed = shares.map((p) => Math.exp(1 + 0.9 * normalQuantile(p)));
    const weibull = shares.map((p) => 50 * (-Math.log1p(-p)) ** (1 / 12));
    expect(oslNormal(normal)!).toBeGreaterThan(0.5);
    expect(oslNormal(skewed)!).toBeLessThan(0.01);
    expect(oslLognormal(skewed)!).toBeGreaterThan(0.5);
    expect(oslWeibull(weibull)!).toBeGreaterThan(0.5);
    expect(oslWeibull(skewed)!).toBeLessThan(0.5 * oslWeibull(weibull)!);
  });

  it('say null where they cannot be had', () => {
    expect(distributionTests([1, 2])).toEqual({
      osl_normal: null,
      osl_lognormal: null,
      osl_weibull: null,
      W: null,
      p_W: null,
    });
    expect(distributionTests([2, 2, 2, 2, 2])).toMatchObject({
      osl_normal: null,
      osl_weibull: null,
      W: null,
    });
    expect(distributionTests([-1, 2, 3, 5, 8])).toMatchObject({ osl_lognormal: null, osl_weibull: null });
    expect(distributionTests([-1, 2, 3, 5, 8]).osl_normal).not.toBeNull();
    expect(() => distributionTests([])).toThrow('no value');
  });
});

describe('tests between groups', () => {
  it('Levene with medians agrees with SciPy 1.17.1', () => {
    const { F, df, p } = levene(
      groups([92.1, 95.4, 90.3, 96, 93.8], [84.2, 88.9, 79.5, 91, 86.1, 83.3], [38.4, 41.2, 33.9, 36.5]),
    );
    expect(F!).toBeCloseTo(0.8125733373303031, 12);
    expect(p!).toBeCloseTo(0.46670274939844736, 12);
    expect(df).toEqual([2, 12]);
  });

  it('k-sample Anderson-Darling agrees with SciPy 1.17.1: its statistic is (A2 - (k - 1))/sigma', () => {
    const { A2, sigma } = poolable(
      groups([38.7, 41.5, 43.8, 44.5, 45.5, 46, 47.7, 58], [39.2, 39.3, 39.7, 41.4, 41.8, 42.9, 43.3, 45.8]),
      0.05,
    );
    expect((A2 - 1) / sigma).toBeCloseTo(1.7183096744360893, 10);
  });

  it('pools what is drawn alike, not what is shifted, and asks for a level that is tabled', () => {
    const one = [80, 82, 81, 79, 83, 84, 78, 80.5];
    expect(
      poolable(
        groups(
          one,
          one.map((x) => x + 0.1),
        ),
        0.025,
      ).same,
    ).toBe(true);
    expect(
      poolable(
        groups(
          one,
          one.map((x) => x + 9),
        ),
        0.025,
      ).same,
    ).toBe(false);
    expect(() => poolable(groups(one, one), 0.03)).toThrow('tabled');
    expect(() => poolable(groups(one), 0.025)).toThrow('two groups');
    expect(() => poolable(groups(one, []), 0.025)).toThrow('no value');
    expect(() => poolable(groups([1, 1], [1, 1]), 0.025)).toThrow('equal');
  });
});
