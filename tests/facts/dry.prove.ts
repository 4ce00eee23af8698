import { describe, expect, it } from 'vitest';
import { kernels } from '../../src/engine/moisture/kernels.ts';
import { bedBox, openFor, ovenBox, spreads } from './dry-scenes.ts';

// The long form of dry.test.ts: 1000 draws, against the references of the design, whose own shares have a spread of
// about 0.05 (100 to 200 draws). Where the reference is a range, its middle.

const kernel = kernels.find((k) => k.name === 'moisture.ensemble')!;
function run(
  steps: unknown,
  limit: 'strict' | 'visible',
): { share: number; water_wt: [number, number, number] } {
  const ask = { water: 'mean', when: 'end', is: 'below', limit };
  const inputs = {
    ...spreads,
    start_wt: { even: [0.15, 0.35] },
    steps,
    ask,
    draws: 1000,
    seed: 11,
    grid: { cells: [6, 6], nodes: 8 },
  };
  return kernel.run(kernel.inputs.parse(inputs), {} as never) as never;
}
const onBed = { box: bedBox, hours: 8, flips_h: [4], dt_s: 240 };
const inOven = { box: ovenBox, hours: 8, flips_h: [4], dt_s: 240 };
const openLong = { ...openFor, hours: { even: [24, 14 * 24] } };

describe('the ensemble meets the reference of the design', () => {
  it.each([
    ['bed, open about 2.5 days', [openFor, onBed], 'visible', 0.62],
    ['bed, open about 2.5 days', [openFor, onBed], 'strict', 0.12],
    ['bed, open 1 to 14 days', [openLong, onBed], 'visible', 0.24],
    ['bed, open 1 to 14 days', [openLong, onBed], 'strict', 0.02],
    ['fan oven, open about 2.5 days', [openFor, inOven], 'visible', 1],
    ['fan oven, open about 2.5 days', [openFor, inOven], 'strict', 0.88],
  ] as const)('%s: share below the limit (%#)', (name, steps, limit, reference) => {
    const { share, water_wt } = run(steps, limit);
    process.stdout.write(
      `${name}, ${limit}: ${share} (reference ${reference}), left ${water_wt[1].toFixed(3)} wt%\n`,
    );
    expect(Math.abs(share - reference)).toBeLessThan(0.1);
  });
});
