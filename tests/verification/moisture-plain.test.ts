import { describe, expect, it } from 'vitest';
import { dryPlainly } from '../../speed/moisture-plain.ts';
import type { BedPlace } from '../../src/engine/moisture/place.ts';
import { strandShare } from '../../src/engine/moisture/polymer.ts';
import { makeOutcome, type Plan, simulate } from '../../src/engine/moisture/spool.ts';
import { makeScratch } from '../../src/engine/moisture/spool-state.ts';
import { places, spoolOf } from '../facts/dry-scenes.ts';

// Goal: the fast solver solves the equations as they stand. Method: the same run written straight from them, with full
// matrices and no table (speed/moisture-plain.ts). They differ by the tables of the diffusivity, 1e-7, and by rounding.

describe('the fast solver of the spool', () => {
  it('gives the numbers of the slow and obvious one', () => {
    const place = places['bed under board'] as BedPlace;
    const spool = spoolOf(1);
    const plan: Plan = { stretches: [{ place, time: 2 * 3600, step: 240 }] };
    const grid = { rings: 5, layers: 4, shells: 6 };
    const fast = simulate(spool, plan, makeScratch(grid), makeOutcome(plan, grid)).ends[0]!;
    const slow = dryPlainly(spool, place, 5, 4, 6, 240, 30);
    expect(fast.mean / strandShare(slow.water, spool.polymer.fibreShare)).toBeCloseTo(1, 7);
    expect(fast.temperatureMean).toBeCloseTo(slow.temperature, 6);
    expect(fast.airTemperature).toBeCloseTo(slow.air, 6);
  });
});
