import { normalShare } from '../numerics/normal.ts';

/** When a cause shows itself over a print. Times in hours, as people say them; densities per hour. */
export type When =
  | Readonly<{ kind: 'even' }>
  /** Mostly at the start, with this mean. */
  | Readonly<{ kind: 'start'; meanH: number }>
  | Readonly<{ kind: 'log'; medianH: number; s: number }>
  /** Rising as t^p. */
  | Readonly<{ kind: 'power'; p: number }>
  | Readonly<{ kind: 'mix'; of: readonly (readonly [number, When])[] }>
  /** Chance to have held by each hour, from the link that computes it. */
  | Readonly<{ kind: 'holds'; hours: readonly number[]; holds: readonly number[] }>;

/** A computed curve is trusted by this share; the rest is spread over the print, so that a flat step rules nothing out. */
const CURVE_TRUST = 0.9;
const REST = { kind: 'log', medianH: 2.5, s: 0.7 } as const;

/**
 * Density of the time at which a cause shows, given that it does within the print of length T: integrates to 1 over
 * 0..T but for the last kind, whose curve may begin after 0.     [jam-11]
 *
 * @param t hours since the first layer began, 0..T
 */
export function whenDensity(when: When, t: number, length: number): number {
  switch (when.kind) {
    case 'even':
      return 1 / length;
    case 'start':
      return Math.exp(-t / when.meanH) / when.meanH / -Math.expm1(-length / when.meanH);
    case 'log':
      return logDensity(t, when.medianH, when.s, length);
    case 'power':
      return ((when.p + 1) / length) * (t / length) ** when.p;
    case 'mix':
      return when.of.reduce((sum, [share, part]) => sum + share * whenDensity(part, t, length), 0);
    case 'holds': {
      const { hours, holds } = when;
      const rest = logDensity(t, REST.medianH, REST.s, length);
      const fall = holds[0]! - holds.at(-1)!;
      if (!(fall > 0)) return rest;
      const k = hours.findIndex((hour, i) => i + 1 < hours.length && t >= hour && t < hours[i + 1]!);
      const step = k < 0 ? 0 : Math.max(0, holds[k]! - holds[k + 1]!) / (hours[k + 1]! - hours[k]!);
      return (CURVE_TRUST * step) / fall + (1 - CURVE_TRUST) * rest;
    }
  }
}

/** Log-normal, cut at the end of the print. */
function logDensity(t: number, median: number, s: number, length: number): number {
  if (t <= 0) return 0;
  const z = Math.log(t / median) / s;
  const within = normalShare(Math.log(length / median) / s);
  return Math.exp(-0.5 * z * z) / (t * s * Math.sqrt(2 * Math.PI)) / within;
}
