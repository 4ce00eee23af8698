import { describe, expect, it } from 'vitest';
import { outlineOf } from './outline.ts';

/** A raster from text, row 0 at the bottom. */
function raster(...rows: string[]) {
  const width = rows[0]!.length;
  const label = Int32Array.from(
    [...rows].reverse().flatMap((row) => [...row].map((sign) => (sign === '#' ? 1 : 0))),
  );
  return { label, width, height: rows.length, first: label.indexOf(1) };
}
function area(corners: number[]): number {
  let twice = 0;
  for (let k = 0; k < corners.length; k += 2) {
    const [x, y, nx, ny] = [0, 1, 2, 3].map((d) => corners[(k + d) % corners.length]!) as [
      number,
      number,
      number,
      number,
    ];
    twice += x * ny - nx * y;
  }
  return twice / 2;
}

describe('outline', () => {
  it('of a rectangle is its four corners, counter-clockwise', () => {
    const { label, width, height, first } = raster('.....', '.###.', '.###.', '.....');
    expect(outlineOf(label, width, height, 1, first, 0)).toEqual([4, 1, 4, 3, 1, 3, 1, 1]);
  });

  it('without tolerance it holds the area of the cells, also where cells touch at corners and at the border', () => {
    for (const rows of [
      ['##..', '.###', '##.#', '####'],
      ['#.#', '###', '#.#'],
      ['#'],
      ['#..', '.#.', '..#'],
    ]) {
      const { label, width, height, first } = raster(...rows);
      const cells = label.reduce((a, b) => a + b, 0);
      const holes = rows.join('') === '##...#####.#####' ? 1 : 0;
      expect(area(outlineOf(label, width, height, 1, first, 0))).toBe(cells + holes);
    }
  });

  it('a staircase is a straight line within the tolerance', () => {
    const { label, width, height, first } = raster('...#', '..##', '.###', '####');
    expect(outlineOf(label, width, height, 1, first, 1).length / 2).toBeLessThanOrEqual(4);
  });
});
