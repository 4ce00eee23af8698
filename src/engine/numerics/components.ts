/**
 * Connected components of the set cells of a grid; cells that touch at an edge or a corner belong together.
 * Cost: linear. Numbers are given in the order of the first cell, row by row.
 *
 * @param set grid of `width` x `height` cells, row by row
 * @returns `label`: 0 where not set, else 1..count
 */
export function components(
  set: ArrayLike<number>,
  width: number,
  height: number,
): { label: Int32Array; count: number } {
  const label = new Int32Array(width * height);
  const open: number[] = [];
  let count = 0;
  for (let seed = 0; seed < width * height; seed++) {
    if (!set[seed] || label[seed]) continue;
    label[seed] = ++count;
    open.push(seed);
    while (open.length > 0) {
      const cell = open.pop()!;
      const x = cell % width;
      const y = (cell - x) / width;
      for (let ny = Math.max(0, y - 1); ny <= Math.min(height - 1, y + 1); ny++)
        for (let nx = Math.max(0, x - 1); nx <= Math.min(width - 1, x + 1); nx++) {
          const k = ny * width + nx;
          if (!set[k] || label[k]) continue;
          label[k] = count;
          open.push(k);
        }
    }
  }
  return { label, count };
}
