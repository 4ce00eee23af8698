/** A root is met within about ten steps; the limit only guards against a function that is not continuous. */
const STEPS_MOST = 60;

/**
 * Root of a continuous function that is dear to evaluate, between two points of different sign: false position with the
 * Illinois halving, so that neither end sticks.
 *
 * @param fa, fb   values at a and b, of different sign (zero counts)
 * @param closeTo0 a value this near to 0 is a root
 * @returns the root; the best point where the limit of steps is met
 * @throws RangeError where both ends have the same sign. Source: Dowell, Jarratt 1971, BIT 11, 168 (from memory).
 */
export function falsePosition(
  f: (x: number) => number,
  a: number,
  b: number,
  fa: number,
  fb: number,
  closeTo0: number,
): number {
  if (fa * fb > 0) throw new RangeError(`no change of sign between ${a} and ${b}`);
  if (Math.abs(fa) <= closeTo0) return a;
  if (Math.abs(fb) <= closeTo0) return b;
  let x = a;
  for (let k = 0; k < STEPS_MOST; k++) {
    x = (a * fb - b * fa) / (fb - fa);
    const fx = f(x);
    if (Math.abs(fx) <= closeTo0) return x;
    if (fx * fb < 0) {
      a = b;
      fa = fb;
    } else fa /= 2;
    b = x;
    fb = fx;
  }
  return x;
}
