/** Brent's method needs about ten steps here; a hundred halvings alone would do. */
const STEPS_MAX = 200;
/** In ln x: a good guess is within it, and a few steps, each four times the last, bring any other home. */
const FIRST_REACH = 0.06;
/** Of ln x: the root is then as sharp as exp leaves it. */
const LOG_ROOM = 4e-16;
/** exp of it is still a double. */
const LOG_MAX = 700;

/**
 * Root of a function that changes sign between a and b: inverse quadratic steps, held inside the bracket by halving.
 * Stops at the rounding of a double or when the bracket is within `tolerance`.
 * Source: Brent 1973, Algorithms for Minimization without Derivatives, ch. 4 (from memory).
 *
 * @param atA, atB  f at the ends, where it is known already
 * @throws RangeError where both ends have the same sign
 */
export function findRoot(
  f: (x: number) => number,
  a: number,
  b: number,
  tolerance = 0,
  atA = f(a),
  atB = f(b),
): number {
  let before = a;
  let best = b;
  let atBefore = atA;
  let atBest = atB;
  if (atBefore === 0) return before;
  if (!(atBefore * atBest <= 0)) throw new RangeError(`no change of sign between ${a} and ${b}`);
  let other = before;
  let atOther = atBefore;
  let step = best - before;
  let stepBefore = step;
  for (let k = 0; k < STEPS_MAX; k++) {
    if (Math.abs(atOther) < Math.abs(atBest)) {
      before = best;
      best = other;
      other = before;
      atBefore = atBest;
      atBest = atOther;
      atOther = atBefore;
    }
    const room = 2 * Number.EPSILON * Math.abs(best) + 0.5 * tolerance;
    const half = 0.5 * (other - best);
    if (Math.abs(half) <= room || atBest === 0) return best;
    if (Math.abs(stepBefore) >= room && Math.abs(atBefore) > Math.abs(atBest)) {
      const s = atBest / atBefore;
      let p: number;
      let q: number;
      if (before === other) {
        p = 2 * half * s;
        q = 1 - s;
      } else {
        const r = atBest / atOther;
        const t = atBefore / atOther;
        p = s * (2 * half * t * (t - r) - (best - before) * (r - 1));
        q = (t - 1) * (r - 1) * (s - 1);
      }
      if (p > 0) q = -q;
      else p = -p;
      if (2 * p < Math.min(3 * half * q - Math.abs(room * q), Math.abs(stepBefore * q))) {
        stepBefore = step;
        step = p / q;
      } else {
        step = half;
        stepBefore = half;
      }
    } else {
      step = half;
      stepBefore = half;
    }
    before = best;
    atBefore = atBest;
    best += Math.abs(step) > room ? step : Math.sign(half) * room;
    atBest = f(best);
    if (Math.sign(atBest) === Math.sign(atOther)) {
      other = before;
      atOther = atBefore;
      step = best - before;
      stepBefore = step;
    }
  }
  throw new Error(`no root settled in ${STEPS_MAX} steps between ${a} and ${b}`);
}

/**
 * The x > 0 at which an increasing function of x changes sign, sought in ln x from a guess outwards, so that roots of
 * any size come out to the same relative precision.
 *
 * @throws RangeError when there is no change of sign between e^-700 and e^700
 */
export function findPositiveRoot(f: (x: number) => number, guess: number): number {
  const at = (v: number) => f(Math.exp(v));
  let inner = Math.log(guess);
  let atInner = at(inner);
  if (atInner === 0) return guess;
  const way = -Math.sign(atInner);
  for (let reach = FIRST_REACH; Math.abs(inner) < LOG_MAX; reach *= 4) {
    const outer = Math.max(-LOG_MAX, Math.min(LOG_MAX, inner + way * reach));
    const atOuter = at(outer);
    if (atInner * atOuter <= 0) return Math.exp(findRoot(at, inner, outer, LOG_ROOM, atInner, atOuter));
    inner = outer;
    atInner = atOuter;
  }
  throw new RangeError(`no change of sign for any positive number around ${guess}`);
}
