import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factorBanded, solveBanded } from './banded.ts';

/** Plain Gaussian elimination on the full matrix: slow and obvious. */
function solveFull(matrix: number[][], right: number[]): number[] {
  const n = right.length;
  const a = matrix.map((row, i) => [...row, right[i]!]);
  for (let k = 0; k < n; k++)
    for (let i = k + 1; i < n; i++) {
      const factor = a[i]![k]! / a[k]![k]!;
      for (let j = k; j <= n; j++) a[i]![j]! -= factor * a[k]![j]!;
    }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = a[i]![n]!;
    for (let j = i + 1; j < n; j++) sum -= a[i]![j]! * x[j]!;
    x[i] = sum / a[i]![i]!;
  }
  return x;
}

describe('banded L D L^T', () => {
  it('solves the same as full elimination, for any size and width', () => {
    const arbitrary = fc.record({
      size: fc.integer({ min: 1, max: 24 }),
      width: fc.integer({ min: 1, max: 7 }),
      numbers: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 220, maxLength: 220 }),
    });
    fc.assert(
      fc.property(arbitrary, ({ size, width, numbers }) => {
        const stride = width + 1;
        const band = new Float64Array(size * stride);
        const full = Array.from({ length: size }, () => new Array<number>(size).fill(0));
        let next = 0;
        for (let i = 0; i < size; i++) {
          full[i]![i] = 2 * stride + numbers[next++ % 220]!; // dominant, hence positive definite
          band[i * stride] = full[i]![i]!;
          for (let k = 1; k <= width; k++) {
            const entry = numbers[next++ % 220]!;
            band[i * stride + k] = entry; // also where k > i: must not be read
            if (k <= i) {
              full[i]![i - k] = entry;
              full[i - k]![i] = entry;
            }
          }
        }
        const right = Array.from({ length: size }, () => numbers[next++ % 220]!);
        const x = Float64Array.from(right);
        factorBanded(band, size, width);
        solveBanded(band, size, width, x);
        for (const [i, value] of solveFull(full, right).entries()) expect(x[i]!).toBeCloseTo(value, 12);
      }),
      { seed: 11, numRuns: 200 },
    );
  });

  it('names the row of a matrix that is not positive definite', () => {
    expect(() => factorBanded(Float64Array.from([1, 0, 1, 2]), 2, 1)).toThrow(/row 1/);
  });
});
