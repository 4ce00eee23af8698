/** Turns tried, by one degree: a quarter turn meets every rectangle. */
const TURNS = 90;

/**
 * Sides of the smallest rectangle round the set cells of a grid, over turns by one degree.
 *
 * @param set grid, row by row
 * @returns sides in cells, the longer first, and the turn [degrees] of the first side against x
 */
export function smallestRectangle(
  set: ArrayLike<number>,
  width: number,
  height: number,
): { long: number; short: number; turnDeg: number } {
  // The corners of the outermost cells of each row hold the hull.
  const corners: [number, number][] = [];
  for (let y = 0; y < height; y++) {
    let left = -1;
    let right = -1;
    for (let x = 0; x < width; x++)
      if (set[y * width + x]) {
        if (left < 0) left = x;
        right = x;
      }
    if (left >= 0) corners.push([left, y], [left, y + 1], [right + 1, y], [right + 1, y + 1]);
  }
  let best = { long: 0, short: 0, turnDeg: 0 };
  let least = Infinity;
  for (let turn = 0; turn < TURNS; turn++) {
    const c = Math.cos((turn * Math.PI) / 180);
    const s = Math.sin((turn * Math.PI) / 180);
    let aLow = Infinity;
    let aHigh = -Infinity;
    let bLow = Infinity;
    let bHigh = -Infinity;
    for (const [x, y] of corners) {
      const a = c * x + s * y;
      const b = c * y - s * x;
      if (a < aLow) aLow = a;
      if (a > aHigh) aHigh = a;
      if (b < bLow) bLow = b;
      if (b > bHigh) bHigh = b;
    }
    const a = aHigh - aLow;
    const b = bHigh - bLow;
    if (a * b < least) {
      least = a * b;
      best = { long: Math.max(a, b), short: Math.min(a, b), turnDeg: a >= b ? turn : turn + 90 };
    }
  }
  return best;
}
