/** Readings of width or thickness of one bar [m]: at mid gauge and near both ends. */

/** A reading further from the mean than this is asked about (ISO 527-1, from memory). */
export const SIZE_DEVIATION_MOST = 0.02;

export type Size = Readonly<{
  mean: number;
  min: number;
  max: number;
  /** Standard deviation of the readings (n - 1); null of one. */
  deviation: number | null;
  count: number;
  /** Readings more than 2 % from the mean: asked about, never refused. */
  asked: readonly number[];
}>;

/** @throws RangeError without readings, or with one that is not above zero */
export function sizeOf(readings: readonly number[]): Size {
  if (readings.length === 0 || readings.some((reading) => !(reading > 0)))
    throw new RangeError(`sizes must be above zero: ${readings.join(', ')}`);
  const mean = readings.reduce((sum, reading) => sum + reading, 0) / readings.length;
  const squares = readings.reduce((sum, reading) => sum + (reading - mean) ** 2, 0);
  return {
    mean,
    min: Math.min(...readings),
    max: Math.max(...readings),
    deviation: readings.length > 1 ? Math.sqrt(squares / (readings.length - 1)) : null,
    count: readings.length,
    asked: readings.filter((reading) => Math.abs(reading / mean - 1) > SIZE_DEVIATION_MOST),
  };
}
