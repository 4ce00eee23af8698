import { describe, expect, it } from 'vitest';
import { kernels } from './kernels.ts';

const run = (name: string, inputs: unknown) => {
  const kernel = kernels.find((k) => k.name === name)!;
  return kernel.outputs.parse(kernel.run(kernel.inputs.parse(inputs), {} as never)) as Record<string, never>;
};
const small = { cells: [3, 3], nodes: 4, dt_s: 600 };
const dry = { polymer: 'pa6-cf-15', c0: 0.012, T_start: 296.15, hours: 2, grid: small };

describe('the kernels of moisture', () => {
  it('refuse input that cannot be computed and name it', () => {
    expect(() => run('moisture.balance', { T_C: 23, rh: 0.5, polymer: 'rope' })).toThrow(/"rope"/);
    expect(() => run('moisture.spool', { ...dry, spool: { m_net: 3 } })).toThrow(/m_net = 3/);
    expect(() => run('moisture.spool', { ...dry, spool: { ro: 0.04 } })).toThrow(/ro = 0.04/);
    expect(() => run('moisture.spool', { ...dry, box: { T_bed: 600 } })).toThrow(/T_bed = 600/);
    expect(() => run('moisture.spool', { ...dry, hours: 1e9 })).toThrow(/steps/);
    expect(() => run('moisture.spool', { ...dry, polymer: { card: 'pa6-cf-15', D23: 0 } })).toThrow(
      /D23 = 0/,
    );
    expect(() => run('moisture.soak', { T_C: 23, rh: 0.5, c0: 0, polymer: 'pa6-cf-15' })).toThrow(/d_mm/);
    expect(() => run('moisture.soak', { d_mm: 1, T_C: 23, rh: 0.5, c0: 0, polymer: 'pa6-cf-15' })).toThrow(
      /hours/,
    );
    expect(() => run('moisture.series', { shape: 'hollow', ri: 2, ro: 1, Dt: 1 })).toThrow(/no wall/);
    expect(() => run('moisture.series', { shape: 'sheet', Fo: 1e-12 })).toThrow(/terms/);
    expect(() => run('moisture.spool', { ...dry, wetness: 1 })).toThrow();
  });

  it('impossible moments are null', () => {
    const out = run('moisture.spool', { ...dry, target_wt: 0.01, limit_wt: 5 });
    expect(out['hoursToTarget']).toBeNull();
    expect(out['hoursToLimit']).toBeNull();
    expect(
      run('moisture.soak', { d_mm: 1.75, T_C: 23, rh: 0, c0: 0, hours: 1, polymer: 'pa6-cf-15' })['share'],
    ).toBeNull();
    expect(run('moisture.melt', { w_wt: 0, wp: 0.85, T_C: 270 })['Mn_g_mol']).toBeNull();
  });

  it('the curves begin at the start and end with the answer', () => {
    const out = run('moisture.spool', { ...dry, series: true, target_wt: 0.99 }) as never as {
      mean_wt: number;
      hoursToTarget: number;
      series: Record<string, number[]>;
    };
    expect(out.series['hours']).toHaveLength(13);
    expect(out.series['mean_wt']![0]).toBeCloseTo(1.0097, 3);
    expect(out.series['mean_wt']![12]).toBeCloseTo(out.mean_wt, 12);
    expect(out.series['loss_g']![0]).toBe(0);
    expect(out.series['Tmax_C']![12]!).toBeGreaterThan(out.series['Tmin_C']![12]!);
    // The moment lies where both curves have passed: mean below 0.99 and worst below 1.5 times it.
    const row = out.series['mean_wt']!.findIndex((w, i) => w < 0.99 && out.series['worst_wt']![i]! < 1.485);
    expect(out.hoursToTarget).toBeLessThanOrEqual(out.series['hours']![row]!);
    expect(out.hoursToTarget).toBeGreaterThanOrEqual(out.series['hours']![row - 1]!);
  });

  const ensemble = {
    polymer: { card: 'pa6-cf-15', D23: { ln: [2e-13, 0.4] } },
    start_wt: { even: [0.8, 1.2] },
    steps: [{ box: { ach: { ln: [15, 0.8] } }, hours: 4, flips_h: [2], dt_s: 600 }],
    limits: { strict: 0.2, visible: { even: [0.25, 0.55] } },
    ask: { water: 'worst', when: 'end', is: 'below', limit: 'visible' },
    draws: 32,
    seed: 3,
    grid: { cells: [3, 3], nodes: 4 },
  };

  it('the same seed gives the same numbers, another seed others', () => {
    expect(run('moisture.ensemble', ensemble)).toEqual(run('moisture.ensemble', ensemble));
    expect(run('moisture.ensemble', ensemble)).not.toEqual(
      run('moisture.ensemble', { ...ensemble, seed: 4 }),
    );
  });

  it('the same steps are never better than themselves, a longer drying always is', () => {
    const than = (steps: unknown) => ({
      ...ensemble,
      ask: { water: 'mean', when: 'end', is: 'below', than: steps },
    });
    expect(run('moisture.ensemble', than(ensemble.steps))['share']).toBe(0);
    const shorter = [{ ...ensemble.steps[0], hours: 2, flips_h: [1] }];
    expect(run('moisture.ensemble', than(shorter))['share']).toBe(1);
  });

  it('a word in a box stands for another entry of it, and for nothing else', () => {
    const boxed = (box: unknown) => ({ ...ensemble, draws: 2, steps: [{ box, hours: 1, dt_s: 600 }] });
    const room = { mode: 'air', T_room: { even: [290, 300] }, T_amb: 'T_room', T_set: 'T_amb' };
    expect(run('moisture.ensemble', boxed(room))['share']).toBe(0);
    expect(() => run('moisture.ensemble', boxed({ ...room, T_set: 'warm' }))).toThrow(/"warm"/);
    expect(() => run('moisture.ensemble', boxed({ ...room, T_amb: 'T_set' }))).toThrow(/names/);
  });

  it('a weighing narrows the start, one beyond belief says so', () => {
    const weigh = {
      polymer: ensemble.polymer,
      box: {},
      start_wt: { even: [0.2, 2] },
      hours: 4,
      scaleSd_g: 0.29,
      draws: 128,
      seed: 5,
      grid: small,
    };
    const found = run('moisture.weigh', {
      ...weigh,
      weighings: [
        { hours: 2, loss_g: 2 },
        { hours: 4, loss_g: 4 },
      ],
    }) as never as {
      start_wt: number[];
      believable: boolean;
      effective: number;
    };
    expect(found.believable).toBe(true);
    expect(found.start_wt[2]! - found.start_wt[0]!).toBeLessThan(0.9 * (1.91 - 0.29));
    const off = run('moisture.weigh', { ...weigh, weighings: [{ hours: 4, loss_g: 500 }] });
    expect(off).toEqual({ start_wt: null, left_wt: null, D23: null, effective: 0, believable: false });
    expect(() => run('moisture.weigh', { ...weigh, weighings: [{ hours: 9, loss_g: 1 }] })).toThrow(/9 h/);
    expect(() =>
      run('moisture.weigh', {
        ...weigh,
        polymer: 'pa6-cf-15',
        start_wt: 1,
        weighings: [{ hours: 4, loss_g: 3 }],
      }),
    ).toThrow(/uncertain/);
  });
});
