import { describe, expect, it } from 'vitest';
import { materials } from './kernel-defaults.ts';
import { strandOf } from './kernel-inputs.ts';
import { makeShells } from './shells.ts';
import { atTemperature, lnZeroShear, meltStress, mixedStress, TABLE_FROM, tabulate } from './strand.ts';

const ONE = { viscosity: 1, yieldStress: 1, halfTime: 1 };

describe('a strand as tables', () => {
  for (const name of Object.keys(materials)) {
    const strand = strandOf(materials[name]!);
    const tables = tabulate(strand, ONE);

    it(`${name}: the temperature read back from the enthalpy is the one it came from within 0.02 K`, () => {
      for (let T = 260; T < 600; T += 3.7) {
        const u = atTemperature(tables.enthalpy, T) * tables.inversePerJoule;
        const k = Math.floor(u);
        const back = tables.inverse[k]! + (u - k) * (tables.inverse[k + 1]! - tables.inverse[k]!);
        expect(Math.abs(back - T)).toBeLessThan(0.02);
      }
    });

    it(`${name}: the heat capacity is the difference of the enthalpy over one kelvin, exactly`, () => {
      for (let T = 260; T < 600; T += 3.7) {
        const u = T - TABLE_FROM - 0.5;
        const k = Math.floor(u);
        const capacity = tables.capacity[k]! + (u - k) * (tables.capacity[k + 1]! - tables.capacity[k]!);
        const difference = atTemperature(tables.enthalpy, T + 0.5) - atTemperature(tables.enthalpy, T - 0.5);
        expect(capacity / difference).toBeCloseTo(1, 10);
      }
    });
  }

  it('PA6 with fibre takes up its heat of fusion round the melting point and nowhere else', () => {
    const strand = strandOf(materials['PA6CF']!);
    const without = strandOf({ ...materials['PA6CF']!, dH: 0 });
    const gain = (s: typeof strand, from: number, to: number) => {
      const { enthalpy } = tabulate(s, ONE);
      return atTemperature(enthalpy, to) - atTemperature(enthalpy, from);
    };
    expect(gain(strand, 300, 540) - gain(without, 300, 540)).toBeCloseTo(55000, 0);
    expect(gain(strand, 300, 440) - gain(without, 300, 440)).toBeLessThan(1);
  });

  it('factors shift viscosity, yield stress and half time by their own size', () => {
    const strand = strandOf(materials['PA6CF']!);
    const one = tabulate(strand, ONE);
    const two = tabulate(strand, { viscosity: 2, yieldStress: 3, halfTime: 4 });
    expect(two.lnViscosity[200]! - one.lnViscosity[200]!).toBeCloseTo(Math.log(2), 12);
    expect(two.lnYield[200]! - one.lnYield[200]!).toBeCloseTo(Math.log(3), 12);
    expect(two.lnHalfTime[200]! - one.lnHalfTime[200]!).toBeCloseTo(Math.log(4), 12);
  });

  it('the melt of an amorphous strand does not become thinner again below the reach of its law', () => {
    const pla = strandOf(materials['PLA']!);
    expect(lnZeroShear(pla, 250)).toBe(lnZeroShear(pla, 333.15 - 25));
  });
});

describe('stress of melt and skin', () => {
  it('is viscosity times rate where the melt does not thin, and a power law far above', () => {
    expect(meltStress(Math.log(500), Math.log(10), Math.log(1e20), 0.5)).toBeCloseTo(5000, 3);
    const slope =
      meltStress(Math.log(500), Math.log(2e9), 0, 0.42) / meltStress(Math.log(500), Math.log(1e9), 0, 0.42);
    expect(Math.log2(slope)).toBeCloseTo(0.42, 3);
  });

  it('of a mixture lies between melt and solid, and the fast ways for 0 and 1 agree with the law', () => {
    for (const s of [0, 1e-9, 0.3, 1 - 1e-9, 1]) {
      const mixed = mixedStress(true, 1e4, 1e7, s);
      expect(mixed).toBeGreaterThanOrEqual(1e4);
      expect(mixed).toBeLessThanOrEqual(1.001e7);
    }
    expect(mixedStress(true, 1e4, 1e7, 1e-9) / mixedStress(true, 1e4, 1e7, 0)).toBeCloseTo(1, 6);
    expect(mixedStress(true, 1e4, 1e7, 1 - 1e-9) / mixedStress(true, 1e4, 1e7, 1)).toBeCloseTo(1, 6);
  });

  it('of an amorphous skin is that of the softer, a sixth less where both are equal, and never overflows', () => {
    expect(mixedStress(false, 1e5, 1e9, 0)).toBeCloseTo(1e5, 3);
    expect(mixedStress(false, 1e6, 1e6, 0)).toBeCloseTo(1e6 / 2 ** 0.25, 3);
    expect(mixedStress(false, 1e200, 1e7, 0)).toBeCloseTo(1e7, 3);
  });
});

describe('shells', () => {
  it('make up the section, and hold a parabola without error', () => {
    const R = 0.9e-3;
    const k = 0.22;
    const shells = makeShells(R, k, 5);
    expect(shells.area.reduce((a, b) => a + b, 0)).toBeCloseTo(Math.PI * R * R, 15);
    expect(shells.share.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 14);
    // Even heating q per volume: T = -q r^2/(4k). Through the face at r flows q pi r^2 per metre.
    const mean = Array.from(shells.area, (_, j) => {
      const face = (m: number) => R * (1 - (1 - m / 5) ** 1.6);
      return -(face(j) ** 2 + face(j + 1) ** 2) / 8 / k;
    });
    for (let j = 0; j < 4; j++) {
      const r = R * (1 - (1 - (j + 1) / 5) ** 1.6);
      expect((shells.conductance[j]! * (mean[j]! - mean[j + 1]!)) / (Math.PI * r * r)).toBeCloseTo(1, 10);
    }
    expect((mean[4]! + (R * R) / 4 / k) / (shells.skin * (R / 2))).toBeCloseTo(1, 10);
  });
});
