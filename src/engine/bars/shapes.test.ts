/**
 * Goal: the dimensions lead to the geometry of the standards' bars. Expected values: closed forms worked out apart
 * from this code (checks `specimen-1b`, `specimen-1a`, `specimen-d638-iv`), and sums over thin slices.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type BarShape,
  barNames,
  barShape,
  barVolume,
  fillet,
  gaugeSection,
  halfWidth,
  lengthBetweenBroad,
  planArea,
  reach,
} from './shapes.ts';

const shape = (name: string): BarShape => barShape(name)!;

describe('bars of the standards', () => {
  it.each([
    ['1B', 107.9583152331272, 2077.514729101092, 8310.058916404369],
    ['1A', 109.32575659723037, 2400.0210708085415, 9600.084283234166],
    ['IV', 76.1161222746202, 1503.986056480382, 4812.755380737223],
  ])(
    '%s has the length between broad ends, plan area and volume of its closed form',
    (name, l2, area, volume) => {
      expect(lengthBetweenBroad(shape(name)) * 1e3).toBeCloseTo(l2, 9);
      expect(planArea(shape(name)) * 1e6).toBeCloseTo(area, 8);
      expect(barVolume(shape(name)) * 1e9).toBeCloseTo(volume, 7);
    },
  );

  it('keeps 1BA inside both of its rules: a radius of 30 mm or more, 58 mm +- 2 mm between broad ends (ISO 527-2, from memory)', () => {
    expect(shape('1BA').radius).toBeGreaterThanOrEqual(0.03);
    expect(Math.abs(lengthBetweenBroad(shape('1BA')) - 0.058)).toBeLessThan(1e-5);
  });

  it('gives a 1B bar 10 mm x 4 mm to count stress on (ISO 527-2, from memory)', () => {
    expect(gaugeSection(shape('1B'))).toBeCloseTo(40e-6, 12);
  });

  it.each(barNames)('%s: the area is the sum of thin slices, and its parts fit in its length', (name) => {
    const bar = shape(name);
    const slices = 20_000;
    let sum = 0;
    for (let i = 0; i < slices; i++) sum += 2 * halfWidth(bar, ((i + 0.5) / slices - 0.5) * bar.length);
    expect(sum * (bar.length / slices)).toBeCloseTo(planArea(bar), 9);
    expect(lengthBetweenBroad(bar)).toBeLessThan(bar.length);
    expect(bar.gaugeLength).toBeLessThanOrEqual(bar.lengthNarrow);
    expect(halfWidth(bar, 0)).toBeCloseTo(bar.widthNarrow / 2, 12);
    expect(halfWidth(bar, bar.length / 2)).toBeCloseTo(bar.widthBroad / 2, 12);
  });

  it('finds the place of a width again, in fillets of one and of two radii', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...barNames),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (name, share) => {
          const bar = shape(name);
          const half = bar.widthNarrow / 2 + (share * (bar.widthBroad - bar.widthNarrow)) / 2;
          const x = reach(bar, half)!;
          expect(x).toBeGreaterThan(bar.lengthNarrow / 2);
          expect(x).toBeLessThan(bar.lengthNarrow / 2 + fillet(bar).length);
          expect(halfWidth(bar, x)).toBeCloseTo(half, 9);
        },
      ),
      { seed: 1, numRuns: 200 },
    );
    expect(reach(shape('1B'), 0.004)).toBe(0);
    expect(reach(shape('1B'), 0.0101)).toBeNull();
  });

  it('names the standard of each bar, and knows none that is not in its tables', () => {
    expect([shape('1B').source, shape('IV').source].map((source) => source.slice(0, 9))).toEqual([
      'ISO 527-2',
      'ASTM D638',
    ]);
    expect(barShape('1C')).toBeUndefined();
    expect(barShape('toString')).toBeUndefined();
  });

  it('refuses radii that cannot lead from the narrow width to the broad one', () => {
    expect(() => fillet({ ...shape('1B'), radius: 0.002 })).toThrow(/radii of 0.002 m/);
  });
});
