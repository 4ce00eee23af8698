import { describe, expect, it } from 'vitest';
import { logGamma } from '../../src/engine/numerics/beta.ts';
import { normalDensity, normalShare } from '../../src/engine/numerics/normal.ts';
import { hashText, uniformStream } from '../../src/engine/numerics/random.ts';
import { chiSquareTail, fTail, noncentralFTail, tTail } from '../../src/engine/statistics/distributions.ts';
import { noncentralTShare, noncentralTTail } from '../../src/engine/statistics/noncentral-t.ts';
import {
  studentizedRangeQuantile,
  studentizedRangeShare,
  studentizedRangeTail,
} from '../../src/engine/statistics/studentized-range.ts';

// Goal: every distribution agrees to 1e-9 with direct adaptive quadrature of its definition, and with the others where
// they meet. Method: an integrator that shares nothing with the engine's (adaptive Simpson on the plain density) over a
// seeded grid of arguments; identities between distributions.

const ROOM = 1e-9;
const off = (got: number, wanted: number) => Math.abs(got / wanted - 1);

/** Adaptive Simpson to a relative tolerance of the whole, halving until both estimates agree. */
function simpson(f: (x: number) => number, a: number, b: number, panels = 16, tolerance = 1e-12): number {
  const rule = (fa: number, fm: number, fb: number, h: number) => (h / 6) * (fa + 4 * fm + fb);
  const points = Array.from({ length: panels + 1 }, (_, i) => a + ((b - a) * i) / panels);
  const first = points.slice(1).map((x, i) => {
    const low = points[i]!;
    const middle = 0.5 * (low + x);
    return { low, high: x, fa: f(low), fm: f(middle), fb: f(x) };
  });
  const rough = first.reduce((sum, p) => sum + Math.abs(rule(p.fa, p.fm, p.fb, p.high - p.low)), 0);
  const go = (
    low: number,
    high: number,
    fa: number,
    fm: number,
    fb: number,
    whole: number,
    room: number,
    depth: number,
  ): number => {
    const middle = 0.5 * (low + high);
    const fl = f(0.5 * (low + middle));
    const fr = f(0.5 * (middle + high));
    const left = rule(fa, fl, fm, middle - low);
    const right = rule(fm, fr, fb, high - middle);
    const error = left + right - whole;
    if (Math.abs(error) <= 15 * room || depth === 0) return left + right + error / 15;
    return (
      go(low, middle, fa, fl, fm, left, room / 2, depth - 1) +
      go(middle, high, fm, fr, fb, right, room / 2, depth - 1)
    );
  };
  return first.reduce(
    (sum, p) =>
      sum +
      go(
        p.low,
        p.high,
        p.fa,
        p.fm,
        p.fb,
        rule(p.fa, p.fm, p.fb, p.high - p.low),
        (tolerance * rough) / panels,
        30,
      ),
    0,
  );
}

/** Even steps across a peak that has died out at both ends: the trapezoid rule is exact to the digits there. */
function evenSum(f: (z: number) => number): number {
  const step = 0.08;
  let sum = 0;
  for (let z = -8.8; z <= 8.8; z += step) sum += f(z);
  return sum * step;
}

/** Density of u = chi/sqrt(df), as it is defined. */
const chiDensity = (u: number, df: number) =>
  Math.exp(
    Math.log(2) +
      0.5 * df * Math.log(0.5 * df) -
      logGamma(0.5 * df) +
      (df - 1) * Math.log(u) -
      0.5 * df * u * u,
  );

const draw = uniformStream(hashText('statistics distributions'));
const between = (low: number, high: number) => low + (high - low) * draw();

describe('against adaptive quadrature of the definition', () => {
  it('t: 20 arguments, tails down to 1e-6', () => {
    for (let i = 0; i < 20; i++) {
      const df = between(1, 60);
      const t = between(0, 5);
      const constant = Math.exp(logGamma((df + 1) / 2) - logGamma(df / 2)) / Math.sqrt(df * Math.PI);
      // x = t + y/(1 - y) brings the tail to 0 .. 1.
      const tail = simpson(
        (y) => {
          if (y >= 1) return 0;
          const x = t + y / (1 - y);
          return (constant * (1 + (x * x) / df) ** (-(df + 1) / 2)) / (1 - y) ** 2;
        },
        0,
        1,
      );
      expect(off(tTail(t, df), tail), `t ${t} ${df}`).toBeLessThan(ROOM);
    }
  });

  it('chi-square and F: 20 arguments each', () => {
    for (let i = 0; i < 20; i++) {
      const df = between(2, 80);
      const x = df * between(0.3, 2.5);
      const top = x + 40 * Math.sqrt(2 * df) + 80;
      const density = (y: number) =>
        Math.exp((df / 2 - 1) * Math.log(y) - y / 2 - (df / 2) * Math.log(2) - logGamma(df / 2));
      expect(off(chiSquareTail(x, df), simpson(density, x, top, 64)), `chi-square ${x} ${df}`).toBeLessThan(
        ROOM,
      );

      const df1 = between(2, 12);
      const df2 = between(4, 60);
      const f = between(0.2, 6);
      const logBeta = logGamma(df1 / 2) + logGamma(df2 / 2) - logGamma((df1 + df2) / 2);
      const tail = simpson(
        (z) =>
          z <= 0 ? 0 : Math.exp((df2 / 2 - 1) * Math.log(z) + (df1 / 2 - 1) * Math.log1p(-z) - logBeta),
        0,
        df2 / (df1 * f + df2),
        64,
      );
      expect(off(fTail(f, df1, df2), tail), `F ${f} ${df1} ${df2}`).toBeLessThan(ROOM);
    }
  });

  it('noncentral t: 40 arguments, both tails', () => {
    for (let i = 0; i < 40; i++) {
      const df = between(1, 120);
      const delta = between(-3, 12);
      const t = delta + between(-3, 3) * (1 + 0.3 * Math.abs(delta));
      const top = 1 + 16 / Math.sqrt(2 * df) + Math.abs(delta) / Math.sqrt(df);
      const integrate = (side: 1 | -1) =>
        simpson((u) => (u <= 0 ? 0 : normalShare(side * (t * u - delta)) * chiDensity(u, df)), 0, top, 64);
      const share = integrate(1);
      const tail = integrate(-1);
      // Below 1e-9 the peak may fall between the first points of this plain integrator.
      if (share > 1e-9)
        expect(off(noncentralTShare(t, df, delta), share), `share ${t} ${df} ${delta}`).toBeLessThan(ROOM);
      if (tail > 1e-9)
        expect(off(noncentralTTail(t, df, delta), tail), `tail ${t} ${df} ${delta}`).toBeLessThan(ROOM);
    }
  });

  it('studentized range: 6 arguments by a double integral', () => {
    for (const [q, k, df] of [
      [3.5, 4, 20],
      [2.1, 3, 7.5],
      [5.5, 3, 5.3],
      [4.2, 6, 40],
      [1.2, 5, 11],
      [7, 2, 3],
    ] as const) {
      const range = (w: number) =>
        k * evenSum((z) => normalDensity(z) * (normalShare(z) - normalShare(z - w)) ** (k - 1));
      const top = 1 + 9 / Math.sqrt(2 * df);
      const share = simpson((u) => (u <= 0 ? 0 : range(q * u) * chiDensity(u, df)), 0, top, 16, 1e-10);
      expect(off(studentizedRangeShare(q, k, df), share), `${q} ${k} ${df}`).toBeLessThan(ROOM);
      expect(Math.abs(studentizedRangeTail(q, k, df) + share - 1)).toBeLessThan(ROOM);
    }
  });
});

describe('where distributions meet', () => {
  it('t^2 is F with 1, F with many is chi-square over df', () => {
    for (const [t, df] of [
      [0.4, 3],
      [2.2, 7.7],
      [6, 30],
    ] as const)
      expect(off(fTail(t * t, 1, df), 2 * tTail(t, df))).toBeLessThan(1e-11);
    // The next term is of order 1/df2.
    expect(off(fTail(2.1, 4, 1e5), chiSquareTail(8.4, 4))).toBeLessThan(2e-4);
  });

  it('noncentral t squared is noncentral F with 1: both tails of one against one tail of the other', () => {
    for (const [t, df, delta] of [
      [1.2, 8, 0.7],
      [3, 14, 2.5],
      [2, 40, 4],
    ] as const) {
      const both = noncentralTTail(t, df, delta) + noncentralTShare(-t, df, delta);
      expect(off(both, noncentralFTail(t * t, 1, df, delta * delta))).toBeLessThan(1e-10);
    }
  });

  it('the studentized range grows with the groups and falls with the degrees of freedom', () => {
    const q = (k: number, df: number) => studentizedRangeQuantile(0.95, k, df);
    for (const df of [3, 12, 80]) for (const k of [2, 3, 5]) expect(q(k + 1, df)).toBeGreaterThan(q(k, df));
    for (const k of [2, 4]) for (const df of [2, 6, 20]) expect(q(k, df * 2)).toBeLessThan(q(k, df));
  });

  it('shares rise with their argument: no step where one form of the integral hands over to another', () => {
    let before = 0;
    for (let t = -6; t < 6; t += 0.05) {
      const share = 1 - tTail(t, 4.4);
      expect(share).toBeGreaterThan(before);
      before = share;
    }
    before = 0;
    for (let t = -2; t < 12; t += 0.1) {
      const share = noncentralTShare(t, 6, 3);
      expect(share).toBeGreaterThan(before);
      before = share;
    }
  });
});
