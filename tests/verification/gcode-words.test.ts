import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { compare } from '../../src/engine/gcode/against.ts';
import type { Ending } from '../../src/engine/gcode/ending.ts';
import { readGcode, readGcodeBytes } from '../../src/engine/gcode/print.ts';
import { memorySource, trialCard } from '../../src/engine/gcode/trial.ts';
import { sentence } from '../../src/problem.ts';
import { faultList } from '../../src/report/gcode-faults.ts';
import {
  comparedLines,
  endingMends,
  endingWords,
  partRows,
  summaryLines,
  timeWords,
} from '../../src/report/gcode-words.ts';
import { ascii } from '../../src/units.ts';

// Goal: what a person reads about a file is right, whole and in plain sentences. Method: files and short programs
// against the exact words, signs of print replaced by plain ones.

const folder = join(import.meta.dirname, '../data/gcode');
const card = { ...trialCard, heatKS: { nozzle: 2.5, bed: 0.35, chamber: 0.02 } };
const file = (name: string) =>
  readGcode(memorySource(name, new Uint8Array(readFileSync(join(folder, name)))), card);
const text = (program: string) => readGcodeBytes(new TextEncoder().encode(program), card, 'made.gcode');
const start = 'G90\nM83\nM104 S270\nG1 Z0.2 F600\nG1 X10 E1\n';

/** Sentences about the faults of lines that follow the start. */
function said(lines: string, before = start): string[] {
  const { stops, notes } = faultList(text(before + lines));
  return [...stops, ...notes].map(sentence).map(ascii);
}

describe('summary', () => {
  it('of three flat bars, line by line', () => {
    const lines = summaryLines(file('three-flat.gcode'), 1.18, { low: 1600, median: 1690, high: 1900 });
    expect(lines.map(({ label, text: words }) => `${label}: ${ascii(words)}`)).toEqual([
      'Time: 28 min (27 min to 32 min)',
      'Layers: 5 layers of 0.2 mm, 1 mm high',
      'Strand: 2.68 m, 7.6 g',
      'Flow: 4.6 mm3/s in the mean, 4.8 mm3/s at its peak; 95 % of the printing time at or under 4.8 mm3/s',
      'Retractions: 16, 40 an hour of motion; longest 2 mm, fastest 30 mm/s',
      'End: Off at once, 2 mm drawn back: the strand sets in the hot end about a minute after the end.',
    ]);
  });

  it('tells of macros, hands and lines that are not understood', () => {
    expect(ascii(timeWords(file('macros.gcode'), null))).toBe(
      '16 s, and about 8 min of macros before the first layer',
    );
    const lines = Object.fromEntries(
      summaryLines(file('quoted-text.gcode'), null, null).map(({ label, text: words }) => [
        label,
        ascii(words),
      ]),
    );
    expect(lines['Hands']).toBe('waits for a person 2 times, after 1 s, 10 s');
    expect(lines['Not understood']).toBe('1 line not understood');
    expect(lines['Strand']).toBe('0.0165 m, 0.0397 cm3');
  });

  it('of parts printed one after another counts layers and passes', () => {
    const part = (x: number) => [0.2, 0.4].map((z) => `G0 Z${z}\nG0 X${x} Y0 F3000\nG1 Y20 E1\n`).join('');
    const lines = summaryLines(text(`G90\nM83\nM104 S270\nG0 F3000\n${part(10)}${part(50)}`), null, null);
    expect(ascii(lines[1]!.text)).toBe('2 layers of 0.2 mm in 4 passes, 0.4 mm high');
  });

  it('gives each part its row, with heat where the polymer is known', () => {
    const print = file('two-upright-support.gcode');
    const melt = { rhoKgM3: 1180, cJKgK: 2000, meltJKg: 55_000, fromC: 270, toC: 60 };
    const rows = partRows(print, melt).map((row) => Object.values(row).map(String).map(ascii));
    expect(rows.length).toBe(4);
    expect(rows[0]!.slice(0, 2)).toEqual(['1', 'solid: a bar']);
    expect(rows[1]!.slice(0, 2)).toEqual(['2', 'open lines: a support']);
    expect(rows[0]![5]).toBe('14 s, shortest 14 s');
    expect(rows[0]![6]).toMatch(/^8 ?1\d\d W\/m2$/);
    expect(partRows(print, null)[0]!.heat).toBe('');
  });
});

describe('the ending in one sentence', () => {
  const ending = (change: Partial<Ending>) =>
    ascii(endingWords({ ...file('end-cold.gcode').ending!, ...change }));

  it.each<[words: string, change: Partial<Ending>]>([
    ['Off at once, 2 mm drawn back: the strand sets in the hot end about a minute after the end.', {}],
    [
      'Off after 40 s, nothing drawn back: the strand sets in the hot end about 2 min after the end.',
      { nozzleHeldS: 40, drawnBackMm: 0, unloadWindowS: 120 },
    ],
    [
      'Off at once, 2 mm drawn back: the strand sets in the hot end before the end.',
      { nozzleHeldS: 0, unloadWindowS: 0 },
    ],
    [
      'Kept hot for 30 min, 2 mm drawn back: draw the strand out within 31 min of the end.',
      { end: 'held', nozzleHeldS: 1800, unloadWindowS: 1855 },
    ],
    [
      'Never turned off by the file, 2 mm drawn back: draw the strand out within 1 h of the end.',
      { end: 'held', nozzleHeldS: null, unloadWindowS: 3600 },
    ],
    [
      'Waits hot for a person, 2 mm drawn back: draw the strand out within 1 h of the end.',
      { end: 'waits', unloadWindowS: 3600 },
    ],
    [
      'The strand is drawn back 60 mm while hot: the hot end is empty.',
      { end: 'unloaded', drawnBackMm: 60, unloadWindowS: null },
    ],
    [
      'A macro stands after the last material: what it does cannot be read, so you are asked.',
      { end: 'unknown', unloadWindowS: null },
    ],
  ])('%s', (words, change) => {
    expect(ending(change)).toBe(words);
  });

  it('its mends are lines to copy, each with its caution', () => {
    const [out, stay] = endingMends(3600);
    expect(out!.lines).toEqual(['M83', 'G1 E-60 F300']);
    expect(stay!.lines).toEqual(['G4 S3600']);
    expect(endingMends(20_000)[1]!.lines).toEqual(['G4 S7200']);
    for (const { caution } of [out!, stay!]) expect(caution).toContain("machine's manual");
    expect(stay!.caution).toContain('fire');
  });
});

describe('faults', () => {
  it.each<[sentence: string, lines: string]>([
    [
      'made.gcode, line 6: "G1 X12..4" is not a move. Expected a number after X, for example 12.4.',
      'G1 X12..4\n',
    ],
    [
      'made.gcode, line 6: "g1 x2o y3" is not a move. Expected a number after X, for example 2.',
      'g1 x2o y3\n',
    ],
    [
      'made.gcode, line 6: "M104 S" is not a target of heat. Expected a number after S, for example 270.',
      'M104 S\n',
    ],
    [
      'made.gcode, line 6: "G92 E=0" is not a position. Expected a number after E, for example 0.',
      'G92 E=0\n',
    ],
    [
      'made.gcode, line 6: "M106 S51 slow" cannot be read from "slow" on: the words before it are used.',
      'M106 S51 slow\n',
    ],
    ['made.gcode, line 6: "G1 X1 x2" names X twice. Expected one X on a line.', 'G1 X1 x2\n'],
    ['made.gcode, line 6: "G4 S1 S2" names S twice: the words before it are used.', 'G4 S1 S2\n'],
    [
      'made.gcode, line 6: "N5 G1 X3*7" is damaged: its bytes give the sum 102, not 7. Expected an undamaged line: copy or export the file again.',
      'N5 G1 X3*7\n',
    ],
    [
      'made.gcode, line 6: "N5 G1 X3*" has no sum after its star. Expected an undamaged line: copy or export the file again.',
      'N5 G1 X3*\n',
    ],
    ['made.gcode, line 6: "%" is no command and is passed over.', '%\n'],
    [
      'made.gcode, line 6: "G1 X3 F0" sets a speed that is not above 0. Expected mm/min after F, for example F1800.',
      'G1 X3 F0\n',
    ],
    [
      'made.gcode, line 6: material is laid with tool 1 too. Expected a print with one tool: export each tool as a file of its own.',
      'T1\nG1 X30 E1\n',
    ],
    ['made.gcode, line 6: tool 2 is selected and lays nothing.', 'T2\n'],
    ['made.gcode, line 6: "T255" selects no tool and is passed over.', 'T255\n'],
    [
      'made.gcode, line 7: "M104 T3 S0" heats tool 3, which is not in use, and is passed over.',
      'T0\nM104 T3 S0\n',
    ],
    ['made.gcode, line 6: "M104" names no temperature and is passed over.', 'M104\n'],
    ['made.gcode, line 6: "G20" turns to inches: lengths are converted.', 'G20\n'],
    [
      'made.gcode, line 6: "G92 X0" shifts the numbers of the axes: places on the sheet are kept.',
      'G92 X0\n',
    ],
    ['made.gcode, line 6: "G10 L2 P1" sets offsets and is passed over.', 'G10 L2 P1\n'],
    [
      'made.gcode, line 6: "G18" turns arcs out of the plane of the sheet. Expected arcs in XY (G17): export without others.',
      'G18\n',
    ],
    [
      'made.gcode, line 6: "G2 X20" is an arc without a centre. Expected I and J, or R between two different ends.',
      'G2 X20\n',
    ],
  ])('%s', (words, lines) => {
    expect(said(lines)).toEqual([words]);
  });

  it('of the whole file have no line', () => {
    expect(said('M83\nG1 Z1 F60\nG1 X10 E1\nEND_IT\n', '')).toEqual([
      'made.gcode: no nozzle temperature that can be read is set; a macro may heat.',
    ]);
    expect(said('G28\n', '')).toEqual([
      'made.gcode: no move lays material. Expected a file that prints: export it again, or choose another.',
    ]);
    expect(said('G1 X11 E20\n')[0]).toMatch(
      /^made.gcode: the mean bead has a section of 4.6 mm2, which no nozzle lays. Expected 0.005 to 2 mm2/,
    );
  });

  it('that stop come first, and what the list leaves out is counted', () => {
    const { stops, notes, more } = faultList(text(`${start}M106 ?\n${'G1 X2o\n'.repeat(120)}`));
    expect([stops.length, notes.length]).toEqual([99, 1]);
    expect(ascii(more)).toBe('And 21 more; in all: malformed 1, malformed 120.');
  });
});

describe('the ten lines against a plan', () => {
  it('show both values', () => {
    const print = file('three-flat.gcode');
    const bar = { lengthMm: 150, widthMm: 20, thickMm: 1, orientation: 'flat' } as const;
    const plan = {
      bars: [bar, bar, bar],
      nozzleC: 265,
      fan: { least: 0.1, most: 0.3 },
      leftG: 400,
      densityKgM3: 1180,
      purgeG: 3,
    };
    const lines = comparedLines(compare(print, plan), plan).map((line) =>
      Object.values(line).map(ascii).join(' | '),
    );
    expect(lines).toEqual([
      'bars | 3 | 3 | same',
      'orientation | 3 flat | 3 flat | same',
      'nozzle | 270 C | 265 C | different',
      'bed | 100 C | not said | not in plan',
      'fan | 20 % | 10 to 30 % | same',
      'retraction | 0.8 mm at 30 mm/s, 15 times | not said | not in plan',
      'layer height | 0.2 mm | not said | not in plan',
      'time | 28 min | not said | not in plan',
      'strand | 10.6 g needed | 400 g left | same',
      'ending | cold | not said | not in plan',
    ]);
  });
});
