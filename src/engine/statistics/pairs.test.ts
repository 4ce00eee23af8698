import { describe, expect, it } from 'vitest';
import { anova, welchAnova } from './one-way.ts';
import { holm, known, pairs, welch } from './pairs.ts';
import { fieller, logRatio, plateRatio } from './ratio.ts';

const flat = { name: 'flat', values: [92.1, 95.4, 90.3, 96, 93.8] };
const edge = { name: 'edge', values: [84.2, 88.9, 79.5, 91, 86.1, 83.3] };
const upright = { name: 'upright', values: [38.4, 41.2, 33.9, 36.5] };
const all = [flat, edge, upright];

describe('comparisons of groups', () => {
  it('of two groups agree with one another: Welch F is t^2, Games-Howell is Welch t', () => {
    const t = welch(known(flat.values), known(edge.values), 0.95);
    const F = welchAnova([flat, edge]);
    expect(F.F).toBeCloseTo(t.t ** 2, 10);
    expect(F.df2).toBeCloseTo(t.df, 10);
    const [pair] = pairs([flat, edge], 'games-howell', 0.95);
    expect(pair!.p / t.p).toBeCloseTo(1, 9);
    expect(pair!.lo).toBeCloseTo(t.lo, 8);
    expect(F.p / t.p).toBeCloseTo(1, 9);
  });

  it('Tukey-Kramer agrees with tukey_hsd of SciPy 1.17.1 down to 1e-11', () => {
    const p = pairs(all, 'tukey', 0.95).map((pair) => pair.p);
    // SciPy gives 1 - share: good to 1e-13 absolute.
    expect(p[0]! / 5.11383413e-3).toBeCloseTo(1, 7);
    expect(Math.abs(p[1]! - 3.05029335e-11)).toBeLessThan(1e-12);
    expect(Math.abs(p[2]! - 1.1935386e-10)).toBeLessThan(1e-12);
  });

  it('a pair turned round has the difference turned round', () => {
    const [one] = pairs(all, 'games-howell', 0.95, ['flat', 'upright']);
    const [other] = pairs(all, 'games-howell', 0.95, ['upright', 'flat']);
    expect(other!.difference).toBe(-one!.difference);
    expect(other!.lo).toBe(-one!.hi);
    expect(() => pairs(all, 'games-howell', 0.95, ['flat', 'tilted'])).toThrow('"tilted"');
  });

  it('say null or refuse without scatter or with too few values', () => {
    expect(
      anova([
        { name: 'a', values: [1] },
        { name: 'b', values: [2] },
      ]),
    ).toMatchObject({ df_w: 0, F: null, p: null });
    expect(
      anova([
        { name: 'a', values: [1, 1] },
        { name: 'b', values: [2, 2] },
      ]),
    ).toMatchObject({ F: null });
    expect(() => welchAnova([flat, { name: 'b', values: [2, 2] }])).toThrow('"b"');
    expect(() => welchAnova([flat, { name: 'b', values: [2] }])).toThrow('1 value;');
    expect(() => pairs([flat], 'tukey', 0.95)).toThrow('two groups');
    expect(() => welch(known([1, 1]), known([2, 2]), 0.95)).toThrow('scatter');
    expect(() => known([1])).toThrow('two values');
  });

  it('Holm never orders p otherwise and never exceeds 1', () => {
    expect(holm([0.7, 0.01, 0.6])).toEqual([1, 0.03, 1]);
    expect(holm([0.02])).toEqual([0.02]);
  });
});

describe('ratios', () => {
  it("Fieller's limits are the roots of the t test of m1 - R m2", () => {
    const { ratio, df, g, lo, hi } = fieller(upright.values, flat.values, 0.95);
    expect(g).toBeLessThan(0.01);
    const a = known(upright.values);
    const b = known(flat.values);
    const t = (R: number) => (a.mean - R * b.mean) / Math.sqrt(a.s ** 2 / a.n + (R * R * b.s ** 2) / b.n);
    expect(t(lo!)).toBeCloseTo(-t(hi!), 10);
    expect(t(ratio)).toBeCloseTo(0, 10);
    expect(df).toBeGreaterThan(3);
  });

  it('Fieller has no finite interval where the denominator may be 0', () => {
    const { g, lo, hi } = fieller([5, 6, 7], [-1, 0.5, 1.2], 0.95);
    expect(g).toBeGreaterThan(1);
    expect([lo, hi]).toEqual([null, null]);
    expect(() => fieller([1, 2], [-1, 1], 0.95)).toThrow('mean 0');
  });

  it('by logs turns over with the pair', () => {
    const one = logRatio(flat.values, upright.values, 0.95);
    const other = logRatio(upright.values, flat.values, 0.95);
    expect(one.ratio * other.ratio).toBeCloseTo(1, 13);
    expect(one.lo! * other.hi!).toBeCloseTo(1, 13);
    expect(() => logRatio([1, 2], [0, 1], 0.95)).toThrow('positive');
  });

  it('on mixed plates does not feel the plates', () => {
    const rows = [1, 1.3, 0.8].flatMap((factor, i) => [
      { orientation: 'flat', plate: String(i), value: 80 * factor * (1 + 0.01 * i) },
      { orientation: 'upright', plate: String(i), value: 40 * factor },
    ]);
    const found = plateRatio(rows, 'upright', 'flat', 0.95)!;
    expect(found.ratio).toBeCloseTo(0.5 / (1.01 * 1.02) ** (1 / 3), 12);
    expect(found.hi! / found.lo!).toBeLessThan(1.06);
    expect(plateRatio(rows, 'upright', 'edge', 0.95)).toBeNull();
    const single = plateRatio(rows.slice(0, 2), 'upright', 'flat', 0.95)!;
    expect(single.ratio).toBeCloseTo(0.5, 14);
    expect(single.lo).toBeNull();
  });
});
