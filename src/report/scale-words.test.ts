/**
 * Goal: what the scale should show, and what its readings have said, is told in sentences with the figures of the draws.
 * Method: curves made by hand: 100 g go with plate A, and 1 g of water comes in the night after it.
 */
import { describe, expect, it } from 'vitest';
import type { Assessment } from '../engine/links/link.ts';
import type { Job, Print, Weighing } from '../job.ts';
import { scaleWords } from './scale-words.ts';

const HOUR = 3600;
const print = (plate: string, start: number): Print => ({
  plate,
  start: start * HOUR,
  time: 5 * HOUR,
  mass: 0.1,
  flow: 5e-9,
  from: 'file',
});
const prints = [print('A', 1), print('B', 16), print('C', 40)];
const found = {
  traces: {
    lighter: {
      axis: Float64Array.from([0, 1, 6, 16, 21, 40, 45].map((t) => t * HOUR)),
      rows: Float64Array.from([0, 0, 0.1, 0.099, 0.199, 0.198, 0.298]),
    },
  },
} as unknown as Assessment;
const words = (weighings: readonly Weighing[], dried: readonly { at: number; mass: number }[] = []) =>
  scaleWords(
    { prints, weighings, drying: { time: 8 * HOUR, weighings: dried } } as unknown as Job,
    found,
    Float64Array.of(1),
  )
    .join(' ')
    .replace(/\s/g, ' ');
const at = (hours: number, grams: number, plate: string): Weighing => ({
  at: hours * HOUR,
  mass: grams / 1000,
  plate,
});
const DRY = [{ at: 8 * HOUR, mass: 1 }];

describe('words of the scale', () => {
  it('offer the dry weight and foretell what it shows before each later plate', () => {
    const told = words([]);
    expect(told).toContain('Right after its best drying weigh the spool once more');
    expect(told).toMatch(/before plate B 99(\.0)? g less .*; before plate C 198(\.0)? g less /);
    expect(told).not.toContain('before plate A');
    expect(words([], DRY)).not.toContain('Right after its best drying');
    // A reading in the middle of the drying is no dry weight.
    expect(words([], [{ at: 4 * HOUR, mass: 1 }])).toContain('Right after its best drying');
  });

  it('say what plates took by the scale and by their files', () => {
    expect(words([at(6, 880, 'A')], DRY)).toContain('By the scale plate A took 120 g, by its file 100 g');
    expect(words([at(21, 780, 'B')], DRY)).toContain(
      'By the scale plate A, B took 220 g, by their files 200 g',
    );
    expect(words([at(6, 1001, 'A')], DRY)).toContain('a weighing is off, and the files are believed');
  });

  it('say how the spool changed in a night beside what was foretold', () => {
    const told = words([at(6, 880, 'A'), at(16, 882, 'A')], DRY);
    expect(told).toMatch(/the spool has changed by \+2(\.0)? g; foretold was 1(\.0+)? g/);
    expect(words([at(6, 880, 'A'), at(16, 879, 'A')], DRY)).toMatch(/changed by [-−]1(\.0)? g/);
  });
});
