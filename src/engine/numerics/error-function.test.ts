import { describe, expect, it } from 'vitest';
import { erfc, erfcScaled, logNormalBelow, normalBelow } from './error-function.ts';
import { normalShare } from './normal.ts';

// Values to 30 digits by mpmath 1.3.0 (erfc).
const ERFC = [
  [-3, 1.9999779095030015],
  [-0.3, 1.3286267594591274],
  [0.2, 0.7772974107895215],
  [0.46, 0.5153446099983203],
  [0.47, 0.5062549491139179],
  [1, 0.15729920705028513],
  [2.5, 0.0004069520174449589],
  [3.99, 1.6739211364520814e-8],
  [4.01, 1.4196939421371052e-8],
  [7, 4.183825607779414e-23],
  [15, 7.212994172451207e-100],
  [25.5, 8.80166269072795e-285],
] as const;
const LOG_NORMAL = [
  [-50, -1254.8313611394199],
  [-12, -75.4106730015688],
  [-3, -6.607726221510349],
  [-0.1, -0.7761545927302733],
  [0.3, -0.4814101615884812],
  [4, -3.167174337748927e-5],
] as const;

describe('error function', () => {
  it.each(ERFC)(
    'erfc(%d) agrees to the last digits in both tails and in every range of the approximation',
    (x, value) => {
      expect(Math.abs(erfc(x) / value - 1)).toBeLessThan(1e-15);
    },
  );

  it.each(LOG_NORMAL)('the logarithm of the share of a normal below %d does not underflow', (z, value) => {
    expect(Math.abs(logNormalBelow(z) / value - 1)).toBeLessThan(4e-15);
  });

  it('agrees with the series and continued fraction of the normal distribution', () => {
    for (let z = -20; z <= 8; z += 0.37)
      expect(Math.abs(normalBelow(z) / normalShare(z) - 1), `z = ${z}`).toBeLessThan(1e-13);
  });

  it('the scaled form is erfc times exp(x^2), and is refused below 0', () => {
    for (const x of [0, 0.3, 0.6, 3, 5]) expect(erfcScaled(x)).toBeCloseTo(erfc(x) * Math.exp(x * x), 13);
    expect(() => erfcScaled(-0.1)).toThrow(RangeError);
  });
});
