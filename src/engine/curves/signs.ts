/** What a column of readings looks like by its numbers alone. NaN is passed over. */

export type Signs = Readonly<{
  count: number;
  min: number;
  max: number;
  /** First and last reading. */
  first: number;
  last: number;
  /** Steps down as a share of all steps. */
  fallShare: number;
  /** Level of the last readings over the greatest magnitude: near zero where the column collapses with the bar. */
  endShare: number;
}>;

/** Readings at the end whose median is the level there. */
const END_READINGS = 3;
/** Spread of the steps of a clock about their mean, and the share of them that keeps it. */
const CLOCK_SPREAD = 0.25;
const CLOCK_SHARE = 0.9;

export function signsOf(column: Float64Array): Signs {
  let count = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let first = Number.NaN;
  let last = Number.NaN;
  let falls = 0;
  for (let i = 0; i < column.length; i++) {
    const value = column[i]!;
    if (Number.isNaN(value)) continue;
    if (count === 0) first = value;
    else if (value < last) falls++;
    if (value < min) min = value;
    if (value > max) max = value;
    last = value;
    count++;
  }
  const greatest = Math.max(Math.abs(min), Math.abs(max));
  return {
    count,
    min,
    max,
    first,
    last,
    fallShare: count > 1 ? falls / (count - 1) : 0,
    endShare: greatest > 0 ? Math.abs(endLevel(column)) / greatest : 1,
  };
}

/** Steps are even and upward, as a clock's. */
export function isClock(column: Float64Array): boolean {
  const { count, fallShare, first, last } = signsOf(column);
  if (fallShare > 0 || count < 3 || !(last > first)) return false;
  const mean = (last - first) / (count - 1);
  let even = 0;
  let steps = 0;
  for (let i = 1; i < column.length; i++) {
    const step = column[i]! - column[i - 1]!;
    if (Number.isNaN(step)) continue;
    steps++;
    if (Math.abs(step - mean) <= CLOCK_SPREAD * mean) even++;
  }
  return even >= CLOCK_SHARE * steps;
}

/** Whether a column holds no number. */
export function isBlank(column: Float64Array): boolean {
  for (let i = 0; i < column.length; i++) if (!Number.isNaN(column[i]!)) return false;
  return true;
}

function endLevel(column: Float64Array): number {
  const end: number[] = [];
  for (let i = column.length - 1; i >= 0 && end.length < END_READINGS; i--)
    if (!Number.isNaN(column[i]!)) end.push(column[i]!);
  return end.sort((a, b) => a - b)[end.length >> 1] ?? 0;
}
