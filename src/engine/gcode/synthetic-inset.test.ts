/**
 * Goal: outlines moved by a distance keep exactly that distance. Expected values: areas of rectangles, and the
 * distance of every corner and mid-edge from the outline, measured independently of how the ring was made.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barOutline, type Point, type Ring, ringArea } from '../bars/outline.ts';
import { barNames, barShape } from '../bars/shapes.ts';
import { contains, distanceTo, inset } from './synthetic-inset.ts';

const rectangle = (a: number, b: number): Ring => [
  [0, 0],
  [a, 0],
  [a, b],
  [0, b],
];

describe('inset', () => {
  it('makes a rectangle smaller and larger by the distance on each side', () => {
    expect(inset(rectangle(10, 4), 1).map(ringArea)).toEqual([16]);
    expect(inset(rectangle(10, 4), -1).map(ringArea)).toEqual([72]);
    expect(inset(rectangle(10, 4).slice().reverse(), 1).map(ringArea)).toEqual([16]);
  });

  it('leaves nothing of what is narrower than twice the distance', () => {
    expect(inset(rectangle(10, 4), 2)).toEqual([]);
    expect(inset(rectangle(10, 4), 2.5)).toEqual([]);
    expect(
      inset(
        [
          [0, 0],
          [1, 1],
        ],
        0.1,
      ),
    ).toEqual([]);
  });

  it('parts a dumbbell where its neck is narrower than twice the distance', () => {
    const outline = barOutline(barShape('1B')!);
    expect(inset(outline, 0.0049)).toHaveLength(1);
    expect(inset(outline, 0.0051)).toHaveLength(2);
  });

  it('keeps the corner of an angle iron on both of its arms', () => {
    const iron: Ring = [
      [0, 0],
      [10, 0],
      [10, 3],
      [3, 3],
      [3, 10],
      [0, 10],
    ];
    // Two arms of 1 mm: 8 x 1 and 7 x 1.
    expect(inset(iron, 1).map(ringArea)).toEqual([expect.closeTo(15, 9)]);
  });

  it.each(barNames)(
    '%s: no ring comes nearer to the outline than the distance, nor leaves it by more than a corner',
    (name) => {
      const outline = barOutline(barShape(name)!);
      for (const distance of [0.0002, 0.0006, -0.002])
        for (const ring of inset(outline, distance))
          for (const [i, [x, y]] of ring.entries()) {
            const [nx, ny] = ring[(i + 1) % ring.length]!;
            const middle = distanceTo(outline, (x + nx) / 2, (y + ny) / 2);
            expect(middle).toBeGreaterThanOrEqual(Math.abs(distance) * (1 - 1e-5));
            expect(distanceTo(outline, x, y)).toBeLessThanOrEqual(Math.abs(distance) * 1.4143);
            expect(contains(outline, x, y)).toBe(distance > 0);
          }
    },
  );

  it('holds for stars with any number of points: inside, at the distance or more, never larger', () => {
    const star = fc.record({
      points: fc.integer({ min: 3, max: 12 }),
      inner: fc.double({ min: 3, max: 9, noNaN: true }),
      turn: fc.double({ min: 0, max: 6, noNaN: true }),
      distance: fc.double({ min: 0.1, max: 4, noNaN: true }),
    });
    fc.assert(
      fc.property(star, ({ points, inner, turn, distance }) => {
        const outline = Array.from({ length: 2 * points }, (_, i): Point => {
          const angle = turn + (i * Math.PI) / points;
          const radius = i % 2 === 0 ? 10 : inner;
          return [radius * Math.cos(angle), radius * Math.sin(angle)];
        });
        const rings = inset(outline, distance);
        // Bridges reach out at most 1/cos(45 deg): while the middle is further inside than that, something is left.
        if (distanceTo(outline, 0, 0) > distance * 1.42) expect(rings.length).toBeGreaterThan(0);
        let sum = 0;
        for (const ring of rings) {
          sum += ringArea(ring);
          for (const [x, y] of ring) {
            expect(distanceTo(outline, x, y)).toBeGreaterThanOrEqual(distance * (1 - 1e-3));
            expect(contains(outline, x, y)).toBe(true);
          }
        }
        expect(sum).toBeLessThan(ringArea(outline));
      }),
      { seed: 2, numRuns: 200 },
    );
  });
});
