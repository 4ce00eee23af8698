import { describe, expect, it } from 'vitest';
import { desiccantBudget, heatCap } from './advice.ts';
import { boxMedians } from './kernel-defaults.ts';
import { toPlace } from './kernel-inputs.ts';

const K = 273.15;

describe('the cap on heat', () => {
  it('is the least of strand, spool and device, and says which', () => {
    expect(heatCap({ strand: 90 + K, spool: { limit: 110 + K }, device: 100 + K })).toEqual({
      temperature: 90 + K,
      ruledBy: 'strand',
    });
    expect(heatCap({ strand: 120 + K, spool: { softens: 105 + K }, device: 100 + K })).toEqual({
      temperature: 90 + K,
      ruledBy: 'spool',
    });
    expect(heatCap({ strand: 120 + K, spool: { limit: 110 + K }, device: 80 + K }).ruledBy).toBe('device');
  });

  it('is 70 C while a limit of strand or spool is not known, or less', () => {
    expect(heatCap({ strand: 90 + K, spool: null, device: null })).toEqual({
      temperature: 70 + K,
      ruledBy: 'spool limit not known',
    });
    expect(heatCap({ strand: null, spool: { limit: 120 + K }, device: 200 + K }).temperature).toBe(70 + K);
    expect(heatCap({ strand: null, spool: { softens: 60 + K }, device: null })).toEqual({
      temperature: 45 + K,
      ruledBy: 'spool',
    });
  });
});

describe('the budget of a desiccant', () => {
  const box = {
    ...boxMedians,
    mode: 'air' as const,
    V: 0.03,
    ach: 0.05,
    A_cov: 0,
    pi_cov: 0,
    T_amb: 296.15,
    T_set: 296.15,
    m_des: 0.2,
    q0: 0.02,
    k_des: 1e-4,
  };

  it('is what it can still take by what leaks in', () => {
    // 0.2 kg of gel from 2 % to its balance at 20 %: 19.4 g. 30 l with 0.05 changes an hour of air that holds
    // 10.28 g/m3 (23 C, 50 %), less 4.11 g/m3 at 20 %: 9.25 mg/h. Handbook shape and vapour densities, by hand.
    const hours = desiccantBudget(toPlace(box as never), 296.15, 0.2) / 3600;
    expect(hours / (19.43 / 9.25e-3)).toBeCloseTo(1, 2);
  });

  it('is nothing when used up and endless in a room as dry as the box', () => {
    expect(desiccantBudget(toPlace({ ...box, q0: 0.3 } as never), 296.15, 0.2)).toBe(0);
    expect(desiccantBudget(toPlace({ ...box, rh_amb: 0.2 } as never), 296.15, 0.2)).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(desiccantBudget(toPlace({ ...box, m_des: 0 } as never), 296.15, 0.2)).toBe(0);
  });
});
