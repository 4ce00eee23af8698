import { describe, expect, it } from 'vitest';
import { MEASURES as CAMPAIGN_MEASURES } from '../campaign/schema.ts';
import { REASONS as CAMPAIGN_REASONS } from '../campaign/tested.ts';
import type { Layout } from '../engine/curves/reading.ts';
import { REASONS } from '../engine/curves/validity.ts';
import { MEASURES } from '../engine/results/measures.ts';
import { corrected } from './layouts.ts';

// Goal: a correction of columns changes what was said and nothing else, or is refused in a sentence. Method: one layout.

const LAYOUT: Layout = {
  fingerprint: 'ab',
  decimal: '.',
  columns: [
    { role: 'time', unit: 's' },
    { role: 'force', unit: 'N' },
    { role: 'strain', unit: '%' },
  ],
};

describe('a correction', () => {
  it('changes its column alone; of two the last counts', () => {
    const [found] = corrected(
      [LAYOUT],
      [
        { column: 2, role: 'other', unit: null },
        { column: 2, role: 'force', unit: 'kN' },
      ],
      ',',
    );
    expect(found).toEqual({
      fingerprint: 'ab',
      decimal: ',',
      columns: [LAYOUT.columns[0], { role: 'force', unit: 'kN' }, LAYOUT.columns[2]],
    });
    expect(corrected([LAYOUT], [])).toEqual([LAYOUT]);
  });

  it.each([
    [{ column: 4, role: 'force', unit: 'N' }, 'There is no column 4. Expected 1 to 3.'],
    [{ column: 1, role: 'weight', unit: 'N' }, '"weight" is not what a column can be.'],
    [{ column: 1, role: 'force', unit: null }, 'Column 1 has no unit. Expected one of N, kN'],
    [{ column: 1, role: 'force', unit: 'mm' }, '"mm" is no unit of force.'],
  ])('%o is refused', (said, words) => {
    expect(() => corrected([LAYOUT], [said])).toThrow(words);
  });
});

describe('words of the campaign', () => {
  it('are those that the engine knows', () => {
    expect([...CAMPAIGN_REASONS]).toEqual(REASONS.map(({ code }) => code));
    expect([...CAMPAIGN_MEASURES]).toEqual([...MEASURES]);
  });
});
