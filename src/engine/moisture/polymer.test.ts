import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { polymerMedians } from './kernel-defaults.ts';
import { toPolymer } from './kernel-inputs.ts';
import { floorOfPlace } from './place.ts';
import {
  balanceHumidity,
  balanceOfActivity,
  balanceSlope,
  balanceWater,
  diffusivity,
  glassTransition,
  strandDensity,
  strandShare,
  waterOfShare,
} from './polymer.ts';
import { joinShells, makeDiffusionLaw, makeShells } from './strand.ts';

const polymer = toPolymer({ ...polymerMedians });

describe('the laws of water in polyamide 6', () => {
  it('the slope of the isotherm agrees with a difference quotient', () => {
    for (let a = 0.001; a < 0.999; a += 0.0131) {
      const h = 1e-5;
      const quotient = (balanceOfActivity(polymer, a + h) - balanceOfActivity(polymer, a - h)) / (2 * h);
      expect(balanceSlope(polymer, a) / quotient).toBeCloseTo(1, 7);
    }
  });

  it('the humidity of a water content gives that water content back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 280, max: 390, noNaN: true }),
        fc.double({ min: 1e-5, max: 0.9, noNaN: true }),
        (temperature, rh) => {
          const water = balanceWater(polymer, temperature, rh);
          if (water < balanceOfActivity(polymer, 1))
            expect(balanceHumidity(polymer, temperature, water)).toBeCloseTo(rh, 12);
        },
      ),
      { seed: 5, numRuns: 300 },
    );
    expect(balanceHumidity(polymer, 296.15, 0)).toBe(0);
  });

  it('shares of the wet strand and water of the dry polymer turn into each other', () => {
    for (const share of [0, 1e-4, 0.002, 0.09])
      expect(strandShare(waterOfShare(share, 0.15), 0.15)).toBeCloseTo(share, 15);
  });

  it('65 C with 23 C/50 % room air holds about 0.2 % in the strand', () => {
    // A closed 65 C box keeps a dry strand at about 0.2 wt%, neither below nor far above: the page's 0.21, rounded up.
    const floor = 100 * floorOfPlace(polymer, 338.15, 296.15, 0.5);
    expect(floor).toBeGreaterThan(0.195);
    expect(floor).toBeLessThan(0.215);
    expect(floor).toBeCloseTo(100 * strandShare(balanceWater(polymer, 338.15, 0.0561219632), 0.15), 8);
  });

  it('the glass transition runs from dry to wet', () => {
    expect(glassTransition(polymer, 0)).toBe(330.15);
    expect(glassTransition(polymer, 1)).toBeCloseTo(248.15, 9);
  });

  it('diffusivities at the four states of the page', () => {
    // 1.8e-13 (23 C dry), 4.6e-13 (23 C, 9 %), 1.3e-11 (70 C, 2.75 %), 3.4e-11 m2/s (90 C, 1 %), as printed.
    expect(diffusivity(polymer, 296.15, 0) / 1.8e-13).toBeCloseTo(1, 1);
    expect(diffusivity(polymer, 296.15, 0.09) / 4.6e-13).toBeCloseTo(1, 1);
    expect(diffusivity(polymer, 343.15, 0.0275) / 1.3e-11).toBeCloseTo(1, 1);
    expect(diffusivity(polymer, 363.15, 0.01) / 3.4e-11).toBeCloseTo(1, 1);
  });

  it('diffusivity has no overflow far above and no cliff far below the transition', () => {
    const flat = toPolymer({ ...polymerMedians, w_Tg: 0.01 });
    expect(diffusivity(flat, 470, 0)).toBeLessThan(1);
    expect(diffusivity(flat, 280, 0)).toBeGreaterThan(0);
  });

  it('fibre makes the strand heavier', () => {
    expect(strandDensity(toPolymer({ ...polymerMedians, w_f: 0 }))).toBeCloseTo(1130, 9);
    // Rule of mixtures for 15 % fibre of 1800 in polymer of 1130 kg/m3.
    expect(strandDensity(polymer)).toBeCloseTo(1 / (0.15 / 1800 + 0.85 / 1130), 9);
  });
});

describe('the tables of the strand', () => {
  it('give the diffusivity of the law within 2e-7, inside and beyond their range', () => {
    const shells = makeShells('sheet', 1e-3, 2);
    const joint = new Float64Array(2);
    let worst = 0;
    for (const kap of [0.005, 0.022, 0.04]) {
      const p = toPolymer({ ...polymerMedians, kap });
      const law = makeDiffusionLaw(p);
      for (let t = 273.15; t < 473; t += 3.7)
        for (const c of [0, 1e-6, 0.0013, 0.01, 0.031, 0.09, 0.4, 0.9]) {
          // With the same water everywhere each face shows D itself, by the reach of the face.
          joinShells(law, shells, t, new Float64Array(2).fill(c), 0, c, 1, joint);
          const exact = diffusivity(p, t, c);
          worst = Math.max(worst, Math.abs(joint[0]! / (shells.reach[0]! * exact) - 1));
          worst = Math.max(worst, Math.abs(joint[1]! / (shells.reach[1]! * exact) - 1));
        }
    }
    expect(worst).toBeLessThan(2e-7);
    expect(worst).toBeGreaterThan(0);
  });
});
