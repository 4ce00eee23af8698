/**
 * Outer outline of one label of a raster, along the edges of its cells, counter-clockwise, in cells; corners that lie
 * within `tolerance` of a straight line are left out (Douglas and Peucker 1973).
 *
 * @param label  `label[column + width * row]`
 * @param first  index of the label's first cell in the order of rows: its lower left corner is on the outline
 * @returns corners [column, row, column, row ...]; the first is not repeated
 */
export function outlineOf(
  label: Int32Array,
  width: number,
  height: number,
  of: number,
  first: number,
  tolerance: number,
): number[] {
  const inside = (column: number, row: number) =>
    column >= 0 && row >= 0 && column < width && row < height && label[column + width * row] === of;
  const startX = first % width;
  const startY = Math.floor(first / width);
  if (!inside(startX, startY)) throw new Error(`cell ${first} does not carry the label ${of}`);
  // Walk with the figure on the left: the first step goes right along the lower edge of the first cell.
  let x = startX;
  let y = startY;
  let direction = 0;
  const corners: number[] = [];
  do {
    const [dx, dy] = STEPS[direction]!;
    x += dx;
    y += dy;
    const [left, right] = [aheadLeft(direction, x, y), aheadRight(direction, x, y)];
    const turn = inside(...right) ? 3 : inside(...left) ? 0 : 1;
    if (turn !== 0) corners.push(x, y);
    direction = (direction + turn) % 4;
  } while (!(x === startX && y === startY && direction === 0));
  return simplified(corners, tolerance);
}

/** Right, up, left, down. */
const STEPS = [
  [1, 0],
  [0, 1],
  [-1, 0],
  [0, -1],
] as const;

/** The cells that meet a corner ahead of a step in each direction, on its left and on its right. */
function aheadLeft(direction: number, x: number, y: number): [number, number] {
  return (
    [
      [x, y],
      [x - 1, y],
      [x - 1, y - 1],
      [x, y - 1],
    ] as const
  )[direction]! as [number, number];
}
function aheadRight(direction: number, x: number, y: number): [number, number] {
  return (
    [
      [x, y - 1],
      [x, y],
      [x - 1, y],
      [x - 1, y - 1],
    ] as const
  )[direction]! as [number, number];
}

function simplified(corners: readonly number[], tolerance: number): number[] {
  const count = corners.length / 2;
  // Two corners far apart split the ring into two lines.
  let far = 0;
  for (let k = 1; k < count; k++) if (distance2(corners, 0, k) > distance2(corners, 0, far)) far = k;
  const kept = new Uint8Array(count);
  kept[0] = 1;
  kept[far] = 1;
  keep(corners, 0, far, tolerance, kept);
  keep(corners, far, count, tolerance, kept);
  const result: number[] = [];
  for (let k = 0; k < count; k++) if (kept[k]) result.push(corners[2 * k]!, corners[2 * k + 1]!);
  return result;
}

function distance2(corners: readonly number[], a: number, b: number): number {
  return (corners[2 * a]! - corners[2 * b]!) ** 2 + (corners[2 * a + 1]! - corners[2 * b + 1]!) ** 2;
}

/** Keeps, between corners `from` and `to` (the count stands for the first again), those that a straight line misses. */
function keep(
  corners: readonly number[],
  from: number,
  to: number,
  tolerance: number,
  kept: Uint8Array,
): void {
  const stack: [number, number][] = [[from, to]];
  const count = corners.length / 2;
  const at = (k: number) => [corners[2 * (k % count)]!, corners[2 * (k % count) + 1]!] as const;
  for (let span = stack.pop(); span; span = stack.pop()) {
    const [a, b] = span;
    const [ax, ay] = at(a);
    const [bx, by] = at(b);
    const length = Math.hypot(bx - ax, by - ay);
    let worst = tolerance;
    let index = -1;
    for (let k = a + 1; k < b; k++) {
      const [x, y] = at(k);
      const off =
        length > 0
          ? Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length
          : Math.hypot(x - ax, y - ay);
      if (off > worst) {
        worst = off;
        index = k;
      }
    }
    if (index < 0) continue;
    kept[index] = 1;
    stack.push([a, index], [index, b]);
  }
}
