import { describe, expect, it } from 'vitest';
import { weightedQuantile } from './weighted-quantile.ts';

describe('weighted quantiles', () => {
  it('of equal weights follow the (k - 1/2)/n rule', () => {
    const values = [4, 1, 3, 2];
    const equal = [1, 1, 1, 1];
    expect(weightedQuantile(values, equal, 0.125)).toBe(1);
    expect(weightedQuantile(values, equal, 0.5)).toBe(2.5);
    expect(weightedQuantile(values, equal, 0.99)).toBe(4);
  });
  it('pass over values without weight and do not mind the scale of the weights', () => {
    expect(weightedQuantile([100, 1, 2], [0, 1, 1], 0.5)).toBe(1.5);
    expect(weightedQuantile([100, 1, 2], [0, 7, 7], 0.5)).toBe(1.5);
    expect(weightedQuantile([5], [0.1], 0.3)).toBe(5);
  });
  it('refuse values that have no weight at all', () => {
    expect(() => weightedQuantile([1], [0], 0.5)).toThrow(RangeError);
  });
});
