/** Goal: bars of a plate get places that hold them apart and on the sheet, and standing bars get their posts. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Point } from '../bars/outline.ts';
import { barShape } from '../bars/shapes.ts';
import { Refusal } from '../kernel.ts';
import { layerTracks } from './synthetic.ts';
import { inRows, platePrint } from './synthetic-plate.ts';

const sheet: Point = [0.26, 0.22];
const shape = barShape('1B')!;
const options = { layer: 2e-4, bead: 4.5e-4, flow: 6e-9, supports: true, gap: 0.01, sheet };

describe('a plate of bars', () => {
  it('lays flat bars one behind the other, in the middle of the sheet', () => {
    const print = platePrint(Array(3).fill({ shape, orientation: 'flat' }), options);
    const places = print.bars.map(({ at }) => at.map((v) => Math.round(v * 1e6) / 1e3));
    expect(places).toEqual([
      [130, 80],
      [130, 110],
      [130, 140],
    ]);
    expect(print.bars.every(({ posts }) => posts === undefined)).toBe(true);
  });

  it('keeps places that were given', () => {
    const print = platePrint([{ shape, orientation: 'on edge', at: [0.1, 0.05] }], options);
    expect(print.bars[0]!.at).toEqual([0.1, 0.05]);
  });

  it('gives a standing bar two posts of its height and a brim round all three, if supports are wanted', () => {
    const bars = [{ shape, orientation: 'upright' }] as const;
    const print = platePrint(bars, options);
    const posts = print.bars[0]!.posts!;
    expect(posts.map(({ solid }) => solid.height)).toEqual([shape.length, shape.length]);
    const [left, right] = posts.map(({ at, solid }) => [at[0] - solid.length / 2, at[0] + solid.length / 2]);
    expect(0.13 - shape.widthBroad / 2 - left![1]!).toBeCloseTo(5e-4, 9);
    expect(right![0]! - 0.13 - shape.widthBroad / 2).toBeCloseTo(5e-4, 9);
    expect(print.brims).toHaveLength(1);
    const bare = platePrint(bars, { ...options, supports: false });
    expect([bare.bars[0]!.posts, bare.brims]).toEqual([undefined, []]);
  });

  it('puts as many standing bars in a row as fit, and says so when the sheet is full', () => {
    const bars = (count: number) => Array(count).fill({ shape, orientation: 'upright' } as const);
    const ys = platePrint(bars(8), options).bars.map(({ at }) => at[1]);
    expect(new Set(ys).size).toBe(2);
    expect(() => platePrint(bars(40), options)).toThrow(Refusal);
    expect(() => platePrint(Array(8).fill({ shape, orientation: 'flat' }), options)).toThrow(
      /8 bars need 150 x 230 mm/,
    );
  });

  it('holds footprints apart by the gap and inside the sheet, whatever they are', () => {
    const footprint = fc.tuple(fc.integer({ min: 4, max: 180 }), fc.integer({ min: 4, max: 30 }));
    fc.assert(
      fc.property(
        fc.array(footprint, { minLength: 1, maxLength: 12 }),
        fc.integer({ min: 0, max: 20 }),
        (all, gap) => {
          const sizes = all.map(([a, b]): Point => [a * 1e-3, b * 1e-3]);
          let places: Point[];
          try {
            places = inRows(sizes, gap * 1e-3, sheet);
          } catch (fault) {
            expect(fault).toBeInstanceOf(Refusal);
            return;
          }
          for (const [i, [x, y]] of places.entries()) {
            const [a, b] = sizes[i]!;
            expect(Math.min(x - a / 2, y - b / 2)).toBeGreaterThan(0.005 - 1e-9);
            expect(Math.max(x + a / 2 - sheet[0], y + b / 2 - sheet[1])).toBeLessThan(-0.005 + 1e-9);
            for (const [j, [u, v]] of places.slice(0, i).entries()) {
              const free = Math.max(
                Math.abs(x - u) - (a + sizes[j]![0]) / 2,
                Math.abs(y - v) - (b + sizes[j]![1]) / 2,
              );
              expect(free).toBeGreaterThan(gap * 1e-3 - 1e-9);
            }
          }
        },
      ),
      { seed: 5, numRuns: 200 },
    );
  });

  it('can be laid', () => {
    const bars = (['flat', 'on edge', 'upright'] as const).map((orientation) => ({ shape, orientation }));
    let first = true;
    for (const tracks of layerTracks(platePrint(bars, options))) {
      const kinds = new Set(tracks.map(({ kind }) => kind));
      expect(kinds).toEqual(
        new Set(['brim', 'loop', 'line', 'support'].filter((kind) => first || kind !== 'brim')),
      );
      if (!first) break;
      first = false;
    }
  });
});
