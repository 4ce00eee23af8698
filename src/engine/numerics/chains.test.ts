import { describe, expect, it } from 'vitest';
import { stepAcross, stepAlong } from './chains.ts';
import { uniformStream } from './random.ts';
import { solveTridiagonal } from './tridiagonal.ts';

// Goal: each step solves its equations exactly. Method: put the answer back into the balance of each store.

const random = uniformStream(7);
const some = (n: number, least = 0.1) => Float64Array.from({ length: n }, () => least + random());

describe('chains of stores', () => {
  for (const size of [1, 3, 4, 7]) {
    it(`across, ${size} stores: what each store gains is what flows into it`, () => {
      const count = 5;
      const capacity = some(count * size);
      const joint = some(size);
      const endJoint = some(count);
      const end = some(count);
      const old = some(count * size);
      const x = old.slice();
      stepAcross(count, size, capacity, joint, endJoint, end, x, new Float64Array(x.length));
      for (let i = 0; i < count; i++) {
        for (let j = 0; j < size; j++) {
          const m = i * size + j;
          const from = j > 0 ? joint[j - 1]! * (x[m - 1]! - x[m]!) : 0;
          const outer = j < size - 1 ? joint[j]! * (x[m + 1]! - x[m]!) : endJoint[i]! * (end[i]! - x[m]!);
          expect(capacity[m]! * (x[m]! - old[m]!)).toBeCloseTo(from + outer, 12);
        }
      }
    });

    it(`along, ${size} chains: what each store gains is what flows into it, and the ends are closed`, () => {
      const count = 6;
      const capacity = some(count * size);
      const joint = some(size);
      const old = some(count * size);
      const x = old.slice();
      stepAlong(count, size, capacity, joint, x, new Float64Array(x.length));
      for (let i = 0; i < count; i++) {
        for (let j = 0; j < size; j++) {
          const m = i * size + j;
          const below = i > 0 ? joint[j]! * (x[m - size]! - x[m]!) : 0;
          const above = i < count - 1 ? joint[j]! * (x[m + size]! - x[m]!) : 0;
          expect(capacity[m]! * (x[m]! - old[m]!)).toBeCloseTo(below + above, 12);
        }
      }
    });
  }
});

describe('tridiagonal', () => {
  it('solves a system whose matrix is not symmetric', () => {
    const below = Float64Array.of(0, -1, -2, -0.5);
    const diagonal = Float64Array.of(3, 4, 5, 2);
    const above = Float64Array.of(-1, -0.5, -1, 0);
    const want = [1, -2, 3, 0.5];
    const right = Float64Array.from(
      want,
      (x, i) =>
        diagonal[i]! * x + (below[i] ?? 0) * (want[i - 1] ?? 0) + (above[i] ?? 0) * (want[i + 1] ?? 0),
    );
    solveTridiagonal(4, below, diagonal, above, right, new Float64Array(4));
    for (const [i, x] of want.entries()) expect(right[i]).toBeCloseTo(x, 14);
  });
});
