/**
 * Root of a function that changes sign between two points, by halving.
 *
 * @param f        continuous; its sign at `low` and `high` must differ (a zero at an end counts)
 * @param halvings fixed number of steps, so that the cost and the last digit are always the same; 60 reach the
 *                 rounding of a double for ends of like size
 * @returns the middle of the last interval
 * @throws RangeError where both ends have the same sign: the caller's fault
 */
export function bisect(f: (x: number) => number, low: number, high: number, halvings = 60): number {
  let a = low;
  let b = high;
  const start = Math.sign(f(a));
  const end = Math.sign(f(b));
  if (start === 0) return a;
  if (end === 0) return b;
  if (start === end) throw new RangeError(`no change of sign between ${low} and ${high}`);
  for (let k = 0; k < halvings; k++) {
    const middle = 0.5 * (a + b);
    const sign = Math.sign(f(middle));
    if (sign === 0) return middle;
    if (sign === start) a = middle;
    else b = middle;
  }
  return 0.5 * (a + b);
}
