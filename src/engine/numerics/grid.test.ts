import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { closed } from './closing.ts';
import { components } from './components.ts';
import { nearestCells } from './nearest-cell.ts';

// Goal: the fast sweeps over grids give what the slow and obvious way gives. Method: small seeded grids.

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

describe('grids', () => {
  it('the nearest set cell is the nearest of all', () => {
    fc.assert(
      fc.property(grid, ({ width, height, set }) => {
        const { nearest, distance2 } = nearestCells(set, width, height);
        for (let k = 0; k < set.length; k++) {
          let least = Infinity;
          for (let j = 0; j < set.length; j++)
            if (set[j])
              least = Math.min(
                least,
                ((j % width) - (k % width)) ** 2 + (Math.floor(j / width) - Math.floor(k / width)) ** 2,
              );
          expect(distance2[k]).toBe(least);
          if (least === Infinity) expect(nearest[k]).toBe(-1);
          else {
            const j = nearest[k]!;
            expect(set[j]).toBe(1);
            expect(
              ((j % width) - (k % width)) ** 2 + (Math.floor(j / width) - Math.floor(k / width)) ** 2,
            ).toBe(least);
          }
        }
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('cells that touch, also at a corner, belong together and no others', () => {
    fc.assert(
      fc.property(grid, ({ width, height, set }) => {
        const { label, count } = components(set, width, height);
        expect(new Set(label.filter((number) => number > 0)).size).toBe(count);
        for (let k = 0; k < set.length; k++) {
          expect(label[k]! > 0).toBe(set[k] === 1);
          for (let j = 0; j < set.length; j++) {
            const dx = Math.abs((j % width) - (k % width));
            const dy = Math.abs(Math.floor(j / width) - Math.floor(k / width));
            if (set[k] && set[j] && dx <= 1 && dy <= 1) expect(label[j]).toBe(label[k]);
          }
        }
        // No part falls into two that do not touch: from any cell all of the same number can be reached.
        for (let number = 1; number <= count; number++) {
          const cells = [...label.keys()].filter((k) => label[k] === number);
          const reached = new Set([cells[0]!]);
          for (const from of reached)
            for (const to of cells) {
              const dx = Math.abs((to % width) - (from % width));
              const dy = Math.abs(Math.floor(to / width) - Math.floor(from / width));
              if (dx <= 1 && dy <= 1) reached.add(to);
            }
          expect(reached.size).toBe(cells.length);
        }
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  it('closing is growing by a disc, then shrinking by it', () => {
    const RADIUS = 2;
    fc.assert(
      fc.property(grid, ({ width, height, set }) => {
        const [w, h] = [width + 6, height + 6];
        const own = new Uint8Array(w * h);
        for (const [k, value] of set.entries())
          own[(Math.floor(k / width) + 3) * w + (k % width) + 3] = value;
        const disc: [number, number][] = [];
        for (let y = -RADIUS; y <= RADIUS; y++)
          for (let x = -RADIUS; x <= RADIUS; x++) if (x * x + y * y <= RADIUS * RADIUS) disc.push([x, y]);
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
        for (let y = RADIUS; y < h - RADIUS; y++)
          for (let x = RADIUS; x < w - RADIUS; x++) expect(fast[y * w + x]).toBe(shrunk[y * w + x]);
      }),
      { seed: SEED, numRuns: 100 },
    );
  });
});
