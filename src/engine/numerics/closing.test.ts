import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { closed } from './closing.ts';

// Goal: closing by runs of rows gives what the slow and obvious way gives. Method: small seeded grids.

const SEED = 20261125;
const grid = fc
  .record({ width: fc.integer({ min: 1, max: 14 }), height: fc.integer({ min: 1, max: 14 }) })
  .chain(({ width, height }) =>
    fc.record({
      width: fc.constant(width),
      height: fc.constant(height),
      set: fc.array(
        fc.oneof({ weight: 3, arbitrary: fc.constant(0) }, { weight: 1, arbitrary: fc.constant(1) }),
        {
          minLength: width * height,
          maxLength: width * height,
        },
      ),
    }),
  );

describe('closing', () => {
  it('is growing by a disc, then shrinking by it', () => {
    const RADIUS = 2.3;
    fc.assert(
      fc.property(grid, ({ width, height, set }) => {
        const [w, h] = [width + 6, height + 6];
        const own = new Uint8Array(w * h);
        for (const [k, value] of set.entries())
          own[(Math.floor(k / width) + 3) * w + (k % width) + 3] = value;
        const disc: [number, number][] = [];
        for (let y = -2; y <= 2; y++)
          for (let x = -2; x <= 2; x++) if (x * x + y * y <= RADIUS * RADIUS) disc.push([x, y]);
        const at = (cells: Uint8Array, x: number, y: number) =>
          x >= 0 && x < w && y >= 0 && y < h ? cells[y * w + x]! : 0;
        const grown = own.map((_, k) =>
          disc.some(([x, y]) => at(own, (k % w) + x, Math.floor(k / w) + y)) ? 1 : 0,
        );
        const shrunk = grown.map((_, k) => {
          const [x0, y0] = [k % w, Math.floor(k / w)];
          return disc.every(([x, y]) => at(grown, x0 + x, y0 + y)) ? 1 : 0;
        });
        const fast = closed(own, w, h, RADIUS);
        // On the border of the grid the slow way has no neighbours to ask.
        for (let y = 2; y < h - 2; y++)
          for (let x = 2; x < w - 2; x++) expect(fast[y * w + x]).toBe(shrunk[y * w + x]);
      }),
      { seed: SEED, numRuns: 100 },
    );
  });
});
