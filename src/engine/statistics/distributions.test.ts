import { describe, expect, it } from 'vitest';
import {
  binomialShare,
  chiSquareQuantile,
  chiSquareShare,
  chiSquareTail,
  fQuantile,
  fShare,
  fTail,
  noncentralFTail,
  tCritical,
  tQuantile,
  tShare,
  tTail,
} from './distributions.ts';

/** Asked of every distribution. */
const ROOM = 1e-9;
const off = (got: number, wanted: number) => Math.abs(got / wanted - 1);

// Values by mpmath 1.3.0 at 40 digits: regularised incomplete beta and gamma functions.
/** t, df, tail above. */
const T = [
  [0.001, 1, 0.4996816902199194],
  [0.5, 0.7, 0.36520084334116504],
  [1, 2.3, 0.2053301503378193],
  [1, 1000000.0, 0.15865537491678908],
  [2, 5, 0.05096973941492918],
  [5, 18, 0.00004642071278688399],
  [5, 1000000.0, 2.866998935445371e-7],
  [12, 100, 2.197543857802189e-21],
  [12, 3000, 9.704785017110085e-33],
  [40, 1, 0.007956089912025814],
  [40, 18, 2.4326308461524956e-19],
] as const;
/** x, df1, df2, tail above, share below. */
const F = [
  [0.01, 1, 1, 0.9365489651388929, 0.06345103486110713],
  [0.3, 8, 180, 0.9651961099646784, 0.03480389003532163],
  [1, 2, 3.7, 0.44957764343179246, 0.5504223565682075],
  [3, 2, 5000, 0.04987669403647884, 0.9501233059635211],
  [3, 8, 20, 0.022033445509834344, 0.9779665544901657],
  [30, 1, 180, 1.4379170598737263e-7, 0.999999856208294],
  [425, 2, 3.7, 0.00004248723011451234, 0.9999575127698855],
  [425, 8, 1, 0.037498772653826104, 0.9625012273461739],
] as const;
/** x, df, tail above, share below. */
const CHI_SQUARE = [
  [0.025, 0.5, 0.6320209512704381, 0.3679790487295619],
  [0.25, 0.5, 0.35984279391691587, 0.6401572060830841],
  [1.0, 0.5, 0.15351359580832247, 0.8464864041916775],
  [3.0, 0.5, 0.03341644415897903, 0.966583555841021],
  [0.05, 1, 0.8230632737581215, 0.17693672624187853],
  [0.5, 1, 0.4795001221869535, 0.5204998778130465],
  [2, 1, 0.15729920705028513, 0.8427007929497149],
  [6, 1, 0.01430587843542964, 0.9856941215645704],
  [0.25, 5, 0.9984791814466316, 0.0015208185533684398],
  [2.5, 5, 0.7764950711233227, 0.2235049288766773],
  [10, 5, 0.07523524614651218, 0.9247647538534878],
  [30, 5, 0.000014748581038443052, 0.9999852514189616],
  [0.9, 18, 0.9999999986080379, 1.3919621398205664e-9],
  [9.0, 18, 0.9597426875179623, 0.04025731248203771],
  [36, 18, 0.007056009147493467, 0.9929439908525065],
  [108, 18, 7.4097201288711e-15, 0.9999999999999926],
  [149.5, 299, 0.9999999999999815, 1.8550127086734474e-14],
  [598, 299, 3.842769916050235e-22, 1.0],
  [1794, 299, 3.2521364119569975e-211, 1.0],
] as const;

describe('distributions', () => {
  it.each(T)('t: tail above %d with %d degrees of freedom', (t, df, tail) => {
    expect(off(tTail(t, df), tail)).toBeLessThan(ROOM);
    expect(off(tShare(-t, df), tail)).toBeLessThan(ROOM);
    expect(off(tShare(t, df), 1 - tail)).toBeLessThan(ROOM);
  });

  it.each(F)('F: at %d with %d and %d degrees of freedom', (x, df1, df2, tail, share) => {
    expect(off(fTail(x, df1, df2), tail)).toBeLessThan(ROOM);
    expect(off(fShare(x, df1, df2), share)).toBeLessThan(ROOM);
  });

  it.each(CHI_SQUARE)('chi-square: at %d with %d degrees of freedom', (x, df, tail, share) => {
    expect(off(chiSquareTail(x, df), tail)).toBeLessThan(ROOM);
    expect(off(chiSquareShare(x, df), share)).toBeLessThan(ROOM);
  });

  it('quantiles give the share back, far out too', () => {
    for (const p of [1e-12, 1e-4, 0.025, 0.3, 0.499999, 0.6, 0.999])
      for (const df of [0.7, 1, 2.3, 18, 3000]) {
        expect(off(tShare(tQuantile(p, df), df), p), `t ${p} ${df}`).toBeLessThan(1e-11);
        expect(off(chiSquareShare(chiSquareQuantile(p, df), df), p), `chi-square ${p} ${df}`).toBeLessThan(
          1e-11,
        );
        expect(off(fShare(fQuantile(p, 3, df), 3, df), p), `F ${p} ${df}`).toBeLessThan(1e-11);
      }
    expect(tQuantile(0.5, 4)).toBe(0);
    expect(off(tTail(tCritical(1e-20, 7), 7), 1e-20)).toBeLessThan(1e-11);
  });

  it('has the values of the printed tables (NIST/SEMATECH e-Handbook 1.3.6.7, from memory)', () => {
    expect(tQuantile(0.975, 10)).toBeCloseTo(2.228, 3);
    expect(tQuantile(0.95, 4)).toBeCloseTo(2.132, 3);
    expect(fQuantile(0.95, 3, 20)).toBeCloseTo(3.098, 3);
    expect(chiSquareQuantile(0.95, 10)).toBeCloseTo(18.307, 3);
    expect(chiSquareQuantile(0.05, 5)).toBeCloseTo(1.145, 3);
  });

  it('noncentral F agrees with its mixture summed at 30 digits (mpmath 1.3.0)', () => {
    expect(off(noncentralFTail(3, 2, 15, 4), 0.4398728858257422)).toBeLessThan(ROOM);
    expect(off(noncentralFTail(1, 4, 20, 0.5), 0.48981852614694915)).toBeLessThan(ROOM);
    expect(off(noncentralFTail(2.5, 3, 7, 60), 0.9999823303740061)).toBeLessThan(ROOM);
    expect(noncentralFTail(3, 2, 15, 0)).toBe(fTail(3, 2, 15));
    expect(noncentralFTail(0, 2, 15, 4)).toBe(1);
  });

  it('the binomial is the sum of its terms', () => {
    let sum = 0;
    const ways = [1, 7, 21, 35, 35, 21, 7, 1];
    for (let k = 0; k < 7; k++) {
      sum += ways[k]! * 0.3 ** k * 0.7 ** (7 - k);
      expect(binomialShare(k, 7, 0.3)).toBeCloseTo(sum, 14);
    }
    expect(binomialShare(7, 7, 0.3)).toBe(1);
    expect(binomialShare(-1, 7, 0.3)).toBe(0);
  });

  it('refuses degrees of freedom and shares that make no sense', () => {
    expect(() => tTail(1, 0)).toThrow(RangeError);
    expect(() => fTail(1, 2, Number.NaN)).toThrow(RangeError);
    expect(() => tQuantile(1, 3)).toThrow(RangeError);
    expect(() => chiSquareQuantile(0, 3)).toThrow(RangeError);
    expect(() => tCritical(0.5, 3)).toThrow(RangeError);
    expect(() => noncentralFTail(1, 2, 3, -1)).toThrow(RangeError);
  });
});
