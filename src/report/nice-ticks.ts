import { showNumber } from '../units.ts';

/** The next of 1, 2, 5 times a power of ten, at or above x. */
export function niceStep(x: number): number {
  const power = 10 ** Math.floor(Math.log10(x));
  const share = x / power;
  return (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10) * power;
}

/**
 * Ends of an axis that holds low..high and at most so many steps, and its marks with their labels.
 * @param stepLeast 1 for what is counted
 */
export function niceAxis(low: number, high: number, most: number, stepLeast = 0) {
  const span = high > low ? high - low : Math.abs(high) || 1;
  const step = Math.max(stepLeast, niceStep(span / most));
  const from = Math.floor(low / step + 1e-9) * step;
  const to = Math.ceil((high > low ? high : low + span) / step - 1e-9) * step;
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const count = Math.round((to - from) / step);
  const ticks = Array.from({ length: count + 1 }, (_, k) => {
    const at = Number((from + k * step).toPrecision(12));
    return { at, label: showNumber(at, places) };
  });
  return { low: from, high: to, ticks };
}
