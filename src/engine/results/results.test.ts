import { describe, expect, it } from 'vitest';
import { blockRatio } from '../statistics/ratio.ts';
import { weibullSmall } from '../statistics/weibull.ts';
import { barOf, TEST } from './bars.fixture.ts';
import { covariatesOf } from './covariates.ts';
import { groupFigures, weibullFor } from './group-figures.ts';
import { type Asked, resultsOf } from './results.ts';

// Goal: what is said of broken bars follows from plates, conditions and the person's reasons, and from nothing else.
// Method: small series whose numbers are known by hand.

const ASKED: Asked = {
  compare: ['flat', 'upright'],
  measure: 'strength',
  smallest: 0.1,
  power: 0.8,
  assumed: false,
};
const none = { layerTime: null, water: null, mass: null, plateOrder: null, testOrder: null };
const series = (group: string, plate: string, values: readonly number[], said = {}) =>
  values.map((value, k) => barOf(`${group}${plate}${k}`, value, { group, plate, ...said }));
const mixed = [
  ...series('flat', 'A', [80, 82, 81]),
  ...series('upright', 'A', [33, 31, 32]),
  ...series('flat', 'B', [78, 80, 79]),
  ...series('upright', 'B', [32, 30, 31]),
];

describe('a series', () => {
  it('of bars of different condition is told apart, and each has its own answer', () => {
    const wet = series('flat', 'C', [60, 61, 62], { condition: 'wet' });
    const found = resultsOf([...wet, ...mixed], ASKED, TEST, 0.95);
    expect(found.map(({ condition, bars }) => [condition, bars.length])).toEqual([
      ['dry as printed', 12],
      ['wet', 3],
    ]);
    expect(found[0]!.groups[0]!.measures.strength!.mean).toBeCloseTo(80e6, 0);
    expect(found[1]!.settled).toBe(false);
    expect(found[1]!.comparison).toBeNull();
  });

  it('on mixed plates is settled, the weaker group over the stronger whichever was asked first', () => {
    for (const compare of [
      ['flat', 'upright'],
      ['upright', 'flat'],
    ]) {
      const [found] = resultsOf(mixed, { ...ASKED, compare }, TEST, 0.95);
      expect(found!.settled).toBe(true);
      const { pair, answer } = found!.pairs[0]!;
      expect(pair).toEqual(['upright', 'flat']);
      // ln(32/81) and ln(31/79) on the two plates, by hand.
      expect(answer.ratio).toBeCloseTo(Math.sqrt((32 / 81) * (31 / 79)), 9);
      expect(found!.confEach).toBe(0.95);
    }
  });

  it('of three groups has intervals that hold together', () => {
    const edge = [...series('edge', 'A', [85, 86, 84]), ...series('edge', 'B', [83, 84, 82])];
    const [found] = resultsOf(
      [...mixed, ...edge],
      { ...ASKED, compare: ['flat', 'edge', 'upright'] },
      TEST,
      0.95,
    );
    expect(found!.pairs).toHaveLength(3);
    expect(found!.confEach).toBeCloseTo(1 - 0.05 / 3, 12);
  });

  it('with one plate for each group has no p, no interval, and is not settled', () => {
    const apart = [...series('flat', 'A', [80, 82, 81]), ...series('upright', 'B', [32, 30, 31])];
    const [found] = resultsOf(apart, ASKED, TEST, 0.95);
    expect(found!.comparison).toMatchObject({ analysis: 'none', p: null });
    expect(found!.pairs[0]!.answer).toMatchObject({ verdict: 'none', lo: null, hi: null });
    expect(found!.settled).toBe(false);
  });

  it('without a bar of one group that is asked for is not settled', () => {
    const [found] = resultsOf(mixed, { ...ASKED, compare: ['flat', 'upright', 'edge'] }, TEST, 0.95);
    expect(found!.settled).toBe(false);
  });

  it('that cannot be compared at all says why and does not fall', () => {
    const flat = [...series('flat', 'A', [80]), ...series('upright', 'A', [30])];
    const [found] = resultsOf(flat, ASKED, TEST, 0.95);
    expect(found!.comparison!.message).toContain('one bar on the only plate');
    expect(found!.pairs[0]!.difference).toBeNull();
  });
});

describe('a group', () => {
  it('leaves out what a person left out, and tells the mean with it', () => {
    const bars = [
      ...series('flat', 'A', [80, 82, 84]),
      barOf('x', 62, { leftOut: { reason: 'slipped', note: 'upper jaw' } }),
    ];
    const found = groupFigures('flat', bars, TEST, 0.95);
    expect(found.bars).toHaveLength(3);
    expect(found.measures.strength!.mean).toBeCloseTo(82e6, 0);
    expect(found.leftOut).toEqual([{ bar: 'x', with: expect.objectContaining({ n: 4 }) }]);
    expect(found.leftOut[0]!.with.mean).toBeCloseTo(77e6, 0);
  });

  it('keeps a bar that lies far out, asks about it, and has both results', () => {
    const found = groupFigures('flat', series('flat', 'A', [80, 81, 82, 80.5, 81.5, 40]), TEST, 0.95);
    expect(found.measures.strength!.asked!.bar).toBe('flatA5');
    expect(found.measures.strength!.n).toBe(6);
    expect(found.measures.strength!.asked!.without.mean).toBeCloseTo(81e6, 0);
  });

  it('of six bars of one plate has the factor of the tolerance table and its honest name', () => {
    const { bound } = groupFigures('flat', series('flat', 'A', [80, 81, 82, 79, 80.5, 81.5]), TEST, 0.95);
    // k of 90/95 for six bars: 3.006 (CMH-17-1G and many a handbook).
    expect(bound!.k).toBeCloseTo(3.006, 3);
    expect(bound!.name).toBe('90/95 lower bound of this plate');
    expect(bound!.missing).toContain('B-basis needs 18 bars');
  });

  it('may be called B-basis from 18 bars of three plates that pool, and not where they do not', () => {
    const values = [80, 81, 82, 79, 80.5, 81.5];
    const on = (shift: number) =>
      ['A', 'B', 'C'].flatMap((plate, k) =>
        series(
          'flat',
          plate,
          values.map((value) => value + shift * k),
        ),
      );
    expect(groupFigures('flat', on(0.1), TEST, 0.95).bound).toMatchObject({
      bBasis: true,
      name: 'B-basis',
      method: 'one population',
    });
    const apart = groupFigures('flat', on(6), TEST, 0.95).bound!;
    expect(apart).toMatchObject({ bBasis: false, method: 'plates as batches' });
    expect(apart.name).not.toContain('B-basis');
  });

  it('of more bars than are simulated has the factors of large samples, within 2 % where both can be had', () => {
    const [large, simulated] = [weibullFor(41), weibullSmall(41, 0.9)];
    for (const key of ['unbias', 'q_lo', 'q_hi'] as const)
      expect(Math.abs(large[key] / simulated[key] - 1), key).toBeLessThan(0.02);
    // Ross 1994 (from memory): 0.93 for twenty.
    expect(weibullFor(20).unbias).toBeCloseTo(0.93, 2);
  });

  it('the uncertainty of its mean holds the part that does not fall with the number of bars', () => {
    const few = groupFigures('flat', series('flat', 'A', [80, 81, 82]), TEST, 0.95).mean!;
    expect(few.u_common).toBeCloseTo(
      81e6 * Math.hypot(0.01 / Math.sqrt(3), 1e-3 / Math.sqrt(3), 2.5e-3 / Math.sqrt(3)),
      0,
    );
  });
});

describe('what should not matter', () => {
  it('is seen within the groups, so that a difference between groups is no trend', () => {
    const bars = [60, 90].flatMap((layerTime, g) =>
      [0, 1, 2, 3].map((k) =>
        barOf(`${g}${k}`, 80 - 40 * g + 2 * k, {
          group: g === 0 ? 'flat' : 'upright',
          covariates: { ...none, layerTime: layerTime + k },
        }),
      ),
    );
    const [found] = covariatesOf(bars, 0.95);
    expect(found!.name).toBe('time between layers');
    expect(found!.trend!.slope).toBeCloseTo(2e6, -2);
    // Means 30 apart, each with 1.29 of scatter: by hand 0.9945 of the squares.
    expect(found!.sharedWithGroups).toBeCloseTo((8 * 15 ** 2) / (8 * 15 ** 2 + 2 * 5), 6);
  });

  it('is left out where it does not vary or is not known', () => {
    expect(covariatesOf(mixed, 0.95)).toEqual([]);
  });
});

describe('one plate that carries both groups beside others that carry one', () => {
  it('gives none where no chain of plates leads from one to the other', () => {
    const rows = ['A', 'B'].flatMap((plate, k) =>
      [80, 81, 82].map((value) => ({ orientation: k === 0 ? 'flat' : 'upright', plate, value })),
    );
    expect(blockRatio(rows, 'upright', 'flat', 0.95)).toBeNull();
  });
});
