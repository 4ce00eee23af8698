import { describe, expect, it } from 'vitest';
import { halfWidth, lengthBetweenBroad, planArea } from '../bars/shapes.ts';
import { equivalentLength, specimenFault, specimenOf, specimenTypes } from './specimen.ts';

// Goal: geometry of the bars. Method: closed forms against sums over thin slices, and what the standards print.

const bars = specimenTypes.map((type) => [type, specimenOf(type)!] as const);

describe('specimen', () => {
  it.each(bars)('%s: the exact area is that of its outline in slices', (_, bar) => {
    const n = 20_000;
    const step = bar.length / 2 / n;
    let sum = 0;
    for (let k = 0; k < n; k++) sum += 4 * halfWidth(bar, (k + 0.5) * step) * step;
    expect(planArea(bar)).toBeCloseTo(sum, 9);
    expect(Math.abs(planArea(bar) / sum - 1)).toBeLessThan(1e-6);
  });

  it.each(bars)(
    '%s: the equivalent length is that of its outline in slices, and below the grip distance',
    (_, bar) => {
      const n = 20_000;
      const step = bar.gripDistance / 2 / n;
      let sum = 0;
      for (let k = 0; k < n; k++)
        sum += (2 * step * bar.widthNarrow) / (2 * halfWidth(bar, (k + 0.5) * step));
      expect(Math.abs(equivalentLength(bar) / sum - 1)).toBeLessThan(1e-6);
      expect(equivalentLength(bar)).toBeLessThanOrEqual(bar.gripDistance);
    },
  );

  it('1BA has 58.00 mm between its broad parts (ISO 527-2, from memory: 58 +- 2)', () => {
    expect(lengthBetweenBroad(specimenOf('1BA')!) * 1000).toBeCloseTo(58, 2);
  });

  it('a bar of one width gives as much as its own length', () => {
    const bar = { ...specimenOf('1B')!, widthBroad: 0.01 };
    expect(equivalentLength(bar)).toBeCloseTo(0.115, 12);
    expect(planArea(bar)).toBeCloseTo(0.15 * 0.01, 12);
  });

  it('says what keeps sizes from being a bar', () => {
    const bar = specimenOf('1B')!;
    expect(specimenFault(bar)).toBe(null);
    expect(specimenFault({ ...bar, radius: 0.004 })).toContain('do not rise by the 5 mm');
    expect(specimenFault({ ...bar, widthBroad: 0.008 })).toContain('narrower than the middle');
    expect(specimenFault({ ...bar, length: 0.1 })).toContain('more than the overall length');
    expect(specimenFault({ ...bar, gripDistance: 0.2 })).toContain('200 mm apart');
  });
});
