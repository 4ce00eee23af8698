import { describe, expect, it } from 'vitest';
import { tTail } from './distributions.ts';
import {
  rangeShare,
  rangeTail,
  studentizedRangeQuantile,
  studentizedRangeShare,
  studentizedRangeTail,
} from './studentized-range.ts';

const off = (got: number, wanted: number) => Math.abs(got / wanted - 1);

/** q, groups, df, tail above, share below: by mpmath 1.3.0, adaptive double quadrature of the definition. */
const KNOWN = [
  [3.5, 4, 20, 0.09495845054629992, 0.9050415494537001],
  [14, 3, 5.55, 0.00023772076106114257, 0.9997622792389389],
  [1, 2, 2.3, 0.54430905529051, 0.45569094470949],
] as const;

describe('studentized range', () => {
  it.each(KNOWN)('at %d of %d groups with %d degrees of freedom', (q, k, df, tail, share) => {
    expect(off(studentizedRangeTail(q, k, df), tail)).toBeLessThan(1e-12);
    expect(off(studentizedRangeShare(q, k, df), share)).toBeLessThan(1e-12);
  });

  it('of two groups is Student t: P(Q > q) = 2 P(T > q/sqrt 2), in the far tail too', () => {
    for (const q of [0.3, 2, 5, 12, 30])
      for (const df of [1, 2.4, 11, 150])
        expect(off(studentizedRangeTail(q, 2, df), 2 * tTail(q / Math.SQRT2, df)), `${q} ${df}`).toBeLessThan(
          1e-11,
        );
  });

  it('agrees with ptukey of R 4.6 to the 2e-12 by which R itself is off', () => {
    expect(off(studentizedRangeShare(3.5, 4, 20), 0.9050415494514433)).toBeLessThan(1e-11);
  });

  it('quantiles agree with SciPy 1.17.1 and with the printed tables (Harter 1960, from memory)', () => {
    expect(off(studentizedRangeQuantile(0.95, 4, 20), 3.9582935609453846)).toBeLessThan(1e-11);
    expect(off(studentizedRangeQuantile(0.95, 10, 60), 4.646323963266348)).toBeLessThan(1e-11);
    expect(off(studentizedRangeQuantile(0.95, 2, 2.3), 5.384141843249787)).toBeLessThan(1e-11);
    expect(studentizedRangeQuantile(0.95, 3, 10)).toBeCloseTo(3.877, 3);
    expect(studentizedRangeQuantile(0.95, 5, 20)).toBeCloseTo(4.232, 3);
  });

  it('the range of normals keeps its precision in the tail (mpmath 1.3.0, 30 and 60 digits)', () => {
    expect(off(rangeTail(14, 3), 1.2551476720830655e-22)).toBeLessThan(1e-13);
    expect(off(rangeTail(2, 10), 0.9232142386068531)).toBeLessThan(1e-13);
    expect(off(rangeTail(9, 30), 8.512897035426825e-8)).toBeLessThan(1e-13);
    for (const k of [2, 4, 12]) expect(rangeShare(2.5, k) + rangeTail(2.5, k)).toBeCloseTo(1, 13);
  });

  it('refuses one group and degrees of freedom that make no sense', () => {
    expect(() => studentizedRangeTail(3, 1, 4)).toThrow(RangeError);
    expect(() => studentizedRangeTail(3, 3, 0)).toThrow(RangeError);
    expect(() => studentizedRangeQuantile(0, 3, 4)).toThrow(RangeError);
    expect(studentizedRangeTail(0, 3, 4)).toBe(1);
  });
});
