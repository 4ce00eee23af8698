import { describe, expect, it } from 'vitest';
import { blocks } from '../../src/engine/statistics/blocks.ts';
import { boundPlates } from '../../src/engine/statistics/bound-plates.ts';
import { compare } from '../../src/engine/statistics/compare.ts';
import { summary } from '../../src/engine/statistics/group.ts';
import { nested } from '../../src/engine/statistics/nested.ts';
import { oslNormal, shapiroWilk } from '../../src/engine/statistics/normality.ts';
import { anova, welchAnova } from '../../src/engine/statistics/one-way.ts';
import { grubbs } from '../../src/engine/statistics/outlier.ts';
import { pairs } from '../../src/engine/statistics/pairs.ts';
import { poolable } from '../../src/engine/statistics/pooling.ts';
import { designPower } from '../../src/engine/statistics/power.ts';
import { blockRatio, fieller, plateRatio } from '../../src/engine/statistics/ratio.ts';
import { rounds } from '../../src/engine/statistics/rounds.ts';
import { groupsOf } from '../../src/engine/statistics/rows.ts';
import { lowerBound } from '../../src/engine/statistics/tolerance.ts';
import {
  lonePrints,
  mixedPrints,
  nestedPrints,
  printed,
  roundPrints,
  sample,
  shareOf,
} from './statistics-series.ts';

// Goal: levels of tests, coverage of intervals and bounds, and the power that plans are made with. Method: thousands of
// seeded data sets with known truth. Each found share is printed; its standard error stands beside the limit.

const names = ['flat', 'edge', 'upright'];
const equal = { flat: 80, edge: 80, upright: 80 };
const groups = (...values: number[][]) => values.map((one, i) => ({ name: String(i), values: one }));

function within(what: string, share: number, low: number, high: number): void {
  process.stdout.write(`${what}: ${(100 * share).toFixed(2)} %\n`);
  expect(share, what).toBeGreaterThanOrEqual(low);
  expect(share, what).toBeLessThanOrEqual(high);
}

describe('one plate that carries both, beside plates of one orientation each', () => {
  it('its interval holds the ratio in 94 to 96 %', () => {
    // 4000 runs: standard error 0.34 %.
    const share = shareOf(4000, 'lone', (z) => {
      const { lo, hi } = blockRatio(printed(lonePrints(), 0.03, 0.05, z), 'upright', 'flat', 0.95)!;
      return lo! < 0.4 && hi! > 0.4;
    });
    within('ratio on one plate that carries both', share, 0.94, 0.96);
  });
});

describe('levels at 5 %', () => {
  it.each([
    ['alike', [4, 4, 4], [5, 5, 5]],
    ['unlike scatter', [2, 5, 9], [5, 5, 5]],
    ['unlike scatter and counts', [2, 5, 9], [8, 6, 5]],
  ] as const)('Welch and Games-Howell, %s: 3 to 7 %', (what, scatter, counts) => {
    // Standard error 0.4 % of 3000 runs, 0.6 % of 1500: the intervals of Games-Howell take a while.
    const draw = (z: () => number) => groups(...scatter.map((sd, i) => sample(counts[i]!, 80, sd, z)));
    within(
      `Welch, ${what}`,
      shareOf(3000, `welch ${what}`, (z) => welchAnova(draw(z)).p < 0.05),
      0.03,
      0.07,
    );
    const family = shareOf(1500, `gh ${what}`, (z) => {
      const data = draw(z);
      return names.some((_, i) => {
        const [a, b] = [String(i), String((i + 1) % 3)];
        return pairs(data, 'games-howell', 0.95, [a, b])[0]!.p < 0.05;
      });
    });
    within(`Games-Howell, any pair, ${what}`, family, 0.03, 0.07);
  });

  it('nested plates: 4 to 6 %, whatever the plates scatter', () => {
    // 20 000 runs: standard error 0.15 %.
    for (const sdPlate of [0, 0.03, 0.08]) {
      const share = shareOf(
        20_000,
        `nested ${sdPlate}`,
        (z) => nested(printed(nestedPrints(names, 3, 4), sdPlate, 0.05, z)).p < 0.05,
      );
      within(`nested, plates ${100 * sdPlate} %`, share, 0.04, 0.06);
    }
  });

  it('rounds and mixed plates: 4 to 6 %', () => {
    // 3000 runs: standard error 0.4 %.
    within(
      'rounds',
      shareOf(3000, 'rounds', (z) => rounds(printed(roundPrints(equal, 4, 3), 0.03, 0.05, z), 0.95).p < 0.05),
      0.04,
      0.06,
    );
    within(
      'mixed, one bar of each',
      shareOf(
        3000,
        'mixed 1',
        (z) => blocks(printed(mixedPrints(equal, 4, 1), 0.03, 0.05, z), 0.95).p_treatment! < 0.05,
      ),
      0.04,
      0.06,
    );
  });

  it('outlier question, normality and pooling ask as often as they say', () => {
    within(
      'Grubbs, 5 bars',
      shareOf(20_000, 'grubbs', (z) => grubbs(sample(5, 80, 4, z), 0.05, 2).outlier),
      0.045,
      0.055,
    );
    for (const n of [5, 15])
      within(
        `Shapiro-Wilk, ${n} bars`,
        shareOf(20_000, `shapiro ${n}`, (z) => shapiroWilk(sample(n, 80, 4, z))!.p < 0.05),
        0.04,
        0.06,
      );
    within(
      'Anderson-Darling, 20 bars',
      shareOf(20_000, 'ad', (z) => oslNormal(sample(20, 80, 4, z))! < 0.05),
      0.035,
      0.065,
    );
    const apart = shareOf(
      10_000,
      'adk',
      (z) => !poolable(groups(...names.map(() => sample(6, 80, 4, z))), 0.025).same,
    );
    within('k-sample Anderson-Darling at 2.5 %', apart, 0.015, 0.035);
  });
});

describe('coverage', () => {
  it('of intervals of the mean and of ratios: 94 to 96 %', () => {
    for (const n of [3, 5, 12]) {
      const share = shareOf(20_000, `mean ${n}`, (z) => {
        const { lo, hi } = summary(sample(n, 80, 4, z), 0.95);
        return lo! < 80 && hi! > 80;
      });
      within(`mean, ${n} bars`, share, 0.94, 0.96);
    }
    const byPlates = shareOf(20_000, 'plate ratio', (z) => {
      const rows = printed(mixedPrints({ flat: 80, upright: 32 }, 4, 2), 0.03, 0.05, z);
      const { lo, hi } = plateRatio(rows, 'upright', 'flat', 0.95)!;
      return lo! < 0.4 && hi! > 0.4;
    });
    within('ratio on 4 mixed plates', byPlates, 0.94, 0.96);
  });

  it('of Fieller: about 95.5 % with five bars, 96.6 % with three', () => {
    for (const [n, expected] of [
      [5, 0.955],
      [3, 0.966],
    ] as const) {
      const share = shareOf(20_000, `fieller ${n}`, (z) => {
        const { lo, hi } = fieller(sample(n, 32, 3.2, z), sample(n, 80, 4, z), 0.95);
        return lo !== null && lo < 0.4 && hi! > 0.4;
      });
      within(`Fieller, ${n} bars`, share, expected - 0.012, expected + 0.012);
    }
  });

  it('of the 90/95 bound: 94 % or more, from bars and from plates', () => {
    const quantile = (sd: number) => 80 - 1.2815515655446004 * sd;
    const bars = shareOf(
      4000,
      'bound',
      (z) => lowerBound(sample(6, 80, 4, z), 0.9, 0.95, 1).normal! < quantile(4),
    );
    within('90/95 bound, 6 bars', bars, 0.94, 0.965);
    for (const sdPlate of [0, 0.03, 0.08]) {
      const share = shareOf(2000, `bound plates ${sdPlate}`, (z) => {
        const rows = printed(nestedPrints(['flat'], 5, 4), sdPlate, 0.05, z);
        const { bound } = boundPlates(
          groupsOf(rows, (row) => row.plate),
          0.9,
          0.95,
        );
        return bound < quantile(80 * Math.hypot(sdPlate, 0.05));
      });
      within(`90/95 bound, 5 plates of 4, plates ${100 * sdPlate} %`, share, 0.94, 1);
    }
  });
});

describe('the trap', () => {
  it('one plate each: bars as units are wrong in about 20 %; the program gives no p', () => {
    const rows = (z: () => number, plates: number) =>
      printed(nestedPrints(['flat', 'upright'], plates, 5), 0.03, 0.05, z);
    const wrong = shareOf(
      20_000,
      'trap',
      (z) => anova(groupsOf(rows(z, 1), (row) => row.orientation)).p! < 0.05,
    );
    within('bars as units, one plate each', wrong, 0.19, 0.22);
    expect(shareOf(50, 'trap compare', (z) => compare(rows(z, 1), 0.95).p === null)).toBe(1);
    for (const plates of [2, 3]) {
      const still = shareOf(
        20_000,
        `trap ${plates}`,
        (z) => anova(groupsOf(rows(z, plates), (row) => row.orientation)).p! < 0.05,
      );
      within(`bars as units, ${plates} plates each`, still, 0.17, 0.21);
    }
  });
});

describe('power', () => {
  it('of plans is what the formula says, within 0.03', () => {
    // 2500 runs: standard error 0.01. Bonferroni over three pairs.
    const level = 0.05 / 3;
    const seen = shareOf(2500, 'power rounds', (z) => {
      const rows = printed(roundPrints({ flat: 84.2, edge: 80, upright: 76.2 }, 4, 5), 0.03, 0.05, z);
      const pair = rounds(rows, 1 - level).pairs.find(({ a, b }) => a === 'flat' && b === 'upright')!;
      return pair.lo_single > 1;
    });
    const plan = { orientations: 3, sdBar: 0.05, sdPlate: 0.03 };
    const said = designPower(
      { ...plan, design: 'rounds', bars: 5, count: 4 },
      Math.log(84.2 / 76.2),
      0.05,
      3,
    );
    process.stdout.write(`rounds: formula ${said.toFixed(3)}\n`);
    within('rounds of 4 plates, 10 % difference', seen, said - 0.03, said + 0.03);
  });
});
