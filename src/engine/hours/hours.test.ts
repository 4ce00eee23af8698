/** Goal: starts of prints fall into attended hours, in order. Method: a week by hand, and random weeks. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Hours, nextAttended } from './attended.ts';
import { ASSUMED_PAUSE, CHANGE_OVER, startsOf } from './starts.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const office: Hours = {
  there: [
    { days: [1, 2, 3, 4], from: 7.5 * HOUR, to: 17.5 * HOUR },
    { days: [5], from: 7.5 * HOUR, to: 15 * HOUR },
  ],
  away: [2],
};

describe('attended moments', () => {
  it('a moment inside the hours is its own answer, one outside waits for the next', () => {
    expect(nextAttended(office, 8 * HOUR)).toBe(8 * HOUR);
    expect(nextAttended(office, 7 * HOUR)).toBe(7.5 * HOUR);
    expect(nextAttended(office, 17.5 * HOUR)).toBe(DAY + 7.5 * HOUR);
  });

  it('a day off is passed over, and a weekend too, week after week', () => {
    expect(nextAttended(office, DAY + 18 * HOUR)).toBe(3 * DAY + 7.5 * HOUR);
    expect(nextAttended(office, 4 * DAY + 16 * HOUR)).toBe(7 * DAY + 7.5 * HOUR);
    // The Wednesday off is that of the first week alone.
    expect(nextAttended(office, 9 * DAY + 9 * HOUR)).toBe(9 * DAY + 9 * HOUR);
  });

  it('the earlier of two stretches of a day counts', () => {
    const split: Hours = {
      there: [
        { days: [1], from: 14 * HOUR, to: 16 * HOUR },
        { days: [1], from: 8 * HOUR, to: 9 * HOUR },
      ],
      away: [],
    };
    expect(nextAttended(split, 0)).toBe(8 * HOUR);
    expect(nextAttended(split, 10 * HOUR)).toBe(14 * HOUR);
  });

  it('nobody at all is told, and a time before the clock is refused', () => {
    expect(nextAttended({ there: [], away: [] }, 0)).toBeNull();
    expect(() => nextAttended(office, -1)).toThrow(RangeError);
  });
});

describe('starts of prints', () => {
  it('a print that ends at night is followed in the morning', () => {
    const starts = startsOf([4 * HOUR, 2 * HOUR, 2 * HOUR], 15.5 * HOUR, office);
    expect(starts.map((s) => (s + 15.5 * HOUR) / HOUR)).toEqual([16, 24 + 7.5, 24 + 10]);
  });

  it('without known hours the pause is assumed', () => {
    expect(startsOf([HOUR, HOUR], 0, null)).toEqual([CHANGE_OVER, CHANGE_OVER + HOUR + ASSUMED_PAUSE]);
  });

  it('a negative time is refused', () => {
    expect(() => startsOf([-1], 0, null)).toThrow(RangeError);
  });

  it('no print starts before the last has ended and half an hour, nor while nobody is there', () => {
    const stretch = fc.record({
      days: fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 1 }),
      from: fc.integer({ min: 0, max: 86_399 }),
      long: fc.integer({ min: 1, max: 86_400 }),
    });
    fc.assert(
      fc.property(
        fc.array(stretch, { minLength: 1, maxLength: 4 }),
        fc.array(fc.integer({ min: 0, max: 200_000 }), { minLength: 1, maxLength: 6 }),
        fc.integer({ min: 0, max: 600_000 }),
        (stretches, times, ready) => {
          const hours: Hours = {
            there: stretches.map(({ days, from, long }) => ({
              days,
              from,
              to: Math.min(86_400, from + long),
            })),
            away: [1, 5],
          };
          const starts = startsOf(times, ready, hours);
          starts.forEach((start, k) => {
            const before = k === 0 ? 0 : starts[k - 1]! + times[k - 1]!;
            expect(start).toBeGreaterThanOrEqual(before + CHANGE_OVER);
            const clock = ready + start;
            const day = Math.floor(clock / 86_400);
            const second = clock - day * 86_400;
            expect([1, 5]).not.toContain(day);
            expect(
              hours.there.some(
                ({ days, from, to }) => days.includes((day % 7) + 1) && second >= from && second < to,
              ),
            ).toBe(true);
          });
        },
      ),
      { seed: 20261125 },
    );
  });
});
