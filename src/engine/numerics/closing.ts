/**
 * Binary closing of a grid with a disc: grown by the radius, then shrunk by it. Gaps narrower than the disc fill.
 * Works on runs of rows, so that its cost is that of runs times rows of the disc, not of cells times its area.
 *
 * @param radius of the disc, in cells; the set cells must stay further than this from the border of the grid
 * @returns 1 in the cells of the closed figure
 */
export function closed(set: ArrayLike<number>, width: number, height: number, radius: number): Uint8Array {
  const rows = Math.floor(radius);
  // Half the width of the disc in each of its rows.
  const half = Int32Array.from({ length: rows + 1 }, (_, row) =>
    Math.floor(Math.sqrt(radius * radius - row * row)),
  );
  const grown = new Uint8Array(width * height);
  spread(set, 1, width, height, half, grown);
  const shrunk = grown.slice();
  spread(grown, 0, width, height, half, shrunk);
  return shrunk;
}

/** Writes `value` into `into` over a disc round every cell of `set` that has it. */
function spread(
  set: ArrayLike<number>,
  value: 0 | 1,
  width: number,
  height: number,
  half: Int32Array,
  into: Uint8Array,
): void {
  const rows = half.length - 1;
  const has = (k: number) => (set[k] ? 1 : 0) === value;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (!has(y * width + x)) continue;
      const from = x;
      while (x + 1 < width && has(y * width + x + 1)) x++;
      for (let row = Math.max(0, y - rows); row <= Math.min(height - 1, y + rows); row++) {
        const reach = half[Math.abs(row - y)]!;
        const left = Math.max(0, from - reach);
        const right = Math.min(width - 1, x + reach);
        into.fill(value, row * width + left, row * width + right + 1);
      }
    }
}
