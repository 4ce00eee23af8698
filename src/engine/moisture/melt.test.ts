import { describe, expect, it } from 'vitest';
import { meltMedians } from './kernel-defaults.ts';
import {
  balanceMolarMass,
  foamSign,
  foamWord,
  type Melt,
  steamOverMelt,
  steamSolubilityPercent,
} from './melt.ts';

const melt: Melt = {
  solubilityPercent: meltMedians.S_henry,
  solubilityHeat: meltMedians.dHs,
  surfaceTension: meltMedians.sigma,
  seedRadius: meltMedians.r_nuc,
  chainFactor: 1,
};

describe('water in the melt', () => {
  it('its solubility follows the slope of the published law', () => {
    // Ogata (abstract seen): log10(n_w/p) = 3050/T - 10.09, so the ratio between 250 C and 290 C is 10^(3050 d(1/T)).
    const ratio = steamSolubilityPercent(melt, 523.15) / steamSolubilityPercent(melt, 563.15);
    expect(ratio).toBeCloseTo(10 ** (3050 * (1 / 523.15 - 1 / 563.15)), 4);
  });

  it('steam doubles with the water and stands at one atmosphere at the solubility', () => {
    const one = steamOverMelt(melt, 0.002, 0.85, 543.15);
    expect(steamOverMelt(melt, 0.004, 0.85, 543.15)).toBeCloseTo(2 * one, 6);
    expect(steamOverMelt(melt, 0.00203 * 0.85, 0.85, 543.15)).toBeCloseTo(101325, 6);
  });

  it('chains at balance are those of the page', () => {
    // 0.1 wt% 26 kg/mol, 0.2 wt% 18.5, 0.5 wt% 11.7, as printed.
    const molar = (w: number) => 1000 * balanceMolarMass(melt, w, 0.85, 543.15);
    expect(molar(0.001) / 26e3).toBeCloseTo(1, 1);
    expect(molar(0.002) / 18.5e3).toBeCloseTo(1, 2);
    expect(molar(0.005) / 11.7e3).toBeCloseTo(1, 2);
  });

  it('foams the sooner the lower the pressure and the larger the seeds, and has a word for it', () => {
    const steam = steamOverMelt(melt, 0.003, 0.85, 543.15);
    const sign = foamSign(melt, steam, 101325);
    expect(foamSign(melt, steam, 2 * 101325)).toBeLessThan(sign);
    expect(foamSign({ ...melt, seedRadius: 1e-5 }, steam, 101325)).toBeGreaterThan(sign);
    expect([foamWord(0.69), foamWord(1), foamWord(1.31)]).toEqual(['calm', 'watch', 'foams']);
  });
});
