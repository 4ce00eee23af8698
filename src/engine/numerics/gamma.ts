import { logGamma } from './beta.ts';

/** Either expansion needs about 8 sqrt(a) steps near its border: enough up to a = 1e6. */
const STEPS_MAX = 20_000;
const TINY = 1e-300;
const HALF_LOG_TWO_PI = 0.9189385332046728;
/** From here on the asymptotic series below is exact to a double. */
const SERIES_FROM = 12;

/**
 * What Stirling's formula leaves out: ln Gamma(x) - [(x - 1/2) ln x - x + ln(2 pi)/2], x > 0.
 * Asymptotic series 1/(12 x) - 1/(360 x^3) + ... (Abramowitz and Stegun 6.1.41); the large terms never appear, so that
 * densities with large parameters keep their digits.
 */
export function stirlingRest(x: number): number {
  if (x < SERIES_FROM) return logGamma(x) - ((x - 0.5) * Math.log(x) - x + HALF_LOG_TWO_PI);
  const z = 1 / (x * x);
  return (1 / 12 - z * (1 / 360 - z * (1 / 1260 - z * (1 / 1680 - z * (1 / 1188 - (z * 691) / 360360))))) / x;
}

/** x^a e^-x / Gamma(a + 1): the common factor of both expansions. */
function front(x: number, a: number): number {
  if (a < 1) return Math.exp(a * Math.log(x) - x - logGamma(a + 1));
  const d = (x - a) / a;
  // a (ln(x/a) - (x - a)/a) through log1p keeps its digits near x = a.
  const exponent = d > -0.5 ? a * (Math.log1p(d) - d) : a * Math.log(x / a) + a - x;
  return Math.exp(exponent - stirlingRest(a)) / Math.sqrt(2 * Math.PI * a);
}

function series(x: number, a: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; k <= STEPS_MAX; k++) {
    term *= x / (a + k);
    sum += term;
    if (term < 1e-17 * sum) return front(x, a) * sum;
  }
  throw new Error(`incomplete gamma of ${x}, ${a} did not settle in ${STEPS_MAX} steps`);
}

function fraction(x: number, a: number): number {
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let h = d;
  for (let k = 1; k <= STEPS_MAX; k++) {
    const factor = -k * (k - a);
    b += 2;
    d = 1 / (factor * d + b || TINY);
    c = b + factor / c || TINY;
    const step = c * d;
    h *= step;
    if (Math.abs(step - 1) < 1e-16) return front(x, a) * a * h;
  }
  throw new Error(`incomplete gamma of ${x}, ${a} did not settle in ${STEPS_MAX} steps`);
}

/**
 * Regularised incomplete gamma function P(a, x): share of a gamma distribution of shape a > 0 below x.
 * Series below x = a + 1, Lentz's continued fraction above (Press et al., Numerical Recipes, ch. 6.2, from memory).
 */
export function gammaShare(x: number, a: number): number {
  if (x <= 0) return 0;
  return x < a + 1 ? series(x, a) : 1 - fraction(x, a);
}

/** 1 - P(a, x), to full relative precision in the upper tail. */
export function gammaTail(x: number, a: number): number {
  if (x <= 0) return 1;
  return x < a + 1 ? 1 - series(x, a) : fraction(x, a);
}
