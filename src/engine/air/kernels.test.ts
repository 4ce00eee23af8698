import { describe, expect, it } from 'vitest';
import { Refusal } from '../kernel.ts';
import { kernels } from './kernels.ts';

const run = (name: string, inputs: unknown) => {
  const kernel = kernels.find((k) => k.name === name)!;
  return kernel.outputs.parse(kernel.run(kernel.inputs.parse(inputs), {} as never)) as Record<string, number>;
};

describe('the kernels of air', () => {
  it('saturation runs from freezing to 200 C and stays over water', () => {
    expect(run('air.saturation', { T_C: 0 })['p_Pa']).toBeCloseTo(611.2, 0);
    expect(run('air.saturation', { T_C: 0 })['p_Pa']).toBeLessThan(
      run('air.saturation', { T_C: 0.02 })['p_Pa']!,
    );
    expect(() => run('air.saturation', { T_C: 201 })).toThrow();
  });

  it('dry air has no dew point', () => {
    expect(run('air.state', { T_C: 23, rh: 0 })['dew_C']).toBeNull();
  });

  it('refuses what cannot be computed, in one sentence', () => {
    expect(() => run('air.state', { T_C: 120, rh: 1 })).toThrow(Refusal);
    expect(() => run('air.heated', { room_C: 23, room_rh: 0.5, T_C: 5 })).toThrow(/condense/);
    expect(() => run('air.steam', { T_C: 20, more: 1 })).toThrow();
  });
});
