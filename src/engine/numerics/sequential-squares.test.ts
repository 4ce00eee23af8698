import { describe, expect, it } from 'vitest';
import { coefficients, orthonormal, residual, sequentialSquares } from './sequential-squares.ts';

const column = (...values: number[]) => Float64Array.from(values);

describe('sequential sums of squares', () => {
  it('add up to the whole, each term taking what is left to it', () => {
    const y = column(3, 1, 4, 1, 5, 9, 2, 6);
    const ones = [new Float64Array(8).fill(1)];
    const a = [column(1, 1, 1, 1, 0, 0, 0, 0), column(0, 0, 0, 0, 1, 1, 1, 1)];
    const b = [column(1, 0, 1, 0, 1, 0, 0, 0)];
    const { ss, df, ssRest, dfRest } = sequentialSquares(y, [ones, a, b]);
    const whole = y.reduce((sum, value) => sum + value * value, 0);
    expect(ss[0]! + ss[1]! + ss[2]! + ssRest).toBeCloseTo(whole, 11);
    expect(df).toEqual([1, 1, 1]);
    expect(dfRest).toBe(5);
    // Means 9/4 and 22/4 about 31/8: 4 (13/8)^2 + 4 (13/8)^2.
    expect(ss[1]).toBeCloseTo(8 * (13 / 8) ** 2, 12);
  });

  it('leave out columns that depend on earlier ones', () => {
    const basis = orthonormal([column(1, 2, 3), column(2, 4, 6), column(0, 1, 0)]);
    expect(basis.kept).toEqual([0, 2]);
  });

  it('give the coefficients and variances of a straight line', () => {
    const x = column(1, 2, 4, 7);
    const ones = column(1, 1, 1, 1);
    const y = x.map((value) => 3 - 2 * value);
    const basis = orthonormal([ones, x]);
    const { values, varianceOf } = coefficients(basis, residual(basis, y).effects);
    expect(values[0]).toBeCloseTo(3, 12);
    expect(values[1]).toBeCloseTo(-2, 12);
    // Sxx = 70 - 49 = 21; var(b0) = 1/4 + 3.5^2/21.
    expect(varianceOf(column(0, 1))).toBeCloseTo(1 / 21, 13);
    expect(varianceOf(column(1, 0))).toBeCloseTo(1 / 4 + 3.5 ** 2 / 21, 13);
    expect(varianceOf(column(1, 3.5))).toBeCloseTo(1 / 4, 13);
  });
});
