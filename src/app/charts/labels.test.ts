import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { overlap, pushApart, roundSteps, thatFit } from './labels.ts';

const SEED = 20261125;

describe('labels', () => {
  it('are pushed apart by the gap and stay in their order and between the ends, whatever is wanted', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -50, max: 350, noNaN: true }), { minLength: 1, maxLength: 8 }),
        (wanted) => {
          const placed = pushApart(wanted, 20, 0, 300);
          const order = wanted.map((_, i) => i).sort((a, b) => wanted[a]! - wanted[b]!);
          for (let i = 1; i < order.length; i++)
            expect(placed[order[i]!]! - placed[order[i - 1]!]!).toBeGreaterThanOrEqual(20 - 1e-9);
          expect(Math.min(...placed)).toBeGreaterThanOrEqual(-1e-9);
          expect(Math.max(...placed)).toBeLessThanOrEqual(300 + 1e-9);
        },
      ),
      { seed: SEED },
    );
  });

  it('stay where they are wanted when there is room', () => {
    expect(pushApart([200, 10, 100], 20, 0, 300)).toEqual([200, 10, 100]);
  });

  it('are dropped where they would meet an earlier one', () => {
    const spans: Record<string, readonly [number, number]> = {
      limit: [40, 80],
      near: [70, 90],
      far: [100, 120],
    };
    expect([...thatFit(['limit', 'near', 'far'], (name) => spans[name]!, 6)]).toEqual(['limit', 'far']);
  });

  it('overlap only where both directions do', () => {
    const box = { left: 0, right: 10, top: 0, bottom: 10 };
    expect(overlap(box, { left: 9, right: 20, top: 9, bottom: 20 })).toBe(true);
    expect(overlap(box, { left: 9, right: 20, top: 11, bottom: 20 })).toBe(false);
  });

  it('steps are round, begin at nought, end within the range and are no more than asked for', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        fc.integer({ min: 2, max: 10 }),
        (end, count) => {
          const steps = roundSteps(end, count);
          expect(steps[0]).toBe(0);
          expect(steps.length).toBeLessThanOrEqual(count + 1);
          expect(steps.at(-1)!).toBeLessThanOrEqual(end * (1 + 1e-9));
          const mantissa = steps[1]! / 10 ** Math.floor(Math.log10(steps[1]!) + 1e-9);
          expect([1, 2, 5, 10].some((round) => Math.abs(mantissa - round) < 1e-6)).toBe(true);
        },
      ),
      { seed: SEED },
    );
  });
});
