import { describe, expect, it } from 'vitest';
import { fillCubicTable, makeCubicTable, readCubicTable } from './cubic-table.ts';

describe('a cubic table', () => {
  it('of a cubic is exact', () => {
    const table = makeCubicTable(-1, 3, 4);
    const grid = Float64Array.from([-1, 0, 1, 2, 3]);
    const f = (x: number) => 2 - x + 0.5 * x ** 2 - 0.25 * x ** 3;
    fillCubicTable(
      table,
      grid.map(f),
      grid.map((x) => -1 + x - 0.75 * x ** 2),
    );
    for (let x = -1; x < 3; x += 0.037) expect(readCubicTable(table, x)).toBeCloseTo(f(x), 13);
  });

  it('of another function errs by h^4/384 of its fourth derivative, and a sixteenth of that with half the width', () => {
    const worst = [8, 16].map((pieces) => {
      const table = makeCubicTable(0, 1, pieces);
      const grid = Float64Array.from({ length: pieces + 1 }, (_, k) => k / pieces);
      fillCubicTable(table, grid.map(Math.exp), grid.map(Math.exp));
      let off = 0;
      for (let x = 0; x < 1; x += 0.0013)
        off = Math.max(off, Math.abs(readCubicTable(table, x) - Math.exp(x)));
      return off;
    });
    expect(worst[0]!).toBeLessThan((Math.E / 384) * 8 ** -4);
    expect(worst[0]! / worst[1]!).toBeCloseTo(16, 0);
  });
});
