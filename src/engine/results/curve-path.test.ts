import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { curvePath, POINTS_MOST } from './curve-path.ts';

// Goal: a curve drawn with few points shows what the whole one shows. Method: any curve, seeded.

describe('the path of a curve', () => {
  it('keeps both ends, the greatest and the least value, and the order, in few points', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), { minLength: 2, maxLength: 3000 }),
        (ys) => {
          const y = Float64Array.from(ys);
          const x = y.map((_, k) => k);
          const path = curvePath(x, y, y.length);
          expect(path.x.length).toBeLessThanOrEqual(POINTS_MOST + 2);
          expect([path.x[0], path.x.at(-1)]).toEqual([0, y.length - 1]);
          expect(Math.max(...path.y)).toBe(Math.max(...ys));
          expect(Math.min(...path.y)).toBe(Math.min(...ys));
          expect(path.x.every((at, k) => k === 0 || at > path.x[k - 1]!)).toBe(true);
          expect(path.y.every((value, k) => value === y[path.x[k]!])).toBe(true);
        },
      ),
      { seed: 8, numRuns: 60 },
    );
  });

  it('leaves out readings that are none, and what lies behind the break', () => {
    const y = Float64Array.from([0, 1, Number.NaN, 3, 99]);
    expect(curvePath(Float64Array.from([0, 1, 2, 3, 4]), y, 4)).toEqual({ x: [0, 1, 3], y: [0, 1, 3] });
    expect(curvePath(new Float64Array(0), new Float64Array(0), 0)).toEqual({ x: [], y: [] });
  });
});
