import { describe, expect, it } from 'vitest';
import { stacked } from './every-bar.tsx';
import { curveRows, ticksTo } from './one-curve.tsx';

describe('every bar', () => {
  it('is stacked where marks would cover each other, and lies at the bottom where they would not', () => {
    expect(stacked([0, 20, 40], 10)).toEqual([0, 0, 0]);
    expect(stacked([5, 0, 9, 10], 10)).toEqual([1, 0, 2, 0]);
  });

  it('never has two marks of one level nearer than a mark is wide', () => {
    const places = Array.from({ length: 200 }, (_, k) => (k * 7919) % 311);
    const levels = stacked(places, 10);
    for (let a = 0; a < places.length; a++)
      for (let b = 0; b < a; b++)
        if (levels[a] === levels[b]) expect(Math.abs(places[a]! - places[b]!)).toBeGreaterThanOrEqual(10);
  });
});

describe('one curve', () => {
  it('has round marks from zero to beyond its greatest value', () => {
    const ticks = ticksTo(4013, 4);
    expect(ticks.map(({ at }) => at)).toEqual([0, 2000, 4000, 6000]);
    expect(ticksTo(1.27, 5).map(({ label }) => label)).toEqual(['0.0', '0.5', '1.0', '1.5']);
  });

  it('is told in about a dozen rows, its peak and its end among them', () => {
    const points = Array.from({ length: 500 }, (_, k) => [k, k < 333 ? k : 0] as const);
    const rows = curveRows(points);
    expect(rows.length).toBeLessThanOrEqual(15);
    expect(rows).toContainEqual([332, 332]);
    expect(rows).toContainEqual([499, 0]);
  });
});
