import type { Print } from './print.ts';
import type { Window } from './windows.ts';

/**
 * The cells of the column ride on the strand, so the top of the touching polymer sits on a lattice of one cell. What a
 * return lays depends on where that lattice stands (by a sixth on the coarse grid), and a print in even cycles beats
 * slowly against it: one window may see half a beat. Where a window is leapt to, the lattice stands anywhere, and we may
 * choose: each window opens so that its returns fall on the places that the window before did not see.     [hot-end-19]
 */

/** A mean of points on the unit circle. */
export type Place = Readonly<{ re: number; im: number }>;

/** Mean of exp(2 pi i place) over the returns of a window, place in cells, were the lattice at 0 when it opens. */
export function meanPlace(print: Print, window: Window, cell: number): Place {
  let fed = 0;
  let re = 0;
  let im = 0;
  let returns = 0;
  for (let i = window.from; i < window.to; i++) {
    if (print.returns[i + 1]! > print.returns[i]!) {
      const angle = (2 * Math.PI * fed) / cell;
      re += Math.cos(angle);
      im += Math.sin(angle);
      returns++;
    }
    fed += print.feed[i]!;
  }
  return returns > 0 ? { re: re / returns, im: im / returns } : { re: 0, im: 0 };
}

/** Feed, less than a cell, that turns the mean place of a window opposite to that of the window before. */
export function complement(offset: number, before: Place, next: Place, cell: number): number {
  if (Math.hypot(before.re, before.im) < 1e-9 || Math.hypot(next.re, next.im) < 1e-9) return 0;
  const wanted = Math.atan2(before.im, before.re) + Math.PI - Math.atan2(next.im, next.re);
  const turns = wanted / (2 * Math.PI) - offset / cell;
  return (turns - Math.floor(turns)) * cell;
}

/** The mean place of a window that opens with the lattice at an offset. */
export function turned(place: Place, offset: number, cell: number): Place {
  const angle = (2 * Math.PI * offset) / cell;
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return { re: place.re * c - place.im * s, im: place.re * s + place.im * c };
}
