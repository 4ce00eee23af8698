/**
 * The beta distribution for chances known by counting.
 * Continued fraction of the incomplete beta function after Lentz (Press et al., Numerical Recipes, ch. 6.4, from memory).
 */

const STEPS_MAX = 500;
const TINY = 1e-300;

/** ln Gamma(x), x > 0, by Lanczos' series with g = 607/128 (coefficients from memory, tested); relative error 1e-14. */
export function logGamma(x: number): number {
  let sum = 0.9999999999999971;
  for (let k = 0; k < LANCZOS.length; k++) sum += LANCZOS[k]! / (x + k + 1);
  const t = x + 607 / 128 + 0.5;
  return (x + 0.5) * Math.log(t) - t + Math.log((2.5066282746310007 * sum) / x);
}
const LANCZOS = [
  57.15623566586292, -59.59796035547549, 14.136097974741746, -0.4919138160976202, 3.399464998481189e-5,
  4.652362892704858e-5, -9.837447530487956e-5, 0.0001580887032249125, -0.00021026444172410488,
  0.00021743961811521265, -0.0001643181065367639, 8.441822398385275e-5, -2.6190838401581408e-5,
  3.6899182659531625e-6,
];

/** Share of Beta(a, b) below x. */
export function betaShare(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  return x < (a + 1) / (a + b + 2)
    ? (front * fraction(x, a, b)) / a
    : 1 - (front * fraction(1 - x, b, a)) / b;
}

function fraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || TINY);
  let h = d;
  for (let m = 1; m <= STEPS_MAX; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d || TINY);
    c = 1 + even / c || TINY;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d || TINY);
    c = 1 + odd / c || TINY;
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < 1e-15) return h;
  }
  throw new Error(`betaShare(${x}, ${a}, ${b}) did not settle in ${STEPS_MAX} steps`);
}

/** The x below which the share p of Beta(a, b) lies, by bisection to the last digit. */
export function betaQuantile(p: number, a: number, b: number): number {
  let low = 0;
  let high = 1;
  for (let step = 0; step < 200; step++) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (betaShare(middle, a, b) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
