import { describe, expect, it } from 'vitest';
import { eliminateChain, resolveChain } from './chain.ts';

describe('a chain of stores', () => {
  const capacity = Float64Array.from([0.4, 0.3, 0.2, 0.1]);
  const joint = Float64Array.from([0.5, 1.5, 0.7, 2]);
  const old = Float64Array.from([9, 1, 2, 4, 3]);

  it('satisfies every equation of the step for any end value, from any place in the arrays', () => {
    for (const end of [0, 1, -3.5]) {
      const carry = new Float64Array(5);
      const known = new Float64Array(5);
      const x = new Float64Array(5);
      eliminateChain(4, capacity, joint, old, carry, known, 1);
      const content = resolveChain(4, capacity, carry, known, end, x, 1);
      let inflow = 0;
      let total = 0;
      for (let i = 0; i < 4; i++) {
        const outer = i === 3 ? end : x[i + 2]!;
        const out = joint[i]! * (outer - x[i + 1]!);
        expect(capacity[i]! * (x[i + 1]! - old[i + 1]!)).toBeCloseTo(out - inflow, 13);
        inflow = out;
        total += capacity[i]! * x[i + 1]!;
      }
      expect(content).toBeCloseTo(total, 14);
      expect(x[0]).toBe(0);
      // The last store is linear in the end value: this is what eliminates a strand from the spool's system.
      expect(x[4]!).toBeCloseTo(known[4]! + carry[4]! * end, 14);
    }
  });

  it('at rest with its end stays as it is', () => {
    const same = new Float64Array(4).fill(2.5);
    const carry = new Float64Array(4);
    const known = new Float64Array(4);
    eliminateChain(4, capacity, joint, same, carry, known, 0);
    resolveChain(4, capacity, carry, known, 2.5, same, 0);
    for (const value of same) expect(value).toBeCloseTo(2.5, 14);
  });
});
