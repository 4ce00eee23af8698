import { describe, expect, it } from 'vitest';
import { normalBelow } from '../numerics/error-function.ts';
import { tTail } from './distributions.ts';
import { noncentralTQuantile, noncentralTShare, noncentralTTail } from './noncentral-t.ts';

const off = (got: number, wanted: number) => Math.abs(got / wanted - 1);

/** t, df, noncentrality, share below, tail above: by mpmath 1.3.0, adaptive quadrature of the definition at 25 digits. */
const KNOWN = [
  [3.2, 9, 2.1, 0.7908793727409562, 0.20912062725904373],
  [20, 1, 1.8, 0.927807102083757, 0.0721928979162429],
  [-1, 4, 2, 0.002573232174844292, 0.9974267678251557],
  [0, 5, 3, 0.0013498980316300946, 0.9986501019683699],
  [-3, 2.5, 5, 9.77649242348786e-10, 0.9999999990223507],
  [8, 3, 12, 0.08813501276905947, 0.9118649872309406],
  [30, 2, 20, 0.6411006215951051, 0.35889937840489494],
  [5, 300, 4, 0.8354005599326328, 0.16459944006736713],
  [2, 300, 6, 3.326726443416379e-5, 0.9999667327355658],
  [60, 1, 3, 0.9601228392924798, 0.03987716070752022],
  [12, 18, 10, 0.7930837197100532, 0.20691628028994674],
  [-0.5, 10, 4, 4.067698438231491e-6, 0.9999959323015618],
  [100, 1.5, 40, 0.789121301808597, 0.21087869819140304],
  [3, 30, -1, 0.9999011883614847, 9.881163851536446e-5],
] as const;

describe('noncentral t', () => {
  it.each(KNOWN)('at %d with %d degrees of freedom and noncentrality %d', (t, df, delta, share, tail) => {
    expect(off(noncentralTShare(t, df, delta), share)).toBeLessThan(1e-12);
    expect(off(noncentralTTail(t, df, delta), tail)).toBeLessThan(1e-12);
  });

  it('agrees with R 4.6, pt(3.2, 9, 2.1)', () => {
    expect(off(noncentralTShare(3.2, 9, 2.1), 0.79087937274091)).toBeLessThan(1e-9);
  });

  it('is the central t without noncentrality, and normal at t = 0', () => {
    for (const t of [-4, -0.3, 0.8, 11])
      for (const df of [1, 2.7, 40]) expect(off(noncentralTTail(t, df, 0), tTail(t, df))).toBeLessThan(1e-12);
    expect(off(noncentralTShare(0, 6, 1.3), normalBelow(-1.3))).toBeLessThan(1e-13);
  });

  it('share and tail add to one, and quantiles give the share back', () => {
    for (const [df, delta] of [
      [1, 0.5],
      [4, 2.9],
      [29, 7],
      [200, -3],
    ] as const)
      for (const p of [1e-6, 0.05, 0.5, 0.95, 0.9999]) {
        const t = noncentralTQuantile(p, df, delta);
        expect(off(noncentralTShare(t, df, delta), p), `${p} ${df} ${delta}`).toBeLessThan(1e-11);
        expect(noncentralTShare(t, df, delta) + noncentralTTail(t, df, delta)).toBeCloseTo(1, 13);
      }
  });

  it('refuses degrees of freedom and shares that make no sense', () => {
    expect(() => noncentralTShare(1, 0, 1)).toThrow(RangeError);
    expect(() => noncentralTQuantile(1, 3, 1)).toThrow(RangeError);
  });
});
