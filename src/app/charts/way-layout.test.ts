import { describe, expect, it } from 'vitest';
import { piecesOf, type Said } from '../way.ts';
import { layWay, type Point, spreadOut, TUBE_MOST } from './way-layout.ts';

/**
 * Goal: the picture is true: radii and angles of bends, lengths of short tubes, what lies in the box. Method: measured
 * on the laid points with plane geometry.
 */
const way = (...texts: string[]) =>
  piecesOf(
    texts.map((text): Said => ({ kind: text.includes('deg') ? 'bend' : 'tube', text, assumed: false })),
  );
const distance = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1]);

describe('the way as it is laid', () => {
  it.each([
    [40, 90],
    [60, 45],
    [12, 180],
    [100, 30],
  ])('a bend of %d mm by %d degrees has its chord and its arc', (radius, angle) => {
    const { drawn } = layWay(way('0.1 m', `${radius} mm x ${angle} deg`), false);
    const steps = drawn.find(({ piece }) => piece === 1)!.steps.map(({ at }) => at);
    const arc = steps.slice(1).reduce((sum, at, k) => sum + distance(steps[k]!, at), 0);
    const turn = (angle * Math.PI) / 180;
    expect(distance(steps[0]!, steps.at(-1)!)).toBeCloseTo(2 * radius * Math.sin(turn / 2), 6);
    // Chords of five degrees are shorter than their arcs by less than a thousandth.
    expect(arc / (radius * turn)).toBeGreaterThan(0.998);
    expect(arc / (radius * turn)).toBeLessThan(1);
  });

  it.each([false, true])('goes on without a gap from the box to the drive, downwards %s', (downwards) => {
    const { drawn, end } = layWay(
      way('40 mm x 90 deg', '0.3 m', '60 mm x 90 deg', '0.1 m', '40 mm x 45 deg'),
      downwards,
    );
    for (const [k, { steps }] of drawn.slice(1).entries())
      expect(distance(drawn[k]!.steps.at(-1)!.at, steps[0]!.at)).toBeLessThan(1e-9);
    expect(distance(drawn.at(-1)!.steps.at(-1)!.at, end)).toBeLessThan(1e-9);
  });

  it('draws a short tube as long as it is, and breaks a long one with both its ends true', () => {
    const lengthOf = (text: string) => {
      const { steps, broken } = layWay(way(text, '40 mm x 90 deg'), false).drawn.find(
        ({ piece }) => piece === 0,
      )!;
      return { drawn: distance(steps[0]!.at, steps.at(-1)!.at), broken, steps };
    };
    expect(lengthOf('0.12 m').drawn).toBeCloseTo(120, 9);
    expect(lengthOf('0.12 m').broken).toBeNull();
    const long = lengthOf('0.9 m');
    expect(long.drawn).toBeCloseTo(TUBE_MOST, 9);
    expect(long.broken).not.toBeNull();
    expect(long.steps[1]!.along! * 1000).toBeCloseTo(distance(long.steps[0]!.at, long.steps[1]!.at), 9);
    expect(long.steps.at(-1)!.along).toBeCloseTo(0.9, 12);
  });

  it('has bends before the tube within the walls of the box, and the tube outside', () => {
    const { drawn, box } = layWay(way('40 mm x 90 deg', '12 mm x 90 deg', '0.2 m', '40 mm x 90 deg'), false);
    const isIn = ([x, y]: Point) =>
      x >= box.left - 1e-9 && x <= box.right + 1e-9 && y >= box.top - 1e-9 && y <= box.bottom + 1e-9;
    const pointsOf = (index: number) => drawn.find(({ piece }) => piece === index)!.steps.map(({ at }) => at);
    expect([...pointsOf(0), ...pointsOf(1)].every(isIn)).toBe(true);
    expect(pointsOf(2).slice(1).some(isIn)).toBe(false);
  });
});

describe('words beside the way', () => {
  it('are pushed apart and off the strand, within the frame', () => {
    const frame = { left: 0, right: 600, top: 0, bottom: 300 };
    const strand = Array.from({ length: 60 }, (_, k): Point => [k * 10, 150]);
    const placed = spreadOut(
      [
        [300, 150],
        [310, 152],
        [300, 148],
      ],
      [120, 40],
      frame,
      8,
      strand,
    );
    for (const [i, a] of placed.entries()) {
      expect(a[0]).toBeGreaterThanOrEqual(60);
      expect(a[1]).toBeLessThanOrEqual(280);
      expect(Math.abs(a[1] - 150)).toBeGreaterThanOrEqual(20);
      for (const b of placed.slice(i + 1))
        expect(Math.abs(a[0] - b[0]) >= 120 || Math.abs(a[1] - b[1]) >= 40).toBe(true);
    }
  });
});
