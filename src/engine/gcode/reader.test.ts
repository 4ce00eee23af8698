import { describe, expect, it } from 'vitest';
import { readGcodeBytes } from './print.ts';
import { NOZZLE } from './program.ts';
import { trialCard } from './trial.ts';

// Goal: every word of the table does what it says, every fault is found with its line and level, and no other.
// Method: short programs. All begin hot, relative in E, at 1 mm/s, so that only what is looked at stands out.

const start = 'G90\nM83\nM104 S270\nG1 Z0.2 F60\n';
const startLines = 4;

function read(text: string, head = start) {
  return readGcodeBytes(new TextEncoder().encode(head + text), trialCard, 'made', { parts: false });
}

/** Faults of the lines after the start; line 0 is the whole file. */
function faults(text: string): [number, string, string][] {
  return read(text).faults.map(({ line, code, level }) => [line === 0 ? 0 : line - startLines, code, level]);
}

const laid = 'G1 X10 E1\n';

describe('faults', () => {
  it.each<[what: string, text: string, expected: [number, string, string][]]>([
    ['none in a plain program', laid, []],
    ['a letter without a number', `${laid}G1 X E1\n`, [[2, 'malformed', 'stop']]],
    ['two points', `${laid}G1 X12..4 E1\n`, [[2, 'malformed', 'stop']]],
    ['a number without a letter', `${laid}G1 5\n`, [[2, 'malformed', 'stop']]],
    ['an exponent is a repeated word', `${laid}G1 X20 E1e3\n`, [[2, 'repeated-word', 'stop']]],
    ['a second command on a line', `${laid}G1 X20 E1 G92\n`, [[2, 'repeated-word', 'stop']]],
    ['words glued on with a sign of a macro', `${laid}G1X1=0\n`, [[2, 'malformed', 'stop']]],
    ['a quoted word on a line of heat', `${laid}M140 S60 "bed"\n`, [[2, 'malformed', 'stop']]],
    ['a bracket that does not close', `${laid}G1 X20 (E1\n`, [[2, 'malformed', 'stop']]],
    ['rubbish behind a fan', `${laid}M106 S51 ?\n`, [[2, 'malformed', 'note']]],
    [
      'no command letter',
      `${laid}%\n*5\n`,
      [
        [2, 'not-a-command', 'note'],
        [3, 'not-a-command', 'note'],
      ],
    ],
    [
      'a feed of nothing',
      `${laid}G1 X20 F0\nG1 X20 F-5\n`,
      [
        [2, 'feed', 'stop'],
        [3, 'feed', 'stop'],
      ],
    ],
    [
      'an arc without a centre',
      `${laid}G2 X20 Y0 E1\nG2 X10 Y0 R5\n`,
      [
        [2, 'arc-centre', 'stop'],
        [3, 'arc-centre', 'stop'],
      ],
    ],
    [
      'an arc off its circle',
      `${laid}G2 X20 Y0 I3 E1\nG3 X40 R10\n`,
      [
        [2, 'arc-radius', 'stop'],
        [3, 'arc-radius', 'stop'],
      ],
    ],
    ['an arc within the slack', `${laid}G2 X20.04 Y0 I5 E1\nG3 X0 R10.02 E2\n`, []],
    [
      'another plane',
      `${laid}G18\nG17\nG19\n`,
      [
        [2, 'plane', 'stop'],
        [4, 'plane', 'stop'],
      ],
    ],
    [
      'a second tool that lays, once for each T',
      `${laid}T1\n${laid}G1 X20 E1\nT0\nG1 X30 E1\nT1\nG1 X40 E1\n`,
      [
        [2, 'second-tool', 'stop'],
        [7, 'second-tool', 'stop'],
      ],
    ],
    [
      'tools that lay nothing',
      `${laid}T1\nT2\nT0\nG1 X20 E1\nT3\n`,
      [
        [2, 'tool', 'note'],
        [3, 'tool', 'note'],
        [6, 'tool', 'note'],
      ],
    ],
    [
      'a tool that is none',
      `T255\n${laid}T-1\n`,
      [
        [1, 'tool', 'note'],
        [3, 'tool', 'note'],
      ],
    ],
    [
      'heat for another tool, after a T',
      `M104 T1 S200\nT0\nM104 T1 S200\nM104 T0 S270\n${laid}`,
      [[3, 'tool', 'note']],
    ],
    [
      'heat without a number',
      `M104\n${laid}M140 P1\n`,
      [
        [1, 'no-temperature', 'note'],
        [3, 'no-temperature', 'note'],
      ],
    ],
    [
      'inches, shifts and offsets',
      `${laid}G20\nG21\nG92 X3\nG92 E0\nG92 X3\nG10 L2 X1\n`,
      [
        [2, 'inches', 'note'],
        [4, 'g92-shift', 'note'],
        [7, 'g10-offsets', 'note'],
      ],
    ],
    ['a macro before the first material', `DO_IT\n${laid}`, [[1, 'macro', 'note']]],
    ['a macro behind it', `${laid}DO_IT\n`, []],
    ['a bead as thick as a finger', 'G1 X1 E5\n', [[0, 'bead-section', 'stop']]],
    ['a bead as thin as nothing', 'G1 X100 E0.1\n', [[0, 'bead-section', 'stop']]],
    [
      'a spiral',
      Array.from(
        { length: 80 },
        (_, k) =>
          `G1 X${(10 * Math.cos(k / 4)).toFixed(3)} Y${(10 * Math.sin(k / 4)).toFixed(3)} Z${(0.2 + k * 0.008).toFixed(3)} E0.1\n`,
      ).join(''),
      [[0, 'spiral', 'note']],
    ],
    [
      'a wrong sum and a missing one',
      `${laid}N5 G1 X20 E1*7\nN6 G1 X20 E1*\n`,
      [
        [2, 'checksum', 'stop'],
        [3, 'checksum', 'stop'],
      ],
    ],
  ])('%s', (_, text, expected) => {
    expect(faults(text)).toEqual(expected);
  });

  it('that stop make a file unusable, notes do not', () => {
    expect(read(`${laid}G18\n`).usable).toBe(false);
    expect(read(`DO_IT\n${laid}`).usable).toBe(true);
  });

  it('a motion word before any motion stops, and a speed never said is noted once', () => {
    const of = (text: string) => read(text, '').faults.map(({ line, code, level }) => [line, code, level]);
    expect(of('X10 Y10\nM104 S270\nM83\nG1 Z1\nG1 X20 E1\n')).toEqual([
      [1, 'not-a-command', 'stop'],
      [4, 'no-feed', 'note'],
    ]);
    expect(of('M83\nG1 Z1 F600\nG1 X10 E1\n')).toEqual([[0, 'no-temperature', 'note']]);
    expect(of('M83\nM104 S0\nG1 Z1 F600\nG1 X10 E1\n')).toEqual([[0, 'no-temperature', 'note']]);
  });

  it('relative E without M83 is seen from five moves on', () => {
    const moves = (n: number) => Array.from({ length: n }, (_, k) => `G1 X${10 * (k + 1)} E0.5\n`).join('');
    const codes = (n: number) =>
      read(moves(n), 'G90\nM104 S270\nG1 Z0.2 F600\n').faults.map(({ code }) => code);
    expect(codes(4)).toEqual([]);
    expect(codes(5)).toEqual(['e-mode']);
  });

  it('beyond a hundred are counted only, whatever their line', () => {
    const print = read(`DO_IT\n${laid}${'G1 X2o\n'.repeat(250)}${'M106 ?\n'.repeat(30)}`);
    expect(print.faults.length).toBe(100);
    expect(print.faults[0]).toMatchObject({ line: 5, code: 'macro' });
    expect(print.faultCounts).toEqual([
      { code: 'malformed', level: 'stop', count: 250 },
      { code: 'malformed', level: 'note', count: 30 },
      { code: 'macro', level: 'note', count: 1 },
    ]);
  });

  it('carry the line cut short, the letter and what stands after it', () => {
    const [fault] = read(`${laid}G1 X12..4 Y${'9'.repeat(100)}\n`).faults;
    expect(fault!.detail).toMatchObject({ letter: 'X', value: '12..4' });
    expect(fault!.detail.text!.length).toBe(60);
    expect(read('N9 G1 X2*3\n').faults[0]!.detail).toMatchObject({ expected: 107, found: 3 });
  });
});

describe('words', () => {
  it('E follows G90 and G91 until M82 or M83, then only these', () => {
    expect(read('G1 X10 E1\nG1 X20 E1.5\n', 'M104 S9\nG91\nG90\nG1 Z1 F60\n').totals.laidMm).toBeCloseTo(
      1.5,
      12,
    );
    expect(read('G91\nG1 X10 E1\nG1 X10 E1\n', 'M104 S9\nG90\nG1 Z1 F60\n').totals.laidMm).toBeCloseTo(2, 12);
    expect(read('M82\nG91\nG1 X10 E1\nG1 X10 E3\n').totals.laidMm).toBeCloseTo(3, 12);
  });

  it('G92 sets numbers and moves nothing', () => {
    const print = read('G1 X10 E1\nG92 X0 E5\nG1 X5 E1\n');
    expect(print.segments.x1.at(-1)).toBe(15);
    expect(read('M82\nG1 X10 E1\nG92\nG1 X5 E1\n').segments.x1.at(-1)).toBe(15);
  });

  it('inches scale lengths and feeds, not heat or time', () => {
    const print = read('G20\nG1 X1 E0.1 F10\nM104 S200\nG4 S2\n');
    expect(print.totals.printPathMm).toBeCloseTo(25.4, 12);
    expect(print.segments.speed.at(-1)).toBeCloseTo(254 / 60, 5);
    expect(print.totals.dwellS).toBe(2);
    expect(Array.from(print.program.value)).toContain(200);
  });

  it('G10 and G11 draw back and return what the card says, once', () => {
    const { totals } = read('G1 X10 E1\nG10\nG10\nG1 X20\nG11\nG11\nG1 X30 E1\n');
    expect(totals).toMatchObject({ retractions: 1, retractMm: 0.8, retractMaxMmS: 30, laidMm: 2 });
  });

  it('M200 makes E a volume of strand, D0 ends it', () => {
    const area = (Math.PI / 4) * 1.75 ** 2;
    const print = read(`M200 D1.75\nG1 X10 E${area}\nM200 D0\nG1 X20 E1\n`);
    expect(print.totals.laidMm).toBeCloseTo(2, 12);
  });

  it('M220 and M221 are factors on feed and strand', () => {
    const print = read('M220 S50\nM221 S200\nG1 X10 E1 F120\nG1 E-1\n');
    expect(print.segments.speed.at(-2)).toBeCloseTo(1, 6);
    expect(print.totals.laidMm).toBe(2);
    expect(print.totals.retractMaxMmS).toBeCloseTo(1, 6);
  });

  it('M204 sets accelerations: P, T, R, and S for the first two', () => {
    const slow = (text: string) => read(`${text}\nG1 X10 E1 F60000\nG1 X0\nG1 E-5\n`).totals.timeS;
    const bare = slow('');
    for (const words of ['P100', 'T100', 'R100']) expect(slow(`M204 ${words}`)).toBeGreaterThan(bare + 0.1);
    expect(slow('M204 S100')).toBeCloseTo(slow('M204 P100 T100'), 9);
    expect(slow('M204 S0')).toBe(bare);
  });

  it('G28 puts the named axes home, all without names', () => {
    expect(read('G1 X10 E1\nG28 X0 y\n').ending!).toMatchObject({ parkMm: [0, 0, 0.2], homed: ['X', 'Y'] });
    expect(read('G1 X10 E1\nG28 W\n').ending!).toMatchObject({ parkMm: [0, 0, 0], homed: ['X', 'Y', 'Z'] });
  });

  it('waits end when the ramp is there: from below with S, from either side with R', () => {
    const warm = (text: string) => read(text).totals.warmS;
    // From 25 C at 2.5 K/s, from 270 C down at 1 K/s.
    expect(warm('M109 S270\n')).toBeCloseTo(245 / 2.5 - 0.2 - 1 / 5000, 3);
    expect(warm('M109 S270\nM109 S200\n')).toBeCloseTo(245 / 2.5 - 0.2, 3);
    expect(warm('M109 S270\nM109 R200\n')).toBeCloseTo(245 / 2.5 - 0.2 + 70, 3);
    expect(warm('M190 S40\n')).toBeCloseTo((15 - 0) / 0.15, 3);
    expect(warm('M191 S26\n')).toBeCloseTo(1 / 0.02, 3);
  });

  it('G0 may lay, and what was drawn back is paid before anything is laid', () => {
    const print = read('G0 X10 E1\nG1 E-2 F600\nG1 X20 E1.5\nG1 X30 E1.5\nG1 E1\n');
    expect(Array.from(print.segments.kind)).toEqual([1, 0, 3, 4, 0, 5]);
    expect(Array.from(print.segments.laid)).toEqual([0, 1, 0, 0, 1, 1]);
  });

  it('a wipe draws back on its way', () => {
    const print = read('G1 X10 E1\nG1 X5 E-0.5 F600\n');
    expect(print.segments.kind.at(-1)).toBe(2);
    expect(print.totals.travelPathMm).toBeCloseTo(5.2, 12);
    // 10 mm/s over 5 mm while 0.5 mm is drawn back.
    expect(print.totals.retractMaxMmS).toBeCloseTo(1, 12);
  });

  it('known commands without effect and unknown ones are told apart by count', () => {
    const { totals } = read(
      `${laid}M84 X Y\nM117 hello=there\nM555 S1\nG5 X1\nG92.1\nM104.2 S3\nT_PICK=2\nG1_FAST\n`,
    );
    expect(totals).toMatchObject({ unknown: 6, macros: 2 });
    expect(read('M104 S200\n').program.what.filter((what) => what === NOZZLE).length).toBe(2);
  });
});

describe('numbers', () => {
  it('are read as any correct reader would, plain or by the rules in full', () => {
    const numbers = [
      '0',
      '-0.5',
      '.25',
      '+7.',
      '123456789',
      '199.99999',
      '2677.90712',
      '0.1',
      '1234567.1234567',
    ];
    numbers.push('123456789.123456', '12345678901.5', '0.123456789012345678', '0.3000000000000000444');
    for (const number of numbers) {
      const last = (line: string) => read(`${line}\n`, 'G90\nM83\nG92 X0\nG1 Z1 F600\n').ending;
      expect(last(`G1 E1\nG1 X${number}`)!.parkMm[0], number).toBe(Number(number) + 0);
      // A bracket sends the line through the rules in full.
      expect(last(`G1 E1\nG1 X${number} (slow)`)!.parkMm[0], number).toBe(Number(number) + 0);
    }
  });
});
