import { describe, expect, it } from 'vitest';
import { normalOf, spreadAt } from './spreads.ts';

describe('spreads of the kernels', () => {
  it('meet their medians and bounds', () => {
    expect(spreadAt(3, 1.7)).toBe(3);
    expect(spreadAt({ even: [2, 4] }, 0)).toBe(3);
    expect(spreadAt({ ln: [60, 0.6, 12, 240] }, 0)).toBe(60);
    expect(spreadAt({ ln: [60, 0.6, 12, 240] }, 9)).toBe(240);
    expect(spreadAt({ normal: [1, 0.08, 0.8] }, -9)).toBe(0.8);
    expect(spreadAt({ normal: [1, 0.08] }, 1)).toBeCloseTo(1.08, 12);
    // Triangle: the share below the peak is (peak - low)/(high - low) = 1/3, Phi(-0.4307) = 1/3.
    expect(spreadAt({ tri: [0.1, 0.15, 0.25] }, -0.430727)).toBeCloseTo(0.15, 6);
  });

  it('a column depends on seed and name alone', () => {
    expect(normalOf(1, 'a', 5)).toBe(normalOf(1, 'a', 5));
    expect(normalOf(1, 'a', 5)).not.toBe(normalOf(1, 'b', 5));
    expect(normalOf(1, 'a', 5)).not.toBe(normalOf(2, 'a', 5));
  });
});
