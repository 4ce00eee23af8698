import { describe, expect, it } from 'vitest';
import { dewPoint, humidityRatio, saturationByHandbook } from './psychrometrics.ts';
import { saturationPressure } from './saturation.ts';
import { steamPressure } from './steam.ts';

const K = 273.15;

describe('saturation pressure', () => {
  it('of the local copy equals the package over the whole range over water', () => {
    // From just above the triple point, where the package changes from ice to water, to 200 C.
    let worst = 0;
    for (let c = 0.02; c <= 200; c += 0.11)
      worst = Math.max(worst, Math.abs(saturationPressure(c + K) / saturationByHandbook(c + K) - 1));
    expect(worst).toBeLessThan(1e-13);
  });

  it('meets the printed table of ASHRAE 2017, ch. 1, Table 3', () => {
    // As quoted in the test file of psychrolib, which claims 3e-4 for this table.
    const table = [
      [5, 872.6],
      [25, 3169.7],
      [50, 12351.3],
      [100, 101418],
      [150, 476101.4],
    ] as const;
    for (const [c, p] of table) expect(Math.abs(saturationPressure(c + K) / p - 1)).toBeLessThan(3e-4);
  });

  it('takes a logarithm that the caller has', () => {
    expect(saturationPressure(330, Math.log(330))).toBe(saturationPressure(330));
  });

  it('agrees with IF97 within 0.1 % from 1 C to 200 C', () => {
    // Two independent formulations; Hyland and Wexler 1983 claim about 0.1 % against the steam tables in this range.
    for (let c = 1; c <= 200; c += 1)
      expect(Math.abs(saturationPressure(c + K) / steamPressure(c + K) - 1)).toBeLessThan(1e-3);
  });
});

describe('steam by IF97', () => {
  it('meets the verification values of the release, Table 35', () => {
    const table = [
      [300, 0.353658941e-2],
      [500, 0.263889776e1],
      [600, 0.123443146e2],
    ] as const;
    for (const [T, megapascal] of table)
      expect(Math.abs(steamPressure(T) / (megapascal * 1e6) - 1)).toBeLessThan(2e-9);
  });

  it('ends at the critical pressure of water, 22.064 MPa', () => {
    expect(steamPressure(647.096) / 22.064e6).toBeCloseTo(1, 6);
  });

  it('refuses temperatures outside region 4', () => {
    expect(() => steamPressure(272)).toThrow(/272 K/);
    expect(() => steamPressure(648)).toThrow(/648 K/);
  });
});

describe('dew point and humidity ratio', () => {
  it('the dew point is where the vapour saturates', () => {
    for (const [c, rh] of [
      [23, 0.5],
      [65, 0.056],
      [90, 0.02],
    ] as const) {
      const p = rh * saturationPressure(c + K);
      expect(saturationPressure(dewPoint(c + K, p)) / p).toBeCloseTo(1, 6);
    }
  });

  it('a mole of water weighs 0.621945 of a mole of dry air', () => {
    // ASHRAE 2017, ch. 1, eq. (20): W = 0.621945 p/(P - p).
    expect(humidityRatio(1000, 101325)).toBeCloseTo((0.621945 * 1000) / 100325, 9);
  });
});
