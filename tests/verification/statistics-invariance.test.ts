import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Refusal } from '../../src/engine/kernel.ts';
import { normalQuantile } from '../../src/engine/numerics/normal.ts';
import { blocks } from '../../src/engine/statistics/blocks.ts';
import { nested } from '../../src/engine/statistics/nested.ts';
import { anova, welchAnova } from '../../src/engine/statistics/one-way.ts';
import { pairs } from '../../src/engine/statistics/pairs.ts';
import { fieller } from '../../src/engine/statistics/ratio.ts';
import { rounds } from '../../src/engine/statistics/rounds.ts';
import type { Row } from '../../src/engine/statistics/rows.ts';

// Goal: sums of squares are conserved and results do not depend on unit, offset or order.
// Method: random layouts of random size, every one with a seed.

const settings = { seed: 20261125, numRuns: 60 } as const;
const numbers = (min: number) => fc.array(fc.integer({ min: 1, max: 999 }), { minLength: min, maxLength: 7 });
const layout = fc
  .tuple(
    fc.integer({ min: 2, max: 4 }),
    fc.integer({ min: 2, max: 5 }),
    fc.integer({ min: 1, max: 3 }),
    fc.infiniteStream(fc.double({ min: 0.01, max: 0.99, noNaN: true })),
  )
  .map(([k, plates, bars, stream]): Row[] =>
    Array.from({ length: k * plates * bars }, (_, i) => ({
      orientation: `o${i % k}`,
      plate: `p${Math.floor(i / k) % plates}`,
      round: `p${Math.floor(i / k) % plates}`,
      value: 80 + 10 * (i % k) + 5 * normalQuantile(stream.next().value!),
    })),
  );
/** Null where the refusal says so; any other error is a fault. */
function unlessRefused<T>(run: () => T, words: string): T | null {
  try {
    return run();
  } catch (error) {
    if (error instanceof Refusal && error.message.includes(words)) return null;
    throw error;
  }
}
const whole = (rows: readonly Row[]) => {
  const mean = rows.reduce((sum, row) => sum + row.value, 0) / rows.length;
  return rows.reduce((sum, row) => sum + (row.value - mean) ** 2, 0);
};

describe('conservation', () => {
  it('one-way: between and within make the whole', () => {
    fc.assert(
      fc.property(fc.array(numbers(1), { minLength: 2, maxLength: 5 }), (groups) => {
        const { ss_b, ss_w, df_b, df_w } = anova(groups.map((values, i) => ({ name: String(i), values })));
        const all = groups.flat();
        const mean = all.reduce((a, b) => a + b, 0) / all.length;
        const total = all.reduce((sum, x) => sum + (x - mean) ** 2, 0);
        expect(Math.abs(ss_b + ss_w - total)).toBeLessThanOrEqual(1e-11 * total);
        expect(df_b + df_w).toBe(all.length - 1);
      }),
      settings,
    );
  });

  it('mixed plates: orientation, plate and error make the whole when every cell is filled alike', () => {
    fc.assert(
      fc.property(layout, (rows) => {
        const { ss_treatment, ss_block, ss_error, df_treatment, df_block, df_error } = blocks(rows, 0.95);
        expect(Math.abs((ss_treatment + ss_block + ss_error) / whole(rows) - 1)).toBeLessThan(1e-11);
        expect(df_treatment + df_block + df_error).toBe(rows.length - 1);
      }),
      { ...settings, numRuns: 15 },
    );
  });

  it('nested plates: orientations, plates and bars make the whole, filled alike or not', () => {
    fc.assert(
      fc.property(layout, fc.integer({ min: 0, max: 1 }), (rows, lost) => {
        const left = rows.slice(lost);
        const table = unlessRefused(() => nested(left), 'no error is left');
        fc.pre(table !== null);
        const { ss, df } = table!;
        expect(Math.abs((ss[0] + ss[1] + ss[2]) / whole(left) - 1)).toBeLessThan(1e-11);
        expect(df[0] + df[1] + df[2]).toBe(left.length - 1);
      }),
      settings,
    );
  });
});

describe('invariance', () => {
  it('p does not depend on the unit, an offset, or the order of the bars', () => {
    fc.assert(
      fc.property(layout, (rows) => {
        const moved = rows.map((row) => ({ ...row, value: 1e6 * (row.value + 300) })).reverse();
        expect(blocks(moved, 0.95).p_treatment! / blocks(rows, 0.95).p_treatment!).toBeCloseTo(1, 7);
        expect(nested(moved).p / nested(rows).p).toBeCloseTo(1, 7);
      }),
      { ...settings, numRuns: 10 },
    );
  });

  it('ratios of rounds do not depend on the unit', () => {
    fc.assert(
      fc.property(layout, (rows) => {
        const one = rounds(rows, 0.95);
        const other = rounds(
          rows.map((row) => ({ ...row, value: row.value * 145.04 })),
          0.95,
        );
        expect(other.pairs[0]!.lo / one.pairs[0]!.lo).toBeCloseTo(1, 9);
        expect(other.p / one.p).toBeCloseTo(1, 7);
      }),
      { ...settings, numRuns: 10 },
    );
  });

  it('Welch and Games-Howell do not depend on the order of the groups', () => {
    fc.assert(
      fc.property(fc.array(numbers(3), { minLength: 3, maxLength: 3 }), (values) => {
        fc.pre(values.every((one) => new Set(one).size > 1));
        const groups = values.map((one, i) => ({ name: String(i), values: one }));
        const turned = groups.toReversed();
        expect(welchAnova(turned).p).toBeCloseTo(welchAnova(groups).p, 12);
        const one = pairs(groups, 'games-howell', 0.95, ['0', '2'])[0]!;
        const other = pairs(turned, 'games-howell', 0.95, ['2', '0'])[0]!;
        expect(other.p).toBeCloseTo(one.p, 12);
        expect(other.lo).toBeCloseTo(-one.hi, 8);
      }),
      { ...settings, numRuns: 12 },
    );
  });

  it("Fieller's interval holds the ratio and turns over with the pair when the degrees of freedom are alike", () => {
    const num = [38, 41, 35, 36];
    const den = [92, 95, 90, 96];
    const one = fieller(num, den, 0.95);
    const other = fieller(den, num, 0.95);
    expect(one.df).toBeCloseTo(other.df, 10);
    expect(one.lo! * other.hi!).toBeCloseTo(1, 12);
    expect(one.lo!).toBeLessThan(one.ratio);
    expect(one.hi!).toBeGreaterThan(one.ratio);
  });
});
