import { describe, expect, it } from 'vitest';
import { heatedHumidity, vapourDensity, vapourDiffusivity } from './vapour.ts';

const K = 273.15;

describe('heated room air', () => {
  it('of 23 C and 50 % is 5.6 % at 65 C and 2.0 % at 90 C', () => {
    expect(heatedHumidity(23 + K, 0.5, 65 + K)).toBeCloseTo(0.0561, 4);
    expect(heatedHumidity(23 + K, 0.5, 90 + K)).toBeCloseTo(0.02, 4);
  });

  it('has its own humidity when nothing is heated', () => {
    expect(heatedHumidity(300, 0.37, 300)).toBeCloseTo(0.37, 14);
  });
});

describe('water vapour', () => {
  it('of saturated air at 20 C is 17.3 g/m3', () => {
    // Handbook tables of absolute humidity (from memory): 17.3 g/m3 at 20 C.
    expect(vapourDensity(2339, 20 + K)).toBeCloseTo(0.0173, 4);
  });

  it('diffuses in air at 25 C with 2.5e-5 to 2.6e-5 m2/s', () => {
    // Handbook range at 25 C (from memory): 2.49e-5 .. 2.60e-5.
    const d = vapourDiffusivity(25 + K);
    expect(d).toBeGreaterThan(2.45e-5);
    expect(d).toBeLessThan(2.65e-5);
    expect(vapourDiffusivity(273.15)).toBeCloseTo(2.178e-5, 12);
  });
});
