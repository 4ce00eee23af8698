import { describe, expect, it } from 'vitest';
import { polymerMedians } from '../../src/engine/moisture/kernel-defaults.ts';
import { toPolymer } from '../../src/engine/moisture/kernel-inputs.ts';
import { cylinderUptake, hollowUptake, sheetUptake } from '../../src/engine/moisture/series.ts';
import { edgeFactor, soak } from '../../src/engine/moisture/soak.ts';
import {
  joinShells,
  joinShellsEvenly,
  makeDiffusionLaw,
  makeShells,
} from '../../src/engine/moisture/strand.ts';
import { eliminateChain, resolveChain } from '../../src/engine/numerics/chain.ts';

// Goal: one strand and the plane sheet solve the diffusion equation, with the orders of their scheme.
// Method: uptake of a body whose surface jumps to 1, against the series of Crank 1975 (chapters 4 and 5).

const polymer = toPolymer({ ...polymerMedians });

/** Uptake at D t/size^2 = fo with even steps; size 1, D 1. */
function uptake(
  shape: 'cylinder' | 'sheet',
  fo: number,
  shellCount: number,
  steps: number,
  crowding: number,
): number {
  const shells = makeShells(shape, 1, shellCount, crowding);
  const water = new Float64Array(shellCount);
  const joint = new Float64Array(shellCount);
  const carry = new Float64Array(shellCount);
  const known = new Float64Array(shellCount);
  joinShellsEvenly(shells, 1, fo / steps, joint);
  let mean = 0;
  for (let k = 0; k < steps; k++) {
    eliminateChain(shellCount, shells.share, joint, water, carry, known, 0);
    mean = resolveChain(shellCount, shells.share, carry, known, 1, water, 0);
  }
  return mean;
}

const bodies = [
  ['cylinder', (fo: number) => cylinderUptake(fo)],
  ['sheet', (fo: number) => sheetUptake(fo / 4)], // the series counts the full thickness
] as const;

describe.each(bodies)('%s', (shape, exact) => {
  it('with 40 shells is within 2e-3 of the series', () => {
    for (const fo of [0.01, 0.05, 0.2])
      expect(Math.abs(uptake(shape, fo, 40, 2000, 1.5) - exact(fo))).toBeLessThan(2e-3);
  });

  it('converges with order 2 in space on even shells', () => {
    // The first-order error of time is taken out by Richardson's rule, so that space alone is left.
    const inSpace = (shells: number) =>
      2 * uptake(shape, 0.1, shells, 4000, 1) - uptake(shape, 0.1, shells, 2000, 1) - exact(0.1);
    const errors = [10, 20, 40].map(inSpace);
    for (const k of [0, 1]) {
      const order = Math.log2(errors[k]! / errors[k + 1]!);
      expect(Math.abs(order - 2), `observed order ${order}`).toBeLessThan(0.25);
    }
  });

  it('converges with order 1 in time', () => {
    const fine = 2 * uptake(shape, 0.1, 40, 16_000, 1.5) - uptake(shape, 0.1, 40, 8000, 1.5);
    const errors = [50, 100, 200].map((steps) => uptake(shape, 0.1, 40, steps, 1.5) - fine);
    for (const k of [0, 1]) {
      const order = Math.log2(errors[k]! / errors[k + 1]!);
      expect(Math.abs(order - 1), `observed order ${order}`).toBeLessThan(0.15);
    }
  });
});

describe('elimination of the strand', () => {
  it('the water after a step is linear in the surface: three surfaces lie on one line', () => {
    const shells = makeShells('cylinder', 8.75e-4, 8);
    const law = makeDiffusionLaw(polymer);
    const start = Float64Array.from({ length: 8 }, (_, i) => 0.012 - 0.001 * i);
    const ends = [0, 0.01, 0.02].map((surface) => {
      const water = start.slice();
      const joint = new Float64Array(8);
      const carry = new Float64Array(8);
      const known = new Float64Array(8);
      joinShells(law, shells, 350, water, 0, 0.004, 300, joint);
      eliminateChain(8, shells.share, joint, water, carry, known, 0);
      return resolveChain(8, shells.share, carry, known, surface, water, 0);
    });
    expect(ends[2]! - ends[1]!).toBeCloseTo(ends[1]! - ends[0]!, 15);
    expect(ends[1]!).toBeGreaterThan(ends[0]!);
  });

  it('takes in through its surface what its content gains', () => {
    const shells = makeShells('cylinder', 8.75e-4, 8);
    const law = makeDiffusionLaw(polymer);
    const water = new Float64Array(8).fill(0.002);
    const joint = new Float64Array(8);
    const carry = new Float64Array(8);
    const known = new Float64Array(8);
    joinShells(law, shells, 330, water, 0, 0.01, 600, joint);
    eliminateChain(8, shells.share, joint, water, carry, known, 0);
    const inflow = joint[7]! * ((1 - carry[7]!) * 0.01 - known[7]!);
    expect(resolveChain(8, shells.share, carry, known, 0.01, water, 0) - 0.002).toBeCloseTo(inflow, 15);
  });
});

describe('the series', () => {
  it('agree with the short-time forms of the textbook', () => {
    // Crank 1975, eqs. (4.20) and (5.25): sheet 4 sqrt(Fo/pi); cylinder 4 sqrt(Fo/pi) - Fo - (Fo^1.5)/(3 sqrt(pi)).
    expect(sheetUptake(1e-4)).toBeCloseTo(4 * Math.sqrt(1e-4 / Math.PI), 9);
    const fo = 1e-3;
    expect(cylinderUptake(fo)).toBeCloseTo(
      4 * Math.sqrt(fo / Math.PI) - fo - fo ** 1.5 / (3 * Math.sqrt(Math.PI)),
      6,
    );
  });

  it('with a thin film go to the ones without, and with a thick one to the lumped body', () => {
    expect(cylinderUptake(0.1, 1e7)).toBeCloseTo(cylinderUptake(0.1), 6);
    expect(sheetUptake(0.1, 1e7)).toBeCloseTo(sheetUptake(0.1), 6);
    expect(hollowUptake(0.05, 0.095, 5e-4, 1e7)).toBeCloseTo(hollowUptake(0.05, 0.095, 5e-4), 6);
    // Lumped: share 1 - exp(-h A t/V); cylinder 2 Bi Fo, sheet 4 Bi Fo with the full thickness in Fo.
    expect(cylinderUptake(50, 1e-3)).toBeCloseTo(-Math.expm1(-2 * 1e-3 * 50), 3);
    expect(sheetUptake(50, 1e-3)).toBeCloseTo(-Math.expm1(-4 * 1e-3 * 50), 3);
  });

  it('of a hollow cylinder with a pinhole goes to that of the solid one', () => {
    expect(hollowUptake(1e-5, 1, 0.1)).toBeCloseTo(cylinderUptake(0.1), 6);
  });

  it('of a thin ring goes to that of half a sheet', () => {
    expect(hollowUptake(100, 101, 0.1)).toBeCloseTo(sheetUptake(0.1 / 4), 2);
  });
});

describe('bars and strands in air', () => {
  const sheet = { shape: 'sheet', size: 0.002, start: 0, polymer } as const;

  it('a 4 mm sheet needs most of a year in the standard atmosphere and days at 70 C and 62 %', () => {
    // ISO/DIS 1110:2018, introduction: 4 mm of PA66 more than a year at 23/50; PA6 somewhat faster (from memory).
    const cold = soak({ ...sheet, temperature: 296.15, humidity: 0.5 }, null, 0.95).timeToShare! / 86_400;
    const warm = soak({ ...sheet, temperature: 343.15, humidity: 0.62 }, null, 0.95).timeToShare! / 86_400;
    expect(cold).toBeGreaterThan(150);
    expect(cold).toBeLessThan(450);
    expect(warm).toBeGreaterThan(3.5);
    expect(warm).toBeLessThan(5.5);
  });

  it('the share at the moment of a share is that share', () => {
    const of = { ...sheet, temperature: 343.15, humidity: 0.62 };
    const { timeToShare } = soak(of, null, 0.6);
    expect(soak(of, timeToShare, null).share).toBeCloseTo(0.6, 4);
  });

  it('a bar of 4 x 10 mm is twice as quick as its endless sheet', () => {
    expect(edgeFactor(0.004, 0.01, 0.15)).toBeCloseTo(2, 0);
  });

  it('a strand in the air of its own balance stays as it is', () => {
    const { water, balance } = soak(
      {
        shape: 'cylinder',
        size: 8.75e-4,
        temperature: 296.15,
        humidity: 0.5,
        start: 0.0275621963522339,
        polymer,
      },
      86_400,
      null,
    );
    expect(water).toBeCloseTo(balance, 12);
  });
});
