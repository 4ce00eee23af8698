import { describe, expect, it } from 'vitest';
import { answer } from './answer.ts';
import { compare } from './compare.ts';
import type { Row } from './rows.ts';
import { analyseSeries, type TestedBar } from './series.ts';

const row = (orientation: string, plate: number, value: number, round?: number): Row => ({
  orientation,
  plate: String(plate),
  ...(round === undefined ? {} : { round: String(round) }),
  value,
});
const on = (orientation: string, plate: number, values: number[], round?: number) =>
  values.map((value) => row(orientation, plate, value, round));
const question = (smallest: number) => ({
  pair: ['upright', 'flat'] as const,
  smallest,
  power: 0.8,
  conf: 0.95,
});

const flat = [92.1, 95.4, 90.3, 96];
const upright = [38.4, 41.2, 33.9, 36.5];

describe('the plates decide the analysis', () => {
  it('one plate for each orientation gives no p value and says why', () => {
    const found = compare([...on('flat', 1, flat), ...on('upright', 2, upright)], 0.95);
    expect(found).toMatchObject({ analysis: 'none', p: null });
    expect(found.message).toMatch(/plate and orientation/);
  });

  it('one round is no rounds', () => {
    const found = compare([...on('flat', 1, flat, 1), ...on('upright', 2, upright, 1)], 0.95);
    expect(found).toMatchObject({ analysis: 'none', p: null });
  });

  it('two plates that carry both are blocks', () => {
    const rows = [
      ...on('flat', 1, [92, 95]),
      ...on('upright', 1, [38, 41]),
      ...on('flat', 2, [90, 96]),
      ...on('upright', 2, [34, 37]),
    ];
    const found = compare(rows, 0.95);
    expect(found.analysis).toBe('mixed');
    expect(found.p).toBeLessThan(1e-3);
  });

  it('one mixed plate speaks for itself only', () => {
    const found = compare([...on('flat', 1, flat), ...on('upright', 1, upright)], 0.95);
    expect(found.analysis).toBe('mixed');
    expect(found.p).toBeLessThan(1e-4);
    expect(found.message).toMatch(/this plate only/);
    expect(answer([...on('flat', 1, flat), ...on('upright', 1, upright)], question(0.1)).sentence).toMatch(
      /this plate only/,
    );
  });

  it('an orientation that shares no plate with the others spoils the mixed analysis, by name', () => {
    const rows = [...on('flat', 1, [92, 95]), ...on('edge', 1, [88, 86]), ...on('upright', 2, [34, 37])];
    const found = compare(rows, 0.95);
    expect(found).toMatchObject({ analysis: 'none', p: null });
    expect(found.message).toContain('upright');
  });

  it('rounds and nested plates take the plate as unit, so more bars on the same plates change little', () => {
    const means: [string, number, number, number][] = [
      ['flat', 1, 90, 1],
      ['upright', 2, 84, 1],
      ['flat', 3, 95, 2],
      ['upright', 4, 86, 2],
      ['flat', 5, 91, 3],
      ['upright', 6, 87, 3],
    ];
    const few = means.flatMap(([o, p, m, r]) => on(o, p, [m - 1, m + 1], r));
    const many = means.flatMap(([o, p, m, r]) => on(o, p, [m - 1, m + 1, m - 1, m + 1, m - 1, m + 1], r));
    expect(compare(few, 0.95)).toMatchObject({ analysis: 'rounds' });
    expect(compare(many, 0.95).p).toBeCloseTo(compare(few, 0.95).p!, 10);
    const drop = ({ round: _, ...rest }: Row): Row => rest;
    expect(compare(few.map(drop), 0.95)).toMatchObject({ analysis: 'nested' });
    expect(compare(many.map(drop), 0.95).p).toBeCloseTo(compare(few.map(drop), 0.95).p!, 10);
  });

  it('one orientation is refused', () => {
    expect(() => compare(on('flat', 1, flat), 0.95)).toThrow('two orientations');
  });
});

describe('the answer', () => {
  const rows = [0, 1, 2, 3].flatMap((p) => [
    ...on('flat', p, [90 + p, 91 - p]),
    ...on('upright', p, [84 + p * 1.5, 88 - p * 0.3]),
  ]);

  it('names ratio and interval in one sentence, and turns round with the question', () => {
    const one = answer(rows, question(0.02));
    const other = answer(rows, { ...question(0.02), pair: ['flat', 'upright'] });
    expect(one.sentence).toMatch(/^upright is 0\.\d+ of flat \(95 % interval 0\.\d+ to [01](\.\d+)?\): /);
    expect(one.ratio! * other.ratio!).toBeCloseTo(1, 12);
    expect(one.lo! * other.hi!).toBeCloseTo(1, 12);
  });

  it('is different, alike or open as the interval lies, and open says how many plates would settle it', () => {
    const far = [
      ...rows.filter((r) => r.orientation === 'flat'),
      ...[0, 1, 2, 3].flatMap((p) => on('upright', p, [40 + p, 41])),
    ];
    expect(answer(far, question(0.1))).toMatchObject({ verdict: 'different', beyond: true, more: null });
    expect(answer(rows, question(0.3))).toMatchObject({ beyond: false });
    const noisy = [0, 1, 2].flatMap((p) => [row('flat', p, 90 + 3 * p), row('upright', p, 91 + 4 * (p % 2))]);
    const open = answer(noisy, question(0.02));
    expect(open.verdict).toBe('open');
    expect(open.more!.have).toBe(3);
    expect(open.more!.settles!).toBeGreaterThan(open.more!.sees!);
    expect(open.more!.sees!).toBeGreaterThan(3);
    expect(answer(noisy, question(0.5)).verdict).toBe('alike');
    // A wider smallest difference never needs more plates.
    expect(answer(noisy, question(0.04)).more!.settles!).toBeLessThan(open.more!.settles!);
  });

  it('is none, with the reason, where plates and orientations are one and the same', () => {
    const found = answer([...on('flat', 1, flat), ...on('upright', 2, upright)], question(0.1));
    expect(found).toMatchObject({ verdict: 'none', ratio: null, more: null });
    expect(found.sentence).toMatch(/not answered.*plate and orientation/);
  });

  it('of rounds and of nested plates counts rounds and plates', () => {
    const plates = [1, 2, 3].flatMap((r) => [
      row('flat', r, 90 + 4 * r, r),
      row('upright', 10 + r, 91 + ((7 * r) % 5), r),
    ]);
    expect(answer(plates, question(0.01)).more).toMatchObject({ unit: 'rounds', have: 3 });
    const loose = plates.map(({ round: _, ...rest }) => rest);
    expect(answer(loose, question(0.01)).more).toMatchObject({ unit: 'plates of each orientation', have: 3 });
  });
});

describe('a series of bars', () => {
  const bars: TestedBar[] = [1, 2, 3].flatMap((plate) =>
    [
      ['flat', 90 + plate],
      ['flat', 92 - plate],
      ['upright', 40 + plate],
      ['upright', 41],
    ].map(([orientation, strength], i) => ({
      bar: `${plate}${i}`,
      orientation: orientation as string,
      plate: String(plate),
      strength: strength as number,
      valid: true,
    })),
  );

  it('leaves out what the person rejected and nothing else, and names what it asks about', () => {
    const low = bars.map((b) => (b.bar === '20' ? { ...b, strength: 55 } : b));
    const kept = analyseSeries(low, 0.95);
    expect(kept).toMatchObject({
      rejected: [],
      asked: ['20'],
      n: { flat: 6, upright: 6 },
      analysis: 'mixed',
    });
    const without = analyseSeries(
      low.map((b) => ({ ...b, valid: b.bar !== '20' })),
      0.95,
    );
    expect(without).toMatchObject({ rejected: ['20'], asked: [], n: { flat: 5 } });
    expect(without.mean['flat']!).toBeGreaterThan(kept.mean['flat']! + 5);
  });

  it('never puts dry and conditioned bars together', () => {
    const two = bars.map((b, i) => ({ ...b, condition: i < 4 ? 'dry' : 'conditioned' }));
    expect(() => analyseSeries(two, 0.95)).toThrow('dry, conditioned');
  });

  it('with one orientation compares nothing, with none left is refused', () => {
    const one = analyseSeries(
      bars.filter((b) => b.orientation === 'flat'),
      0.95,
      { ratio: ['upright', 'flat'] },
    );
    expect(one).toMatchObject({
      analysis: 'none',
      ratio: null,
      ratio_bars: null,
      welch_F: null,
      pairs_bars: [],
    });
    expect(() =>
      analyseSeries(
        bars.map((b) => ({ ...b, valid: false })),
        0.95,
      ),
    ).toThrow('No valid bar');
  });
});
