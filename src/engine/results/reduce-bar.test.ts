import { describe, expect, it } from 'vitest';
import { barNamed } from './bar-names.ts';
import { facts, ORIGIN, recorded, TEST } from './bars.fixture.ts';
import { reduceBar } from './reduce-bar.ts';

// Goal: the section that a stress rests on is the one that the person measured, and what else it may rest on is told.
// Method: one straight curve of 4000 N at 2 % strain, so that strength and modulus are known by hand.

const reduce = (said: Parameters<typeof facts>[1] = {}, measures = {}, density: number | null = null) =>
  reduceBar(facts('A1', said), recorded('A1', 4000, measures), ORIGIN, TEST, density);

describe('a bar', () => {
  it('has the means of its readings in its stress', () => {
    const bar = reduce({ width: [0.0099, 0.01, 0.0101], thickness: [0.00399, 0.004, 0.00401] });
    expect(bar.strength).toBeCloseTo(100e6, 0);
    expect(bar.reduction.modulusRegression).toBeCloseTo(5e9, 0);
    expect(bar.sectionFrom).toBe('readings');
  });

  it('with an area given has that and no other section', () => {
    const bar = reduce({ area: { value: 50e-6, u: 0.25e-6 } });
    expect(bar.strength).toBeCloseTo(80e6, 0);
    expect(bar.sectionFrom).toBe('area given');
    // 0.5 % of the area and 0.577 % of the force, by hand.
    expect(bar.uncertainty!.relative).toBeCloseTo(Math.hypot(0.005, 0.01 / Math.sqrt(3)), 12);
    expect(reduce({ area: { value: 50e-6, u: null } }).uncertainty).toBeNull();
  });

  it('that nobody measured takes the sizes in the file, told as such, and none where there are none', () => {
    const bar = reduce({ width: [], thickness: [] }, { width: 0.01, thickness: 0.005 });
    expect(bar.strength).toBeCloseTo(80e6, 0);
    expect(bar.sectionFrom).toBe('the file');
    expect(() => reduce({ width: [], thickness: [] })).toThrow('no width and no thickness');
    expect(() => reduce({ thickness: [] })).toThrow('Bar A1 has no thickness');
  });

  it('is uncertain by force, caliper and ridges as in the guide to uncertainty, by hand', () => {
    const { uncertainty } = reduce();
    const side = (size: number) => ((1e-5 / Math.sqrt(3)) ** 2 + (2 * 3e-5 ** 2) / 12) / size ** 2;
    expect(uncertainty!.relative).toBeCloseTo(Math.sqrt(0.01 ** 2 / 3 + side(0.01) + side(0.004)), 12);
    expect(uncertainty!.expanded).toBeCloseTo(2 * uncertainty!.relative * 100e6, 3);
    expect(uncertainty!.largest).toBe('force');
  });

  it('is asked about where a reading lies more than 2 % from the mean, and keeps it', () => {
    const { questions, width } = reduce({ width: [0.01, 0.01, 0.0104] });
    expect(questions).toEqual([
      'One reading of the width, 10.4 mm, lies more than 2 % from the mean of 10.13 mm. Measure it again?',
    ]);
    expect(width).toBeCloseTo(0.0304 / 3, 12);
  });

  it('of half the mass of a sound one shows half its section by mass', () => {
    const covariates = { layerTime: null, water: null, plateOrder: null, testOrder: null };
    const whole = reduce({ covariates: { ...covariates, mass: 0.009 } }, {}, 1200).massSection!;
    expect(reduce({ covariates: { ...covariates, mass: 0.0045 } }, {}, 1200).massSection).toBeCloseTo(
      whole / 2,
      12,
    );
    // Plan of a 1B bar 2045 mm2 (bars.geometry), 4 mm thick, 1200 kg/m3: 9.8 g.
    expect(0.009 / whole).toBeCloseTo(0.0098, 3);
  });
});

describe('a name in a file', () => {
  const bars = [facts('F01'), facts('F11'), facts('U-1', { called: 'specimen 7' }), facts('F1a')];
  it.each([
    ['F01', 'F01'],
    ['f-1', 'F01'],
    ['F 001', 'F01'],
    ['F11', 'F11'],
    ['specimen 7', 'U-1'],
    ['Specimen-07', 'U-1'],
    ['F1A', 'F1a'],
  ])('%s is %s', (name, bar) => {
    expect(barNamed(name, bars)?.bar).toBe(bar);
  });

  it('that fits no bar, or two, is nobody', () => {
    expect(barNamed('Q1', bars)).toBeNull();
    expect(barNamed('f1', [facts('F1'), facts('F01')])).toBeNull();
  });
});
