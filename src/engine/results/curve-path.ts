/** A curve with few points, for drawing: it keeps its ends, its peak and every fall. */
export type CurvePath = Readonly<{ x: readonly number[]; y: readonly number[] }>;

/** Points of a curve on a page: each step gives its least and its greatest value. */
export const POINTS_MOST = 240;

/**
 * Least and greatest value of y in equal steps of the index, in their order, with both ends.
 *
 * @param length points of x and y that belong to the curve
 */
export function curvePath(x: Float64Array, y: Float64Array, length: number): CurvePath {
  const kept: number[] = [];
  const steps = Math.min(length, POINTS_MOST / 2);
  for (let step = 0; step < steps; step++) {
    const from = Math.floor((step * length) / steps);
    const to = Math.max(from + 1, Math.floor(((step + 1) * length) / steps));
    let low = from;
    let high = from;
    for (let i = from; i < to; i++) {
      if (y[i]! < y[low]!) low = i;
      if (y[i]! > y[high]!) high = i;
    }
    const [first, second] = low < high ? [low, high] : [high, low];
    kept.push(first);
    if (second !== first) kept.push(second);
  }
  if (length > 0 && kept[0] !== 0) kept.unshift(0);
  if (length > 0 && kept.at(-1) !== length - 1) kept.push(length - 1);
  const sound = kept.filter((i) => Number.isFinite(x[i]!) && Number.isFinite(y[i]!));
  return { x: sound.map((i) => x[i]!), y: sound.map((i) => y[i]!) };
}
