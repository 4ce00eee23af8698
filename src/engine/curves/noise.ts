import { medianInPlace } from './median.ts';

/** 1.4826 makes the median deviation of normal noise its standard deviation; a second difference holds it sqrt 6 times. */
const NORMAL = 1.4826 / Math.sqrt(6);

export type Noise = Readonly<{
  /** Standard deviation of the noise of a channel [its unit]. */
  deviation: number;
  /** Least step between two readings that differ: what the channel can resolve. */
  resolution: number;
}>;

/**
 * Noise of a channel from its second differences, which a smooth curve hardly has:
 *
 *   1.4826 median |d2 - median d2| / sqrt 6     [curves-3]
 *
 * and its resolution. The rounding of a channel in coarse steps counts as noise of resolution/sqrt 12.
 *
 * @param last index of the last reading that counts; readings that are NaN are passed over
 */
export function noiseOf(values: Float64Array, last: number): Noise {
  const second = new Float64Array(Math.max(0, last - 1));
  let count = 0;
  let resolution = Number.POSITIVE_INFINITY;
  for (let i = 1; i <= last; i++) {
    const step = Math.abs(values[i]! - values[i - 1]!);
    if (step > 0 && step < resolution) resolution = step;
    if (i < 2) continue;
    const bend = values[i]! - 2 * values[i - 1]! + values[i - 2]!;
    if (!Number.isNaN(bend)) second[count++] = bend;
  }
  if (resolution === Number.POSITIVE_INFINITY) resolution = 0;
  const middle = count > 0 ? medianInPlace(second, count) : 0;
  for (let k = 0; k < count; k++) second[k] = Math.abs(second[k]! - middle);
  const spread = count > 0 ? NORMAL * medianInPlace(second, count) : 0;
  return { deviation: spread, resolution };
}
