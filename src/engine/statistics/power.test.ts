import { describe, expect, it } from 'vitest';
import { allocate } from './allocate.ts';
import { latinRounds } from './latin-rounds.ts';
import {
  barsForHalfWidth,
  canSee,
  countNeeded,
  type Design,
  designError,
  designPower,
  leastDifference,
  powerAnova,
  powerTwo,
  scatterUpper,
} from './power.ts';
import { sparesNeeded } from './spares.ts';

const plan = (design: Design['design'], bars: number): Omit<Design, 'count'> => ({
  design,
  bars,
  orientations: 3,
  sdBar: 0.05,
  sdPlate: 0.03,
});

describe('design', () => {
  it('rounds of three orientations have the power of SciPy 1.17.1 nct at 10 % with all pairs', () => {
    const known = [
      [4, 5, 0.8174759126909731],
      [4, 4, 0.6395666773639859],
      [3, 6, 0.8744609295579916],
      [3, 5, 0.7602662106997135],
      [1, 9, 0.8190278962704376],
      [1, 8, 0.7515068104079227],
    ] as const;
    for (const [bars, count, power] of known)
      expect(
        Math.abs(designPower({ ...plan('rounds', bars), count }, 0.1, 0.05, 3) / power - 1),
      ).toBeLessThan(1e-9);
  });

  it('least counts follow from it: 15 x 4, 18 x 3 or 27 x 1 plates in rounds, 4 x 2 or 7 x 1 mixed', () => {
    const need = (design: Design['design'], bars: number, difference: number) =>
      countNeeded(plan(design, bars), difference, 0.8, 0.05, 3);
    expect([4, 3, 1].map((bars) => 3 * need('rounds', bars, 0.1)!)).toEqual([15, 18, 27]);
    expect([2, 1].map((bars) => need('mixed', bars, 0.1))).toEqual([4, 7]);
    expect(need('mixed', 2, 0.2)).toBe(2);
    expect([2, 1].map((bars) => 3 * need('rounds', bars, 0.2)!)).toEqual([9, 12]);
    expect([4, 1].map((bars) => 3 * need('rounds', bars, 0.4)!)).toEqual([6, 9]);
  });

  it('one round or one mixed plate allows no test', () => {
    expect(designPower({ ...plan('rounds', 5), count: 1 }, 1, 0.05, 3)).toBe(0);
    expect(canSee({ ...plan('rounds', 5), count: 1 }, 0.8, 0.05, 3)).toBeNull();
    expect(canSee({ ...plan('mixed', 5), count: 1 }, 0.8, 0.05, 3)).toBeNull();
    expect(designError({ ...plan('mixed', 2), count: 3 }).df).toBe(18 - 3 - 3 + 1);
  });

  it('what a plan can see is seen with just the wanted power', () => {
    for (const design of ['mixed', 'rounds'] as const) {
      const whole = { ...plan(design, 2), count: 3 };
      const least = canSee(whole, 0.8, 0.05, 3)!;
      expect(designPower(whole, least, 0.05, 3)).toBeCloseTo(0.8, 10);
    }
    expect(powerTwo(leastDifference(5, 0.05, 0.8, 0.05, 1) / 0.05, 5, 0.05)).toBeCloseTo(0.8, 10);
    expect(() => canSee({ ...plan('mixed', 2), count: 3 }, 0.01, 0.05, 1)).toThrow('level');
  });

  it('of two groups the F test has the power of the t test', () => {
    expect(powerAnova([0, 1.5], 1, 6, 0.05)).toBeCloseTo(powerTwo(1.5, 6, 0.05), 11);
    expect(powerTwo(0, 6, 0.05)).toBeCloseTo(0.05, 12);
  });

  it('a scatter from few bars is planned with at its upper limit: x 1.56 for 5, x 1.29 for 10 (chi-square table)', () => {
    expect(scatterUpper(1, 4)).toBeCloseTo(1.56, 2);
    expect(scatterUpper(1, 9)).toBeCloseTo(1.29, 2);
  });

  it('the half width of an interval is met by the least n', () => {
    // t(0.975; 5) = 2.571, 2.571 x 5/sqrt 6 = 5.25; t(0.975; 6) = 2.447, x 5/sqrt 7 = 4.62 (t table).
    expect(barsForHalfWidth(0.05, 0.05, 0.95)).toBe(7);
    expect(barsForHalfWidth(0.05, 0.0526, 0.95)).toBe(6);
  });

  it('spares: 7 bars for 5 at 10 % loss, 9 at 20 %; with an uncertain chance by the beta-binomial of SciPy 1.17.1', () => {
    expect(sparesNeeded(5, { chance: 0.9 }, 0.95)).toBe(2);
    expect(sparesNeeded(5, { chance: 0.8 }, 0.95)).toBe(4);
    expect(sparesNeeded(5, { chance: 1 }, 0.95)).toBe(0);
    // P(good >= 6) of 6, 7, 8, 9 with Beta(9, 1): 0.600, 0.825, 0.918, 0.959.
    expect(sparesNeeded(6, { beta: [9, 1] }, 0.95)).toBe(3);
    expect(sparesNeeded(6, { beta: [9, 1] }, 0.9)).toBe(2);
    expect(() => sparesNeeded(5, { chance: 1e-5 }, 0.95)).toThrow('too many');
  });
});

describe('allocation', () => {
  const positions = [-80, 0, 80].flatMap((x) => [-40, 40].map((y) => [x, y] as const));
  const request = {
    treatments: ['flat', 'edge', 'upright'],
    perPlate: [2, 2, 2],
    plates: 3,
    positions,
    seed: 7,
    tries: 300,
  };

  it('puts every bar in one place of its own, in one print rank and one test rank', () => {
    const { rows, bars } = allocate(request);
    expect(bars).toBe(18);
    for (let plate = 1; plate <= 3; plate++) {
      const here = rows.filter((r) => r.plate === plate);
      expect(new Set(here.map((r) => r.place)).size).toBe(6);
      expect(here.map((r) => r.rank)).toEqual([1, 2, 3, 4, 5, 6]);
      for (const name of request.treatments) expect(here.filter((r) => r.treatment === name)).toHaveLength(2);
    }
    expect(rows.map((r) => r.test_rank).sort((a, b) => a - b)).toEqual(
      Array.from({ length: 18 }, (_, i) => i + 1),
    );
    // Every three tests hold one bar of each treatment.
    const tested = rows.toSorted((a, b) => a.test_rank - b.test_rank).map((r) => r.treatment);
    for (let i = 0; i < 18; i += 3) expect(new Set(tested.slice(i, i + 3)).size).toBe(3);
  });

  it('the worst share is that of the rows given, and more tries never worsen it', () => {
    const { rows, worst_r2, r2 } = allocate(request);
    const share = (of: (r: (typeof rows)[number]) => number) => {
      const mean = rows.reduce((sum, r) => sum + of(r), 0) / rows.length;
      const whole = rows.reduce((sum, r) => sum + (of(r) - mean) ** 2, 0);
      const between = request.treatments.reduce((sum, name) => {
        const own = rows.filter((r) => r.treatment === name);
        return sum + own.length * (own.reduce((s, r) => s + of(r), 0) / own.length - mean) ** 2;
      }, 0);
      return between / whole;
    };
    expect(r2.x).toBeCloseTo(
      share((r) => positions[r.place]![0]),
      12,
    );
    expect(r2.rank).toBeCloseTo(
      share((r) => r.rank),
      12,
    );
    expect(worst_r2).toBe(Math.max(...Object.values(r2)));
    expect(allocate({ ...request, tries: 20 }).worst_r2).toBeGreaterThanOrEqual(worst_r2);
    expect(worst_r2).toBeLessThan(0.05);
  });

  it('is the same for the same seed and another for another', () => {
    expect(allocate(request)).toEqual(allocate(request));
    expect(allocate({ ...request, seed: 8 }).rows).not.toEqual(allocate(request).rows);
  });

  it('is refused where it cannot be', () => {
    expect(() => allocate({ ...request, positions: positions.slice(1) })).toThrow('5 positions and 6 bars');
    expect(() => allocate({ ...request, perPlate: [2, 2] })).toThrow('counts');
    expect(() => allocate({ ...request, treatments: ['a', 'a', 'b'] })).toThrow('twice');
    expect(() => allocate({ ...request, perPlate: [0, 0, 0] })).toThrow('No bar');
  });

  it('rounds are Latin squares, one after the other', () => {
    for (const k of [2, 3, 4, 5])
      for (const seed of [1, 2, 3]) {
        const names = Array.from({ length: k }, (_, i) => `t${i}`);
        const { table, each_row_all, each_column_all } = latinRounds(names, 2 * k + 1, seed);
        expect(table).toHaveLength(2 * k + 1);
        expect(each_row_all && each_column_all).toBe(true);
        for (let place = 0; place < k; place++)
          for (const start of [0, k])
            expect(new Set(table.slice(start, start + k).map((r) => r[place])).size).toBe(k);
      }
    expect(latinRounds(['a', 'b', 'c'], 2, 1).each_column_all).toBe(false);
    expect(latinRounds(['a', 'b', 'c', 'd'], 4, 1).table).not.toEqual(
      latinRounds(['a', 'b', 'c', 'd'], 4, 2).table,
    );
  });
});
