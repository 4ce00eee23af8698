import { integrate } from './gauss-legendre.ts';

/** Steps of the golden section: the place of the peak to 1e-5 of the range; the panels need no better. */
const GOLDEN_STEPS = 24;
const GOLDEN = 0.5 * (Math.sqrt(5) - 1);
/** The integrand is cut where it has fallen by e^-40 = 4e-18: below the rounding of the sum. */
const DROP_END = 40;
/** One more cut on either side where it has fallen by e^-8: body and flank each get a rule of their own. */
const DROP_BODY = 8;
const HALVINGS = 14;
/** Points a panel: with the cuts above the rest is below 1e-14 of the integral (tests/verification). */
const POINTS = 32;

/**
 * Integral of exp(logF(v)) over low .. high for an integrand with one peak, to nearly full relative precision however
 * small the value: the peak is found first, then Gauss-Legendre panels are laid to fit its width.
 *
 * @param logF   logarithm of the integrand, one peak; -Infinity is allowed on the right of it
 * @param cuts   further places to cut panels, such as a step that is narrow beside the peak
 */
export function peakIntegral(
  logF: (v: number) => number,
  low: number,
  high: number,
  cuts: readonly number[] = [],
): number {
  let a = low;
  let b = high;
  let left = b - GOLDEN * (b - a);
  let right = a + GOLDEN * (b - a);
  let atLeft = logF(left);
  let atRight = logF(right);
  for (let k = 0; k < GOLDEN_STEPS; k++) {
    if (atLeft >= atRight) {
      b = right;
      right = left;
      atRight = atLeft;
      left = b - GOLDEN * (b - a);
      atLeft = logF(left);
    } else {
      a = left;
      left = right;
      atLeft = atRight;
      right = a + GOLDEN * (b - a);
      atRight = logF(right);
    }
  }
  const peak = 0.5 * (a + b);
  const top = logF(peak);
  if (top === Number.NEGATIVE_INFINITY) return 0;
  const fallen = (drop: number, end: number) => {
    if (logF(end) >= top - drop) return end;
    let inside = peak;
    let outside = end;
    for (let k = 0; k < HALVINGS; k++) {
      const middle = 0.5 * (inside + outside);
      if (logF(middle) >= top - drop) inside = middle;
      else outside = middle;
    }
    return outside;
  };
  const start = fallen(DROP_END, low);
  const stop = fallen(DROP_END, high);
  const inner = [fallen(DROP_BODY, start), peak, fallen(DROP_BODY, stop), ...cuts];
  const edges = [start, ...inner.filter((v) => v > start && v < stop).sort((p, q) => p - q), stop];
  let sum = 0;
  for (let k = 1; k < edges.length; k++)
    sum += integrate((v) => Math.exp(logF(v) - top), edges[k - 1]!, edges[k]!, POINTS);
  return sum * Math.exp(top);
}
