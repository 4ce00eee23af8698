import { balanceWater, diffusivity, type Polymer } from '../moisture/polymer.ts';

/**
 * Water that the strand takes up on its way through the tube, as a bound: bare strand in room air, which a closed tube
 * with still air in it does not reach. Contents are kg by kg of dry polymer.
 */

/** Simpson's rule over the water content with so many intervals: the mean of D within 1e-5 (tested). */
const INTERVALS = 8;

/** Mean of D(T, c) over c between two contents [m2/s] [feed-8]. */
export function meanDiffusivity(polymer: Polymer, temperature: number, from: number, to: number): number {
  let sum = 0;
  for (let k = 0; k <= INTERVALS; k++) {
    const weight = k === 0 || k === INTERVALS ? 1 : k % 2 === 1 ? 4 : 2;
    sum += weight * diffusivity(polymer, temperature, from + ((to - from) * k) / INTERVALS);
  }
  return sum / (3 * INTERVALS);
}

/** Below this Fourier number the series for short times holds to 1e-5, above it six exponentials do (tested). */
const SHORT_UNTIL = 0.02;
/** Zeros of the Bessel function J0, Abramowitz and Stegun 1964, table 9.5. */
const ZEROS = [
  2.404825557695773, 5.520078110286311, 8.653727912911013, 11.79153443901428, 14.93091770848779,
  18.07106396791092,
];

/**
 * Share of its final uptake that a cylinder with its surface at balance has reached, 0..1: {@link cylinderUptake} of
 * moisture/series.ts without its search for roots [feed-9].
 *
 *   short times: 4 sqrt(Fo/pi) - Fo - Fo^1.5/(3 sqrt(pi)) - Fo^2/8;   else 1 - sum 4 exp(-b_n^2 Fo)/b_n^2, J0(b_n) = 0
 *
 * @param fo D t/a^2
 * Source: Crank 1975, The Mathematics of Diffusion, 2nd ed., eqs. (5.23) and (5.26).
 */
export function quickCylinderUptake(fo: number): number {
  if (fo < SHORT_UNTIL) return Math.sqrt(fo / Math.PI) * (4 - fo / 3) - fo - (fo * fo) / 8;
  let left = 0;
  for (const b of ZEROS) left += (4 * Math.exp(-b * b * fo)) / (b * b);
  return 1 - left;
}

/** Air round the tube: its temperature [K] and relative humidity 0..1. */
export type Air = Readonly<{ temperature: number; humidity: number }>;

/**
 * Mean water of the strand after a time in the tube [kg/kg] [feed-10]: c0 + (c_eq - c0) M(D t/a^2), D the mean over
 * c = c0..c_eq. Strand that is wetter than the air allows dries by the same rule.
 *
 * @param water    c0, the same all through the strand
 * @param diameter [m]
 * @param time     [s]
 */
export function waterAfterTube(
  polymer: Polymer,
  air: Air,
  water: number,
  diameter: number,
  time: number,
): number {
  const balance = balanceWater(polymer, air.temperature, air.humidity);
  const mean = meanDiffusivity(polymer, air.temperature, water, balance);
  const radius = 0.5 * diameter;
  return water + (balance - water) * quickCylinderUptake((mean * time) / (radius * radius));
}
