/**
 * Exact nearest set cell of every cell of a grid, Euclidean, by two sweeps of lower envelopes of parabolas.
 * Cost: linear in the cells. Source: Felzenszwalb, Huttenlocher 2012, Theory of Computing 8, algorithm 1 (from memory).
 *
 * @param set    grid of `width` x `height` cells, row by row; a cell is set where it is not 0
 * @returns `nearest`: index of the nearest set cell (-1 where none is set), `distance2`: its squared distance in cells
 *          (Infinity where none is set). Ties go either way.
 */
export function nearestCells(
  set: ArrayLike<number>,
  width: number,
  height: number,
): { nearest: Int32Array; distance2: Float64Array } {
  const nearest = new Int32Array(width * height).fill(-1);
  const distance2 = new Float64Array(width * height).fill(Infinity);
  // Along each column: the nearest set cell of the column itself, by a sweep down and one up.
  const rowOf = new Int32Array(width * height).fill(-1);
  for (let x = 0; x < width; x++) {
    let last = -1;
    for (let y = 0; y < height; y++) {
      if (set[y * width + x]) last = y;
      rowOf[y * width + x] = last;
    }
    last = -1;
    for (let y = height - 1; y >= 0; y--) {
      const k = y * width + x;
      if (set[k]) last = y;
      const above = rowOf[k]!;
      if (last >= 0 && (above < 0 || last - y < y - above)) rowOf[k] = last;
    }
  }
  // Along each row: the lower envelope of one parabola a column.
  const apex = new Int32Array(width);
  const from = new Float64Array(width + 1);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    let hulls = 0;
    for (let x = 0; x < width; x++) {
      const r = rowOf[row + x]!;
      if (r < 0) continue;
      const f = (r - y) ** 2;
      let start = -Infinity;
      while (hulls > 0) {
        const q = apex[hulls - 1]!;
        const g = (rowOf[row + q]! - y) ** 2;
        start = (f + x * x - g - q * q) / (2 * (x - q));
        if (start > from[hulls - 1]!) break;
        hulls--;
        start = -Infinity;
      }
      apex[hulls] = x;
      from[hulls] = start;
      hulls++;
    }
    if (hulls === 0) continue;
    let k = 0;
    for (let x = 0; x < width; x++) {
      while (k + 1 < hulls && from[k + 1]! <= x) k++;
      const q = apex[k]!;
      const r = rowOf[row + q]!;
      nearest[row + x] = r * width + q;
      distance2[row + x] = (r - y) ** 2 + (x - q) ** 2;
    }
  }
  return { nearest, distance2 };
}
