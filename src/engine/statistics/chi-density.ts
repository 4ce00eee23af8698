import { stirlingRest } from '../numerics/gamma.ts';

const HALF_LOG_PI = 0.5 * Math.log(Math.PI);

/**
 * Logarithm of the density of v = ln(chi/sqrt(df)), the scatter of an estimated standard deviation:
 *
 *   f(u) = 2 (df/2)^(df/2)/Gamma(df/2) u^(df-1) e^(-df u^2/2),   u = e^v,   density in v: u f(u)
 *
 * written so that no large terms cancel, for any df > 0. In v it has one peak and exponential flanks, also for the
 * fractional degrees of freedom of Satterthwaite, where f(u) itself has a branch point at u = 0.
 */
export function logChiDensity(v: number, df: number): number {
  // By Stirling: ln 2 + (df/2) ln(df/2) - ln Gamma(df/2) = ln(df)/2 - ln(pi)/2 + df/2 - stirlingRest(df/2).
  return 0.5 * Math.log(df) - HALF_LOG_PI - stirlingRest(0.5 * df) + df * (v - 0.5 * Math.expm1(2 * v));
}
