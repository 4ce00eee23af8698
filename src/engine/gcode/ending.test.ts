import { describe, expect, it } from 'vitest';
import { compare, LINES, type Planned } from './against.ts';
import { flowOf } from './flow.ts';
import { readGcodeBytes } from './print.ts';
import { factorFromDuration, surfaceTime, timeOf, timeQuantiles, timeSurface, withFactor } from './retime.ts';
import { PRINT, TRAVEL } from './segments.ts';
import { trialCard } from './trial.ts';

// Goal: the end of a file, its comparison with a plan and its time with another machine are told as the rules say.
// Method: one short print with many tails and many plans; times by hand.

const body = `G90\nM83\nM140 S100\nM109 S270\nM106 S51\n${[0.2, 0.4, 0.6]
  .map(
    (z) =>
      `G1 Z${z} F600\nG0 X0 Y0 F6000\nG1 E0.8 F1800\nG1 X100 E4 F3000\nG1 Y50 E2\nG1 X0 E4\nG1 Y0 E2\nG1 E-0.8 F1800\n`,
  )
  .join('')}G1 E0.8 F1800\nG1 X50 E2 F3000\n`;
const read = (tail: string, head = body) =>
  readGcodeBytes(new TextEncoder().encode(head + tail), trialCard, 'made');
const ending = (tail: string) => read(tail).ending!;

describe('the end of a file', () => {
  it('is cold when the nozzle goes off within a minute, and the strand sets when it has cooled to 215 C', () => {
    const found = ending('G1 E-2 F1200\nG4 S30\nM104 S0\nM140 S0\n');
    expect(found.end).toBe('cold');
    expect(found.nozzleHeldS).toBeCloseTo(30 + 2 / 20 + 20 / 2000, 6);
    expect(found.unloadWindowS).toBeCloseTo(found.nozzleHeldS! + (270 - 215) / 1, 6);
    expect(found).toMatchObject({ drawnBackMm: 2, drawnBackMmS: 20, nozzleToC: 0, bedToC: 0 });
  });

  it('is held when it stays hot longer, or for ever', () => {
    expect(ending('G4 S61\nM104 S0\n')).toMatchObject({ end: 'held', nozzleHeldS: expect.closeTo(61, 9) });
    expect(ending('M140 S0\n')).toMatchObject({ end: 'held', nozzleHeldS: null, unloadWindowS: 3600 });
    // A lower target that still keeps the strand soft is not off; what it was just before counts for the cooling.
    expect(ending('M104 S230\nG4 S100\nM104 S0\n')).toMatchObject({
      nozzleHeldS: expect.closeTo(100, 9),
      unloadWindowS: expect.closeTo(115, 9),
    });
  });

  it('waits when a person is called before the nozzle is lowered, not after', () => {
    expect(ending('M600\nM104 S0\n')).toMatchObject({ end: 'waits', handsS: [0], unloadWindowS: 3600 });
    expect(ending('M104 S0\nM600\n')).toMatchObject({ end: 'cold', handsS: [0] });
  });

  it('is unloaded when 40 mm are drawn back while hot, in one piece or several', () => {
    expect(ending('G1 E-60 F300\nM104 S0\n')).toMatchObject({
      end: 'unloaded',
      unloadWindowS: null,
      drawnBackMm: 60,
    });
    expect(ending('G1 E-20 F300\nG1 E-20\nM104 S0\n').end).toBe('unloaded');
    expect(ending('G1 E-20 F300\nG1 E5\nG1 E-20\nM104 S0\n').end).toBe('cold');
    expect(ending('M104 S0\nG1 E-60 F300\n').end).toBe('cold');
    expect(ending('G1 E-60 F300\n').end).toBe('unloaded');
  });

  it('is unknown when a macro stands there, whatever else does', () => {
    expect(ending('G1 E-60 F300\nPRINT_END\nM104 S0\n')).toMatchObject({
      end: 'unknown',
      macros: 1,
      unloadWindowS: null,
    });
  });

  it('says when bed and chamber are lowered: by more than 10 K, or under 40 C where nothing was said', () => {
    expect(ending('M140 S91\nG4 S10\nM140 S89\n').bedHeldS).toBeCloseTo(10, 9);
    expect(ending('M141 S50\nG4 S5\nM141 S39\n').chamberHeldS).toBeCloseTo(5, 9);
    const off = read('M140 S60\n', body.replace('M140 S100', 'M140 S30')).ending!;
    expect(off).toMatchObject({ bedHeldS: 0, bedToC: 60 });
  });

  it('counts the lift, the park and the wipe from the last material', () => {
    const found = ending('G1 X40 E-0.5 F600\nG91\nG0 Z10\nG90\nG28 X\n');
    expect(found.liftMm).toBeCloseTo(10, 6);
    expect(found.parkMm).toEqual([0, 0, expect.closeTo(10.6, 9)]);
    expect(found.homed).toEqual(['X']);
    // 10 mm at 10 mm/s while 0.5 mm is drawn back.
    expect(found.drawnBackMmS).toBeCloseTo(0.5, 6);
  });
});

describe('against a plan', () => {
  const print = read('G1 E-2 F1200\nM104 S0\nM140 S0\n');
  const fits: Planned = {
    nozzleC: 271.9,
    bedC: 98.1,
    fan: { least: 0.24, most: 0.3 },
    retract: { lengthMm: 0.83, speedMmS: 32, count: 3 },
    layerMm: 0.2049,
    timeS: print.totals.timeS * 1.05,
    leftG: 15,
    densityKgM3: 1180,
    purgeG: 3,
    ending: { end: 'cold', heldS: 0 },
  };
  const answerOf = (line: (typeof LINES)[number], plan: Planned) =>
    compare(print, plan).answers[LINES.indexOf(line)];

  it.each<[line: (typeof LINES)[number], plan: Planned]>([
    ['nozzle', { nozzleC: 272.1 }],
    ['bed', { bedC: 97.9 }],
    ['fan', { fan: { least: 0.26, most: 0.3 } }],
    ['retraction', { retract: { lengthMm: 0.86, speedMmS: 30 } }],
    ['retraction', { retract: { lengthMm: 0.8, speedMmS: 34 } }],
    ['retraction', { retract: { lengthMm: 0.8, speedMmS: 30, count: 4 } }],
    ['layer height', { layerMm: 0.206 }],
    ['time', { timeS: print.totals.timeS * 1.12 }],
    ['strand', { leftG: 13, densityKgM3: 1180, purgeG: 3 }],
    ['ending', { ending: { end: 'held' } }],
    ['ending', { ending: { end: 'cold', heldS: 70 } }],
  ])(
    '%s is different just outside what is allowed, the same inside, and not in plan without a word',
    (line, plan) => {
      expect(answerOf(line, plan)).toBe('different');
      expect(answerOf(line, fits)).toBe('same');
      expect(answerOf(line, {})).toBe('not in plan');
    },
  );

  it('what the file does not say is not in file', () => {
    const bare = read('M1_DO\n', body.replace(/M140.*|M109.*|M106.*/g, '').replace(/G1 E-0.8 F1800/g, ''));
    const { answers } = compare(bare, fits);
    for (const line of ['nozzle', 'bed', 'fan', 'retraction', 'ending'] as const)
      expect(answers[LINES.indexOf(line)], line).toBe('not in file');
  });

  it('pairs square bars that could lie in two ways as the plan needs them', () => {
    const box = (x: number, layers: number) => ({
      boxMm: [x, 0, x + 10, 60] as const,
      longMm: 60,
      shortMm: 10,
      heightMm: layers * 0.2,
      solid: 1,
      layers,
    });
    const parts = [box(0, 50), box(30, 50), box(60, 20)] as never[];
    const made = { ...print, parts: { ...print.parts!, parts } };
    const bar = { lengthMm: 60, widthMm: 10, thickMm: 10 } as const;
    const plan: Planned = {
      bars: [
        { ...bar, orientation: 'edge' },
        { ...bar, orientation: 'flat' },
        { lengthMm: 60, widthMm: 10, thickMm: 4, orientation: 'flat' },
      ],
    };
    const found = compare(made, plan);
    expect([...found.orientations].sort()).toEqual(['edge', 'flat', 'flat']);
    expect(found.answers.slice(0, 2)).toEqual(['same', 'same']);
    const upright = compare(made, {
      bars: plan.bars!.map((one) => ({ ...one, orientation: 'upright' as const })),
    });
    expect(upright.answers.slice(0, 2)).toEqual(['same', 'different']);
  });
});

describe('time with another machine', () => {
  const print = read('M104 S0\n');

  it('one real duration fixes one factor, and that factor gives the duration', () => {
    for (const factor of [0.15, 0.7, 1, 3, 8]) {
      const real = timeOf(print, withFactor(trialCard, factor));
      const found = factorFromDuration(print, real);
      expect(Math.abs(timeOf(print, withFactor(trialCard, found)) / real - 1)).toBeLessThan(2e-4);
    }
  });

  it('a duration out of reach is refused with the durations that are within', () => {
    expect(() => factorFromDuration(print, 36_000)).toThrow(
      /made takes 0\.0\d to 0\.0\d h whatever the accelerations, not 10\.00 h/,
    );
  });

  it('the surface of times is the time at its nodes and near it between', () => {
    const surface = timeSurface(print);
    expect(surfaceTime(surface, 1, trialCard.deltaMm) / timeOf(print, trialCard)).toBeCloseTo(1, 9);
    for (const [factor, delta] of [
      [0.3, 0.01],
      [1.7, 0.05],
      [4, 0.03],
    ] as const)
      expect(
        surfaceTime(surface, factor, delta) / timeOf(print, withFactor(trialCard, factor, delta)),
      ).toBeCloseTo(1, 2);
    const [low, middle, high] = timeQuantiles(
      surface,
      trialCard,
      { lnFactor: 0.69, lnDelta: 0.69, lnClock: 0.03 },
      [0.05, 0.5, 0.95],
    );
    expect(low).toBeLessThan(middle!);
    expect(middle).toBeLessThan(high!);
    expect(middle! / timeOf(print, trialCard)).toBeCloseTo(1, 1);
  });
});

describe('flow', () => {
  it('takes the smallest flow at or under which 95 % of the printing time lies', () => {
    // Twenty flows of 1 to 20 mm of strand a second, a second each; travels do not count.
    const count = 21;
    const columns = {
      count,
      kind: Uint8Array.from({ length: count }, (_, k) => (k === 20 ? TRAVEL : PRINT)),
      laid: Float32Array.from({ length: count }, (_, k) => ((k * 7) % 20) + 1),
      dt: new Float32Array(count).fill(1),
    };
    const flow = flowOf(columns as never, 2);
    expect(flow).toEqual({ meanMm3S: 21, p95Mm3S: 38, maxMm3S: 40 });
  });
});
