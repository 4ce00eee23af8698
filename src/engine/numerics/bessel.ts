/**
 * Bessel functions of order 0 and 1, first and second kind, for positive arguments.
 *
 * Power series below 12, Hankel's asymptotic expansion above, cut at its smallest term: absolute error below 1e-10
 * over all arguments (the worst place is the joint, where cancellation meets the asymptotic rest exp(-24)).
 * Source: Abramowitz and Stegun 1964, eqs. 9.1.10, 9.1.11, 9.2.5 to 9.2.10.
 */
const SERIES_UNTIL = 12;
const EULER_GAMMA = 0.5772156649015329;

export function besselJ(order: 0 | 1, x: number): number {
  if (!(x >= 0)) throw new RangeError(`besselJ at ${x}: an argument from 0 on is needed`);
  if (x >= SERIES_UNTIL) return hankel(order, x, 0);
  const quarter = -0.25 * x * x;
  let term = order === 0 ? 1 : 0.5 * x;
  let sum = term;
  for (let k = 1; k < 60; k++) {
    term *= quarter / (k * (k + order));
    sum += term;
  }
  return sum;
}

export function besselY(order: 0 | 1, x: number): number {
  if (!(x > 0)) throw new RangeError(`besselY at ${x}: a positive argument is needed`);
  if (x >= SERIES_UNTIL) return hankel(order, x, 1);
  const quarter = -0.25 * x * x;
  const log = Math.log(0.5 * x);
  let harmonic = 0; // 1 + 1/2 + ... + 1/k
  let term = order === 0 ? 1 : 0.5 * x;
  // psi(k+1) + psi(k+1+order) by the harmonic numbers
  let sum = order === 0 ? -2 * EULER_GAMMA * term : (1 - 2 * EULER_GAMMA) * term;
  for (let k = 1; k < 60; k++) {
    term *= quarter / (k * (k + order));
    harmonic += 1 / k;
    const digamma = 2 * (harmonic - EULER_GAMMA) + (order === 0 ? 0 : 1 / (k + 1));
    sum += digamma * term;
  }
  const pole = order === 0 ? 0 : -2 / (Math.PI * x);
  return pole + (2 / Math.PI) * log * besselJ(order, x) - sum / Math.PI;
}

function hankel(order: 0 | 1, x: number, kind: 0 | 1): number {
  const mu = 4 * order * order;
  let p = 1;
  let q = 0;
  let term = 1;
  for (let k = 1; k < 60; k++) {
    const next = (term * (mu - (2 * k - 1) ** 2)) / (k * 8 * x);
    if (Math.abs(next) > Math.abs(term) && k > 1) break;
    term = next;
    // Signs run + + - - over p, q, p, q: P takes the even terms, Q the odd ones.
    if (k % 2 === 1) q += k % 4 === 1 ? term : -term;
    else p += k % 4 === 0 ? term : -term;
  }
  const angle = x - (0.5 * order + 0.25) * Math.PI;
  const size = Math.sqrt(2 / (Math.PI * x));
  return kind === 0
    ? size * (p * Math.cos(angle) - q * Math.sin(angle))
    : size * (p * Math.sin(angle) + q * Math.cos(angle));
}
