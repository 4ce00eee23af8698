import { describe, expect, it } from 'vitest';
import { Refusal } from '../kernel.ts';
import { moments, summary } from './group.ts';
import { line, trend, trendWithin } from './line.ts';
import { askedGroup, grubbs } from './outlier.ts';

describe('a group in numbers', () => {
  it('keeps its digits under any common offset', () => {
    const plain = moments([0.1, 0.3, 0.2, 0.5]);
    const far = moments([2 ** 40 + 1, 2 ** 40 + 3, 2 ** 40 + 2, 2 ** 40 + 5]);
    expect(far.mean - 2 ** 40).toBe(2.75);
    expect(far.s! / 10).toBeCloseTo(plain.s!, 14);
  });

  it('with two values has no interval, with one no scatter, with none is refused', () => {
    expect(summary([3, 5], 0.95)).toMatchObject({ n: 2, mean: 4, s: Math.SQRT2, lo: null, hi: null });
    expect(summary([3], 0.95)).toMatchObject({ n: 1, mean: 3, s: null, cv: null });
    expect(summary([-1, 0, 1], 0.95).cv).toBeNull();
    expect(() => summary([], 0.95)).toThrow(Refusal);
  });

  it('has the interval of the worked t value 4.303 with three values (t table, from memory)', () => {
    const { lo, hi } = summary([9, 10, 11], 0.95);
    expect(hi! - 10).toBeCloseTo(4.303 / Math.sqrt(3), 3);
    expect(lo! + hi!).toBeCloseTo(20, 12);
  });
});

describe('outlier', () => {
  it('is asked about, stays in, and both results are given', () => {
    const x = [81, 80.2, 82.1, 79.9, 61];
    const group = askedGroup(x, 0.05, 0.95);
    expect(group).toMatchObject({ n_used: 5, asks: true, index: 4 });
    expect(group.mean).toBeCloseTo(76.84, 12);
    expect(group.without).toMatchObject({ n: 4 });
    expect(group.without!.mean).toBeCloseTo(80.8, 12);
  });

  it('is not asked about in a clean group', () => {
    expect(askedGroup([81, 80.2, 82.1, 79.9, 80.6], 0.05, 0.95)).toMatchObject({
      asks: false,
      without: null,
    });
    expect(askedGroup([4, 4, 4], 0.05, 0.95)).toMatchObject({ asks: false, index: null });
  });

  it('has the critical values of the printed table: 1.154, 1.715, 2.290 (Grubbs 1969, two-sided 5 %, from memory)', () => {
    expect(grubbs([1, 2, 4], 0.05, 2).crit).toBeCloseTo(1.1543, 4);
    expect(grubbs([1, 2, 4, 5, 7], 0.05, 2).crit).toBeCloseTo(1.715, 3);
    expect(grubbs([1, 2, 4, 5, 7, 8, 9, 11, 12, 15], 0.05, 2).crit).toBeCloseTo(2.29, 3);
  });

  it('needs three values that differ', () => {
    expect(() => grubbs([1, 2], 0.05, 2)).toThrow('three values');
    expect(() => grubbs([2, 2, 2], 0.05, 2)).toThrow('scatter');
  });
});

describe('line and trend', () => {
  it('agree with SciPy 1.17.1 linregress', () => {
    const x = [1, 2, 3, 4, 5, 6];
    const y = [2.1, 3.9, 6.2, 7.8, 10.1, 11.7];
    const fit = line(x, y);
    expect(fit.b1).toBeCloseTo(1.9485714285714282, 13);
    expect(fit.b0).toBeCloseTo(0.1466666666666674, 13);
    expect(fit.se_b1!).toBeCloseTo(0.04583317872577735, 13);
    expect(fit.se_b0!).toBeCloseTo(0.17849458664150178, 13);
    expect(fit.r2!).toBeCloseTo(0.9988953182174386 ** 2, 13);
    expect(trend(x, y, 0.95)!.p / 1.8298087274313969e-6).toBeCloseTo(1, 9);
  });

  it('say null or refuse where there is nothing to fit', () => {
    expect(line([1, 2], [3, 5])).toMatchObject({ b0: 1, b1: 2, se_b1: null });
    expect(line([1, 2, 3], [4, 4, 4]).r2).toBeNull();
    expect(() => line([1, 1, 1], [1, 2, 3])).toThrow('equal');
    expect(() => line([1, 2], [1])).toThrow('pairs');
    expect(trend([1, 1, 1], [1, 2, 3], 0.95)).toBeNull();
    expect(trend([1, 2], [1, 2], 0.95)).toBeNull();
  });

  it('within groups a difference between orientations is no trend', () => {
    const flat = { x: [1, 2, 3, 4], y: [80.2, 79.8, 80.1, 79.9] };
    const upright = { x: [11, 12, 13, 14], y: [30.1, 29.9, 30.2, 29.8] };
    const within = trendWithin([flat, upright], 0.95)!;
    expect(within.df).toBe(5);
    expect(within.lo).toBeLessThan(0);
    expect(within.hi).toBeGreaterThan(0);
    expect(trend([...flat.x, ...upright.x], [...flat.y, ...upright.y], 0.95)!.hi).toBeLessThan(-3);
    const falling = (x: number) => 80 - 0.5 * x + (x % 2) * 0.1;
    const both = [flat, upright].map(({ x }) => ({ x, y: x.map(falling) }));
    expect(trendWithin(both, 0.95)!.hi).toBeLessThan(-0.3);
  });
});
