import { besselJ, besselY } from '../numerics/bessel.ts';
import { bisect } from '../numerics/bisection.ts';

/**
 * Analytic uptake of bodies of constant diffusivity, the yardstick of the solvers. Every function gives the share of
 * the final uptake, 0..1; the outer face is held at balance or, with a film, takes up in proportion to the distance
 * from it. Each term falls as exp(-root^2 Fo): the sum ends where that is below the rounding.
 */
const NEGLIGIBLE = 1e-14;
/** With 20 000 terms the sums hold to 1e-6 down to Fo = 1e-8. */
const TERMS_MOST = 20_000;
/** The uptake asked for with less time than this is refused by the kernels: the sum would need more terms. */
export const LEAST_FO = 1e-7;

/**
 * Cylinder [moisture-7].
 *
 *   M = 1 - sum 4 L^2 exp(-b^2 Fo)/(b^2 (b^2 + L^2)),  b J1(b) = L J0(b);  without film 1 - sum 4 exp(-b^2 Fo)/b^2, J0(b) = 0
 *
 * @param fo   D t/a^2
 * @param biot L = a h/D, infinite without a film
 * Source: Crank 1975, The Mathematics of Diffusion, 2nd ed., eqs. (5.23) and (5.49).
 */
export function cylinderUptake(fo: number, biot = Number.POSITIVE_INFINITY): number {
  const film = Number.isFinite(biot);
  const condition = (b: number) => (film ? b * besselJ(1, b) - biot * besselJ(0, b) : besselJ(0, b));
  let left = 0;
  for (let n = 0; n < TERMS_MOST; n++) {
    // One root between neighbouring zeros of J1, which lie close to (n + 1/4) pi.
    const b = bisect(condition, n === 0 ? 1e-9 : zeroOfJ1(n), zeroOfJ1(n + 1));
    const decay = Math.exp(-b * b * fo);
    left += film ? (4 * biot * biot * decay) / (b * b * (b * b + biot * biot)) : (4 * decay) / (b * b);
    if (decay < NEGLIGIBLE) break;
  }
  return 1 - left;
}

function zeroOfJ1(n: number): number {
  const guess = (n + 0.25) * Math.PI;
  return bisect((x) => besselJ(1, x), guess - 0.5, guess + 0.5);
}

/**
 * Plane sheet, both faces [moisture-8].
 *
 *   M = 1 - sum 2 L^2 exp(-4 b^2 Fo)/(b^2 (b^2 + L^2 + L)),  b tan b = L;  without film b = (n + 1/2) pi, 2/b^2
 *
 * @param fo   D t/l^2, l the full thickness
 * @param biot L = (l/2) h/D
 * Source: Crank 1975, eqs. (4.18) and (4.53).
 */
export function sheetUptake(fo: number, biot = Number.POSITIVE_INFINITY): number {
  let left = 0;
  for (let n = 0; n < TERMS_MOST; n++) {
    const end = (n + 0.5) * Math.PI;
    const film = Number.isFinite(biot);
    const b = film ? bisect((x) => x * Math.sin(x) - biot * Math.cos(x), n * Math.PI, end) : end;
    const decay = Math.exp(-4 * b * b * fo);
    left += film ? (2 * biot * biot * decay) / (b * b * (b * b + biot * biot + biot)) : (2 * decay) / (b * b);
    if (decay < NEGLIGIBLE) break;
  }
  return 1 - left;
}

/**
 * Hollow cylinder, inner wall sealed [moisture-9], by eigenfunctions u(r) = J0(k r) Y1(k ri) - Y0(k r) J1(k ri).
 *
 * With u1 the same of order 1: outer wall at balance u(ro) = 0, with a film k ro u1(ro) = L u(ro). Integrals in closed
 * form: of u r: ro u1(ro)/k; of u^2 r: (ro^2 (u1(ro)^2 + u(ro)^2) - ri^2 u(ri)^2)/2.
 *
 * @param dt   D times t [m2]
 * @param biot L = ro h/D
 * Source: method of Carslaw and Jaeger 1959, Conduction of Heat in Solids, ch. 7 (from memory).
 */
export function hollowUptake(
  inner: number,
  outer: number,
  dt: number,
  biot = Number.POSITIVE_INFINITY,
): number {
  const film = Number.isFinite(biot);
  const wave = (order: 0 | 1, k: number, r: number) =>
    besselJ(order, k * r) * besselY(1, k * inner) - besselY(order, k * r) * besselJ(1, k * inner);
  const condition = (k: number) =>
    film ? k * outer * wave(1, k, outer) - biot * wave(0, k, outer) : wave(0, k, outer);
  const area = 0.5 * (outer * outer - inner * inner);
  // Roots are about pi/(ro - ri) apart: a search with a twentieth of that cannot step over two of them.
  const step = Math.PI / (outer - inner) / 20;
  let left = 0;
  let from = step * 1e-6;
  let found = 0;
  for (let n = 1; found < TERMS_MOST; n++) {
    const to = n * step;
    if (condition(from) * condition(to) <= 0) {
      const k = bisect(condition, from, to);
      const decay = Math.exp(-k * k * dt);
      const edge = wave(0, k, outer);
      const slope = wave(1, k, outer);
      const start = wave(0, k, inner);
      const square = 0.5 * (outer * outer * (slope * slope + edge * edge) - inner * inner * start * start);
      left += (((outer * slope) / k) ** 2 / (area * square)) * decay;
      found++;
      if (decay < NEGLIGIBLE) break;
    }
    from = to;
  }
  return 1 - left;
}
