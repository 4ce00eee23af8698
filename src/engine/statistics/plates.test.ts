import { describe, expect, it } from 'vitest';
import { blocks } from './blocks.ts';
import { nested, plateRatios } from './nested.ts';
import { anova } from './one-way.ts';
import { rounds } from './rounds.ts';
import { groupsOf, type Row } from './rows.ts';

const row = (orientation: string, plate: string | number, value: number, round?: number): Row => ({
  orientation,
  plate: String(plate),
  ...(round === undefined ? {} : { round: String(round) }),
  value,
});

const mixed = [
  row('flat', 1, 90),
  row('flat', 1, 92),
  row('upright', 1, 40),
  row('upright', 1, 43),
  row('flat', 2, 94),
  row('flat', 2, 97),
  row('upright', 2, 47),
  row('upright', 2, 44),
  row('flat', 3, 85),
  row('flat', 3, 88),
  row('upright', 3, 38),
  row('upright', 3, 35),
];

describe('mixed plates', () => {
  it('even cells have sums of squares by hand, and all of them add up', () => {
    const table = blocks(mixed, 0.95);
    const whole = anova([
      { name: 'all', values: mixed.map((r) => r.value) },
      { name: 'none', values: [0] },
    ]);
    // Means of the plates 66.25, 70.5, 61.5 about 66.0833; of the orientations 91 and 41.1667.
    expect(table.ss_block).toBeCloseTo(4 * ((1 / 6) ** 2 + (53 / 12) ** 2 + (55 / 12) ** 2), 9);
    expect(table.ss_treatment).toBeCloseTo(12 * (91 - 793 / 12) ** 2, 9);
    expect(table.ss_treatment + table.ss_block + table.ss_error).toBeCloseTo(whole.ss_w, 8);
    expect(table.df_error).toBe(12 - 1 - 2 - 1);
    const { interaction } = table;
    expect(interaction!.ss + interaction!.ss_within).toBeCloseTo(table.ss_error, 9);
    expect(interaction!.df + interaction!.df_within).toBe(table.df_error);
    expect(table.pairs[0]!.difference).toBeCloseTo(91 - 247 / 6, 10);
  });

  it('where the difference changes from plate to plate, that change is the error', () => {
    const turned = mixed.map((r) =>
      r.orientation === 'flat' ? { ...r, value: r.value + 12 * Number(r.plate) } : r,
    );
    const table = blocks(turned, 0.95);
    expect(table.interaction).toMatchObject({ is_error: true, df: 2 });
    expect(table.df_used).toBe(2);
    expect(table.F_treatment).toBeCloseTo(table.ss_treatment / (table.interaction!.ss / 2), 9);
  });

  it('a lost bar leaves the difference of the others: least squares on an uneven layout', () => {
    // Two plates, the second without its second flat bar: normal equations solved by hand.
    const rows = [
      row('flat', 1, 10),
      row('flat', 1, 12),
      row('up', 1, 5),
      row('flat', 2, 20),
      row('up', 2, 13),
    ];
    const { pairs, ss_error, interaction } = blocks(rows, 0.95);
    // Plate 1: d = 6 with weight 2/3, plate 2: d = 7 with weight 1/2.
    expect(pairs[0]!.difference).toBeCloseTo((6 * (2 / 3) + 7 * 0.5) / (2 / 3 + 0.5), 12);
    expect(ss_error).toBeCloseTo(2 + (1 / (1.5 + 2)) * 1, 12);
    expect(interaction!.ss_within).toBeCloseTo(2, 12);
  });

  it('are refused where no shared plate connects the orientations', () => {
    expect(() => blocks([row('flat', 1, 1), row('edge', 1, 2), row('up', 2, 3)], 0.95)).toThrow('up');
    expect(() => blocks([row('flat', 1, 1), row('edge', 1, 2)], 0.95)).toThrow('two plates');
    expect(() => blocks([row('flat', 1, 1), row('flat', 2, 2)], 0.95)).toThrow('two orientations');
  });
});

describe('rounds', () => {
  const plates = [
    row('flat', 'a', 92, 1),
    row('flat', 'b', 88.1, 2),
    row('flat', 'c', 95.2, 3),
    row('upright', 'd', 38.1, 1),
    row('upright', 'e', 35, 2),
    row('upright', 'f', 39.9, 3),
  ];

  it('of two orientations are the paired t interval of the logs', () => {
    const { df, pairs } = rounds(plates, 0.95);
    const logs = [92 / 38.1, 88.1 / 35, 95.2 / 39.9].map(Math.log);
    const mean = logs.reduce((a, b) => a + b) / 3;
    const s = Math.sqrt(logs.reduce((sum, l) => sum + (l - mean) ** 2, 0) / 2);
    expect(df).toBe(2);
    expect(pairs[0]!.ratio).toBeCloseTo(Math.exp(mean), 12);
    // t(0.975; 2) = 4.302653 (t table).
    expect(pairs[0]!.hi_single).toBeCloseTo(Math.exp(mean + (4.302653 * s) / Math.sqrt(3)), 6);
    // With two groups the simultaneous interval is the single one.
    expect(pairs[0]!.hi / pairs[0]!.hi_single).toBeCloseTo(1, 10);
  });

  it('bars count by the mean of their plate, and the unit does not matter', () => {
    const bars = plates.flatMap((p) => [
      { ...p, value: p.value - 1 },
      { ...p, value: p.value + 1 },
    ]);
    expect(rounds(bars, 0.95).pairs[0]!.ratio).toBeCloseTo(rounds(plates, 0.95).pairs[0]!.ratio, 12);
    const scaled = rounds(
      plates.map((p) => ({ ...p, value: p.value * 1e6 })),
      0.95,
    );
    expect(scaled.s_plate_log).toBeCloseTo(rounds(plates, 0.95).s_plate_log, 12);
  });

  it('a lost plate costs one degree of freedom and no bias', () => {
    const three = ['flat', 'edge', 'upright'].flatMap((name, i) =>
      [1, 2, 3].map((r) =>
        row(name, `${name}${r}`, (90 - 20 * i) * (1 + 0.05 * r) * (1 + 0.01 * ((i * r) % 3)), r),
      ),
    );
    const whole = rounds(three, 0.95);
    const gap = rounds(three.slice(1), 0.95);
    expect(gap.df).toBe(whole.df - 1);
    expect(gap.pairs[0]!.ratio / whole.pairs[0]!.ratio).toBeCloseTo(1, 1);
    const widths = (p: { lo: number; hi: number }) => Math.log(p.hi / p.lo);
    expect(widths(gap.pairs[0]!) / gap.s_plate_log).toBeGreaterThan(
      widths(whole.pairs[0]!) / whole.s_plate_log,
    );
  });

  it('are refused with one round or too few plates', () => {
    expect(() => rounds([plates[0]!, plates[3]!], 0.95)).toThrow('one round');
    expect(() => rounds([plates[0]!, plates[1]!, plates[3]!], 0.95)).toThrow('too few plates');
    expect(() => rounds([plates[0]!, plates[4]!], 0.95)).toThrow('No round');
  });
});

describe('nested plates', () => {
  const uneven = [
    ...[90, 91, 93].map((v) => row('A', 1, v)),
    ...[86, 88].map((v) => row('A', 2, v)),
    row('A', 3, 89),
    ...[82, 84, 85, 80].map((v) => row('B', 1, v)),
    ...[88, 86].map((v) => row('B', 2, v)),
  ];

  it('n0 and n1 are what makes the mean squares expect the plate variance: the form of each over single plates', () => {
    const table = nested(uneven);
    const keys = groupsOf(uneven, (r) => `${r.orientation} ${r.plate}`).map((g) => g.name);
    let plates = 0;
    let orientations = 0;
    for (const key of keys) {
      // A hundredth of scatter keeps the table from being refused; it adds 1e-12 to the squares.
      const unit = uneven.map((r, i) => ({
        ...r,
        value: (`${r.orientation} ${r.plate}` === key ? 1 : 0) + 1e-6 * (i % 3),
      }));
      const { ss } = nested(unit);
      orientations += ss[0];
      plates += ss[1];
    }
    expect(table.n0).toBeCloseTo(plates / table.df[1], 4);
    expect(table.n1).toBeCloseTo(orientations / table.df[0], 4);
    expect(table.df).toEqual([1, 3, 7]);
  });

  it('sums of squares add up', () => {
    const { ss } = nested(uneven);
    const values = uneven.map((r) => r.value);
    const mean = values.reduce((a, b) => a + b) / values.length;
    expect(ss[0] + ss[1] + ss[2]).toBeCloseTo(
      values.reduce((sum, v) => sum + (v - mean) ** 2, 0),
      9,
    );
  });

  it('plates of the same name in two orientations are two plates', () => {
    const renamed = uneven.map((r) => ({ ...r, plate: `${r.orientation}${r.plate}` }));
    expect(nested(renamed)).toEqual(nested(uneven));
  });

  it('with one bar a plate are the one-way analysis of the plates', () => {
    const single = [row('A', 1, 90), row('A', 2, 94), row('A', 3, 91), row('B', 4, 84), row('B', 5, 88)];
    const table = nested(single);
    const oneWay = anova(groupsOf(single, (r) => r.orientation));
    expect(table.F).toBeCloseTo(oneWay.F!, 12);
    expect(table.p).toBeCloseTo(oneWay.p!, 12);
    expect(table.var_bar).toBeNull();
    const ratios = plateRatios(single, 0.95)!;
    expect(ratios.df).toBe(3);
    expect(ratios.pairs[0]!.ratio).toBeCloseTo(Math.cbrt(90 * 94 * 91) / Math.sqrt(84 * 88), 12);
  });

  it('are refused with one plate for every orientation', () => {
    expect(() => nested([row('A', 1, 1), row('A', 1, 2), row('B', 2, 3)])).toThrow('cannot be told apart');
  });
});
