/**
 * Goal: each law of the strand's way does what its equation says, at its borders too. Method: hand values, inverses
 * and limits.
 */
import { describe, expect, it } from 'vitest';
import { polymerMedians } from '../moisture/kernel-defaults.ts';
import { toPolymer } from '../moisture/kernel-inputs.ts';
import { diffusivity } from '../moisture/polymer.ts';
import { cylinderUptake } from '../moisture/series.ts';
import { bendingStrain, smallestRadius } from './bend.ts';
import { strainAtBreak, type Toughness, toughShare } from './break.ts';
import { coolingLength, heatLoss, temperatureAlong, warmLength } from './cooling.ts';
import { modulusAt, pullBehindBend } from './pull.ts';
import { bendMargin } from './snap.ts';
import { meanDiffusivity, quickCylinderUptake, waterAfterTube } from './uptake.ts';
import { wayOf } from './way.ts';

const polymer = toPolymer({ ...polymerMedians });
const toughness: Toughness = {
  strainCold: 0.025,
  strainWarm: 0.07,
  offset: 0,
  width: 12,
  scatter: 18,
  length: 0.05,
};
const D = 0.00175;

describe('bending', () => {
  const set = { radius: 0.075, share: 0.6 };

  it("a bend the winding's way strains less than one against it; not known is the worse of both", () => {
    const strain = ([1, -1, 0] as const).map((sense) => bendingStrain(D, 0.03, set, sense));
    expect(strain[0]!).toBeLessThan(strain[1]!);
    expect(strain[2]).toBe(Math.max(strain[0]!, strain[1]!));
  });

  it('in the bend that the winding left, nothing is strained', () => {
    expect(bendingStrain(D, 0.125, set, 1)).toBeCloseTo(0, 12);
  });

  it('the smallest radius gives back the strain that it was asked for, whichever way round', () => {
    for (const sense of [1, -1, 0] as const)
      for (const strain of [0.01, 0.02, 0.04]) {
        const radius = smallestRadius(D, strain, set, sense);
        expect(bendingStrain(D, radius, set, sense)).toBeCloseTo(strain, 12);
      }
  });

  it('where the set alone uses the strain up, no bend is wide enough', () => {
    expect(smallestRadius(D, 0.006, set, -1)).toBe(Number.POSITIVE_INFINITY);
    expect(smallestRadius(D, 0.006, set, 1)).toBeLessThan(0.1);
  });
});

describe('strain at break', () => {
  it('half way between cold and warm at the glass transition', () => {
    const { glassWet, glassDry, glassWater } = polymer;
    const transition = glassWet + (glassDry - glassWet) * Math.exp(-0.01 / glassWater);
    expect(toughShare(polymer, toughness, transition, 0.01)).toBe(0.5);
    expect(strainAtBreak(polymer, toughness, transition, 0.01, 0)).toBeCloseTo(0.0475, 12);
  });

  it('rises with warmth and with water, falls with the metres that passed', () => {
    const at = (celsius: number, water: number, metres: number) =>
      strainAtBreak(polymer, toughness, celsius + 273.15, water, metres);
    expect(at(65, 0.002, 100)).toBeGreaterThan(at(23, 0.002, 100));
    expect(at(23, 0.02, 100)).toBeGreaterThan(at(23, 0.002, 100));
    expect(at(23, 0.002, 100)).toBeLessThan(at(23, 0.002, 10));
  });

  it('one piece of the tested length has no size effect, and less of it has none either', () => {
    const at = (metres: number) => strainAtBreak(polymer, toughness, 296.15, 0.002, metres);
    expect(at(0.05)).toBe(at(0));
    expect(at(0.01)).toBe(at(0));
  });

  it('deep in the glass it is the weakest of so many pieces: (L0/L)^(1/m)', () => {
    const cold = strainAtBreak(polymer, toughness, 100, 0, 50);
    expect(cold).toBeCloseTo(0.025 * (1 / 1000) ** (1 / 18), 8);
  });

  it('a margin of one is the strain at break itself', () => {
    const breaks = strainAtBreak(polymer, toughness, 296.15, 0.002, 100);
    const set = { radius: 0.09, share: 0.5 };
    const radius = smallestRadius(D, breaks, set, -1);
    const common = {
      diameter: D,
      radius,
      set,
      temperature: 296.15,
      water: 0.002,
      passed: 100,
      polymer,
      toughness,
    };
    expect(bendMargin({ ...common, sense: -1 })).toBeCloseTo(1, 10);
    expect(bendMargin({ ...common, sense: 'straight' })).toBeGreaterThan(1);
  });
});

describe('warmth in the tube', () => {
  const tube = { inside: 0.0025, outside: 0.004, conductivity: 0.25, airConductivity: 0.027, film: 11 };

  it('the loss is the three resistances in a row, each of which alone would lose more', () => {
    const loss = heatLoss(D, tube);
    expect(heatLoss(D, { ...tube, film: 1e9 })).toBeGreaterThan(loss);
    expect(heatLoss(D, { ...tube, conductivity: 1e9 })).toBeGreaterThan(loss);
    expect(1 / heatLoss(D, { ...tube, film: 1e9 }) + D / (0.004 * 11)).toBeCloseTo(1 / loss, 9);
  });

  it('the warm length is where the strand has the temperature that was asked for', () => {
    const length = coolingLength({ diameter: D, density: 1197, heatCapacity: 1600, speed: 0.0033 }, 18.9);
    const reach = warmLength(338.15, 298.15, 318.15, length);
    expect(temperatureAlong(338.15, 298.15, reach, length)).toBeCloseTo(318.15, 9);
    expect(warmLength(310, 298.15, 318.15, length)).toBe(0);
    expect(warmLength(338.15, 298.15, 290, length)).toBe(Number.POSITIVE_INFINITY);
  });

  it('at 8 mm3/s a 65 C strand is down to 45 C after about 100 mm', () => {
    const speed = 8e-9 / (0.25 * Math.PI * D * D);
    const length = coolingLength(
      { diameter: D, density: 1197, heatCapacity: 1600, speed },
      heatLoss(D, tube),
    );
    const reach = warmLength(338.15, 298.15, 318.15, length);
    expect(reach).toBeGreaterThan(0.06);
    expect(reach).toBeLessThan(0.16);
  });
});

describe('pull', () => {
  const set = { radius: 0.09, share: 0.5 };
  const strand = { modulus: 6e9, diameter: D, inside: 0.0025, friction: 0.2 };

  it('a limp strand pulls as a rope does, and without friction nothing is added', () => {
    expect(pullBehindBend(2, 0.05, Math.PI, { ...strand, modulus: 0 }, set)).toBeCloseTo(
      2 * Math.exp(0.2 * Math.PI),
      12,
    );
    expect(pullBehindBend(2, 0.05, Math.PI, { ...strand, friction: 0 }, set)).toBe(2);
  });

  it('a stiffer strand, a tighter bend and a narrower tube pull more', () => {
    const usual = pullBehindBend(1, 0.05, 1.5, strand, set);
    expect(pullBehindBend(1, 0.05, 1.5, { ...strand, modulus: 9e9 }, set)).toBeGreaterThan(usual);
    expect(pullBehindBend(1, 0.03, 1.5, strand, set)).toBeGreaterThan(usual);
    expect(pullBehindBend(1, 0.05, 1.5, { ...strand, inside: 0.002 }, set)).toBeGreaterThan(usual);
  });

  it('stiffness falls straight from 23 to 65 C and holds beyond', () => {
    expect(modulusAt(6e9, 0.4, 296.15)).toBe(6e9);
    expect(modulusAt(6e9, 0.4, 338.15)).toBeCloseTo(2.4e9, 3);
    expect(modulusAt(6e9, 0.4, 317.15)).toBeCloseTo(4.2e9, 3);
    expect(modulusAt(6e9, 0.4, 250)).toBe(6e9);
    expect(modulusAt(6e9, 0.4, 400)).toBeCloseTo(2.4e9, 3);
  });
});

describe('water in the tube', () => {
  it('the quick uptake is that of the series within 1e-5, at every time', () => {
    for (let k = 0; k <= 50; k++) {
      const fo = 10 ** (-4 + k / 10);
      expect(Math.abs(quickCylinderUptake(fo) - cylinderUptake(fo)), `Fo ${fo}`).toBeLessThan(1e-5);
    }
  });

  it('the mean diffusivity is the integral over the water content, within 1e-5', () => {
    const fine = 4000;
    for (const [temperature, from, to] of [
      [296.15, 0, 0.0275],
      [296.15, 0.002, 0.05],
      [338.15, 0.02, 0.003],
    ] as const) {
      let sum = 0;
      for (let k = 0; k < fine; k++)
        sum += diffusivity(polymer, temperature, from + ((to - from) * (k + 0.5)) / fine) / fine;
      expect(Math.abs(meanDiffusivity(polymer, temperature, from, to) / sum - 1)).toBeLessThan(1e-5);
    }
  });

  it('no time adds nothing, all time ends at the balance with the air, wet strand dries', () => {
    const air = { temperature: 296.15, humidity: 0.5 };
    expect(waterAfterTube(polymer, air, 0.002, D, 0)).toBe(0.002);
    const end = waterAfterTube(polymer, air, 0.002, D, 1e9);
    expect(waterAfterTube(polymer, air, 0.08, D, 1e9)).toBeCloseTo(end, 6);
    expect(waterAfterTube(polymer, air, 0.08, D, 3600)).toBeLessThan(0.08);
  });
});

describe('the way', () => {
  const bend = (radius: number) => ({ kind: 'bend' as const, radius, angle: 1 });
  const tube = (length: number) => ({ kind: 'tube' as const, length });

  it('bends before the first tube lie in the box, later ones as far along as the tubes before them', () => {
    const way = wayOf([bend(0.05), tube(0.1), bend(0.04), tube(0.6), bend(0.06)], 0.7, 0.04);
    expect(way.bends.map(({ inBox, distance }) => [inBox, Number(distance.toFixed(6))])).toEqual([
      [true, 0],
      [false, 0.1],
      [false, 0.7],
    ]);
  });

  it('a length and a tightest bend that are drawn stretch and scale what is listed', () => {
    const way = wayOf([tube(0.2), bend(0.06), tube(0.6), bend(0.04)], 1.6, 0.02);
    expect(way.length).toBe(1.6);
    expect(way.bends.map(({ radius }) => radius)).toEqual([0.03, 0.02]);
    expect(way.bends[0]!.distance).toBeCloseTo(0.4, 12);
  });

  it('without a tube all bends lie at the end of one, and without a bend one quarter turn is assumed', () => {
    expect(wayOf([bend(0.05)], 0.8, 0.05).bends[0]).toMatchObject({ inBox: false, distance: 0.8 });
    const bare = wayOf([], 0.8, 0.04);
    expect(bare.bends).toHaveLength(1);
    expect(bare.bends[0]).toMatchObject({ radius: 0.04, distance: 0.8, inBox: false });
    expect(bare.bends[0]!.angle).toBeCloseTo(Math.PI / 2, 12);
  });
});
