import { describe, expect, it } from 'vitest';
import { leftWords } from './stay-dry-depth.ts';

const HOUR = 3600;
const words = (hours: readonly number[]) => {
  const column = Float64Array.from(hours, (h) => h * HOUR);
  const figures = { 'hours to visible': column, 'hours to strict': column };
  return leftWords({ figures }, new Float64Array(hours.length).fill(1))[1];
};

describe('hours left in the box', () => {
  it('a spool that is too wet from the start in most runs has none, not half an hour', () => {
    expect(words([0, 0, 0, 0, 0, 0, 5, 8, 20, Infinity])).toBe(
      'Nothing printed from it, it passes the strict limit at once in half of the runs or more.',
    );
  });

  it('otherwise half of the runs and 1 in 10 have their time', () => {
    expect(words([10, 10, 10, 10, 10, 10, 10, 10, 10, 10])).toMatch(
      /after 10\sh in half of the runs, after 10\sh in 1/,
    );
  });
});
