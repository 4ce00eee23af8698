import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chanceOf, fates, verdict, wholeRuns } from './verdict.ts';

const even = (count: number) => new Float64Array(count).fill(1);

describe('verdict', () => {
  it('two links that fail in the same draws do not fail twice', () => {
    const same = Float64Array.from([1, 1, 0, 1]);
    expect(verdict([same, same], even(4)).chain).toBeCloseTo(0.75, 12);
    expect(verdict([same, Float64Array.from([0, 1, 1, 1])], even(4)).chain).toBeCloseTo(0.5, 12);
  });

  it('without scatter a link holds or does not; an endless margin holds', () => {
    expect([...chanceOf(Float64Array.from([-1e-9, 0, Number.POSITIVE_INFINITY]), 0)]).toEqual([0, 1, 1]);
    expect(chanceOf(Float64Array.from([Number.POSITIVE_INFINITY]), 0.2)[0]).toBe(1);
    expect(chanceOf(Float64Array.from([0]), 0.2, Float64Array.from([0.8]))[0]).toBeCloseTo(0.4, 12);
  });

  it('lost, spoiled and counting runs add up to all runs, whatever the chances', () => {
    const column = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 5, maxLength: 5 });
    fc.assert(
      fc.property(fc.array(fc.tuple(column, column), { minLength: 1, maxLength: 8 }), (links) => {
        const off = links.map(([p]) => Float64Array.from(p));
        const both = links.map(([p, r]) => Float64Array.from(p, (x, i) => x * r[i]!));
        const { lost, spoiled, counts } = fates(off, both, even(5));
        const sum = [...lost, ...spoiled].reduce((a, b) => a + b, counts);
        expect(sum).toBeCloseTo(1, 10);
        expect(counts).toBeCloseTo(verdict(both, even(5)).chain, 10);
        const shown = wholeRuns([...lost, ...spoiled, counts], 20);
        expect(shown.reduce((a, b) => a + b, 0)).toBe(20);
      }),
      { seed: 20261125 },
    );
  });

  it('whole runs go to the largest remainders', () => {
    expect(wholeRuns([0.33, 0.33, 0.34], 20)).toEqual([7, 6, 7]);
  });
});
