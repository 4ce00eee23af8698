import { describe, expect, it } from 'vitest';
import { tCritical, tTail } from '../../src/engine/statistics/distributions.ts';
import { summary } from '../../src/engine/statistics/group.ts';
import { nested } from '../../src/engine/statistics/nested.ts';
import { welchAnova } from '../../src/engine/statistics/one-way.ts';
import { pairs } from '../../src/engine/statistics/pairs.ts';
import { blockRatio } from '../../src/engine/statistics/ratio.ts';
import { rounds } from '../../src/engine/statistics/rounds.ts';
import { lowerBound } from '../../src/engine/statistics/tolerance.ts';
import { lonePrints, nestedPrints, printed, roundPrints, sample, shareOf } from './statistics-series.ts';

// Goal: tests keep their level and intervals their coverage. Method: twenty seeded data sets each with known truth; the
// limits are those of a binomial of twenty at odds of one in a thousand. statistics-levels.prove.ts does it with thousands.

const RUNS = 20;
/** P(more than 5 of 20 at 5 %) = 3e-4. */
const REJECTED_MAX = 5 / RUNS;
const groups = (...values: number[][]) => values.map((one, i) => ({ name: String(i), values: one }));

describe('in twenty data sets', () => {
  it('Welch and Games-Howell seldom see a difference that is not there, and always a large one', () => {
    const scatter = [2, 5, 9];
    const seen = (means: number[]) =>
      shareOf(RUNS, 'welch', (z) => {
        const data = groups(...scatter.map((sd, i) => sample(5, means[i]!, sd, z)));
        const { p } = welchAnova(data);
        return p < 0.05 && pairs(data, 'games-howell', 0.95).some((pair) => pair.p < 0.05);
      });
    expect(seen([80, 80, 80])).toBeLessThanOrEqual(REJECTED_MAX);
    expect(seen([80, 80, 30])).toBe(1);
  });

  it('nested plates and rounds keep their level under plate scatter', () => {
    const names = ['flat', 'edge', 'upright'];
    const nestedSeen = shareOf(
      RUNS,
      'nested',
      (z) => nested(printed(nestedPrints(names, 3, 4), 0.03, 0.05, z)).p < 0.05,
    );
    const equal = { flat: 80, edge: 80, upright: 80 };
    const roundsSeen = shareOf(
      RUNS,
      'rounds',
      (z) => rounds(printed(roundPrints(equal, 4, 3), 0.03, 0.05, z), 0.95).p < 0.05,
    );
    expect(nestedSeen).toBeLessThanOrEqual(REJECTED_MAX);
    expect(roundsSeen).toBeLessThanOrEqual(REJECTED_MAX);
  });

  it('intervals and bounds hold the truth in all but a few', () => {
    const interval = shareOf(RUNS, 'interval', (z) => {
      const { lo, hi } = summary(sample(5, 80, 4, z), 0.95);
      return lo! < 80 && hi! > 80;
    });
    const bound = shareOf(
      RUNS,
      'bound',
      (z) => lowerBound(sample(6, 80, 4, z), 0.9, 0.95, 1).normal! < 80 - 1.2815515655 * 4,
    );
    const lone = shareOf(RUNS, 'lone', (z) => {
      const { lo, hi } = blockRatio(printed(lonePrints(), 0.03, 0.05, z), 'upright', 'flat', 0.95)!;
      return lo! < 0.4 && hi! > 0.4;
    });
    expect(lone).toBeGreaterThanOrEqual(1 - REJECTED_MAX);
    expect(interval).toBeGreaterThanOrEqual(1 - REJECTED_MAX);
    expect(bound).toBeGreaterThanOrEqual(1 - REJECTED_MAX);
  });

  it('one plate each: the usual test on bars is wrong one time in five, by its own formula', () => {
    // t is too large by sqrt(1 + n s_plate^2/s_bar^2): five bars each, plate 3 %, bar 5 %.
    const factor = Math.sqrt(1 + (5 * 0.03 ** 2) / 0.05 ** 2);
    expect(2 * tTail(tCritical(0.025, 8) / factor, 8)).toBeCloseTo(0.2, 1);
  });
});
