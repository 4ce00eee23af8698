import { describe, expect, it } from 'vitest';
import { campaignRows, piecesOf, valueAxis } from './over-campaign.tsx';

/** Goal: curves over a campaign stop where nothing prints, and the axis holds all that is drawn. */
const HOURS = [0, 1, 2, 3, 4, 5, 6];
const PRINTS = [
  { plate: 'A', from: 1, to: 2, words: '' },
  { plate: 'B', from: 2, to: 3, words: '' },
  { plate: 'C', from: 5, to: 6, words: '' },
];

describe('a curve over the campaign', () => {
  it('has a piece for each print, also where one follows the other at once', () => {
    const values = [null, 1, 1, 1, null, 1, 1];
    expect(piecesOf(HOURS, PRINTS, false, values)).toEqual([
      [1, 2],
      [2, 3],
      [5, 6],
    ]);
  });

  it('goes on through the waits where it has values there', () => {
    expect(piecesOf(HOURS, PRINTS, true, [1, 1, 1, 1, 1, 1, 1])).toEqual([[0, 1, 2, 3, 4, 5, 6]]);
  });

  it('has an axis above bands and limits', () => {
    const band = { low: [0.1, null], median: [0.2, null], high: [0.3, null] };
    const of = (limit: number) =>
      valueAxis({
        hours: [0, 1],
        prints: PRINTS,
        curves: [{ words: '', band, kind: '' }],
        limits: [{ value: limit, label: '' }],
        unit: 'wt %',
        finding: '',
      });
    expect(of(0.2).top).toBeGreaterThan(0.3);
    expect(of(0.45).top).toBeGreaterThan(0.45);
    expect(of(0.45).steps.every((step) => step <= of(0.45).top)).toBe(true);
  });

  it('tells start, middle and end of each print in its table', () => {
    expect(campaignRows({ hours: HOURS, prints: PRINTS }).map(({ words }) => words)).toEqual([
      'A, start',
      'A, end',
      'B, start',
      'B, end',
      'C, start',
      'C, end',
    ]);
  });
});
