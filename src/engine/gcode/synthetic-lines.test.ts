/** Goal: families of lines cover what they should and are drawn without needless travel. Cases by hand. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Ring } from '../bars/outline.ts';
import {
  type Intervals,
  inside,
  ruled,
  strings,
  turned,
  union,
  widened,
  without,
} from './synthetic-lines.ts';

const box = (x0: number, x1: number, y0: number, y1: number): Ring => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];
const length = (a: Intervals): number => a.reduce((sum, u, i) => sum + (i % 2 === 0 ? -u : u), 0);

describe('intervals', () => {
  it('unite, part and widen', () => {
    expect(union([0, 1, 4, 5], [0.5, 2, 5, 6])).toEqual([0, 2, 4, 6]);
    expect(without([0, 10], [-1, 1, 3, 4, 9, 12])).toEqual([1, 3, 4, 9]);
    expect(without([0, 1], [0, 1])).toEqual([]);
    expect(widened([0, 1, 1.5, 3], 0.3)).toEqual([-0.3, 3.3]);
    expect(widened([0, 1, 2, 5], -0.6)).toEqual([2.6, 4.4]);
  });

  it('lose nothing: what is in a is in b or in a without b', () => {
    const list = fc
      .array(fc.integer({ min: 0, max: 100 }), { minLength: 2, maxLength: 12 })
      .map((ends) => [...new Set(ends)].sort((p, q) => p - q))
      .map((ends) => ends.slice(0, ends.length - (ends.length % 2)));
    fc.assert(
      fc.property(list, list, (a, b) => {
        const rest = without(a, b);
        expect(length(union(rest, b))).toBe(length(union(a, b)));
        expect(length(without(rest, b))).toBe(length(rest));
      }),
      { seed: 3, numRuns: 300 },
    );
  });
});

describe('lines', () => {
  it('turn there and back', () => {
    const [x, y] = turned(turned([3, -2], 0.7), -0.7);
    expect(x).toBeCloseTo(3, 12);
    expect(y).toBeCloseTo(-2, 12);
  });

  it('lie evenly about the middle of what they fill', () => {
    const lines = ruled([box(0, 10, 0, 4)], 0, 1.5);
    expect(lines.across).toEqual([0.5, 2, 3.5]);
    expect(lines.on.every((on) => on[0] === 0 && on[1] === 10)).toBe(true);
    expect(inside([box(0, 10, 0, 4), box(12, 13, 0, 4)], 0, 1)).toEqual([0, 10, 12, 13]);
  });

  it('are one path in a box, turning round at each end', () => {
    const paths = strings(ruled([box(0, 10, 0, 4)], 0, 1), 2.5);
    expect(paths).toHaveLength(1);
    expect(paths[0]!.map(([x]) => x)).toEqual([0, 10, 10, 0, 0, 10, 10, 0]);
  });

  it('are not joined over a step as long as the limit', () => {
    expect(strings(ruled([box(0, 10, 0, 4)], 0, 1), 1)).toHaveLength(4);
    expect(strings(ruled([box(0, 10, 0, 4)], 0, 1), 1.001)).toHaveLength(1);
  });

  it('part into paths of their own where an outline forks', () => {
    const fork: Ring = [
      [0, 0],
      [10, 0],
      [10, 10],
      [7, 10],
      [7, 4],
      [3, 4],
      [3, 10],
      [0, 10],
    ];
    const paths = strings(ruled([fork], 0, 1), 20);
    // The stem and two arms; no path crosses the free space between the arms.
    expect(paths).toHaveLength(3);
    for (const path of paths)
      for (let i = 1; i < path.length; i++) {
        const y = (path[i]![1] + path[i - 1]![1]) / 2;
        const x = (path[i]![0] + path[i - 1]![0]) / 2;
        expect(y > 4.6 && x > 3.1 && x < 6.9).toBe(false);
      }
  });
});
