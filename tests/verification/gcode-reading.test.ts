import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { strandArea } from '../../src/engine/gcode/card.ts';
import { type GcodePrint, printOf, readGcode, readGcodeBytes } from '../../src/engine/gcode/print.ts';
import { GcodeReader } from '../../src/engine/gcode/reader.ts';
import { memorySource, trialCard } from '../../src/engine/gcode/trial.ts';

// Goal: what is read depends on what the file says, not on how it is written or handed over.
// Method: the same path written and cut in many ways, seeded; the answers are compared bit for bit where no other
// number was written, else to the digits of the file.

const SEED = 20261125;
const folder = join(import.meta.dirname, '../data/gcode');
const bytesOf = (text: string) => new TextEncoder().encode(text);
const plain = { container: 'plain', members: [], chosen: null, ask: false } as const;

function read(text: string | Uint8Array): GcodePrint {
  return readGcodeBytes(typeof text === 'string' ? bytesOf(text) : text, trialCard, 'made', { parts: false });
}

/** All that a reading gives but the name and the bytes, as text. NaN and −0 would show. */
function whole(print: GcodePrint): string {
  const { name: _name, bytes: _bytes, container: _container, member: _member, ...rest } = print;
  return JSON.stringify(rest, (_, value) =>
    ArrayBuffer.isView(value) ? Array.from(value as Float64Array) : value,
  );
}

/** The same without places in the file, which comments and empty lines move. */
function withoutLines(print: GcodePrint): string {
  const { lines: _lines, ...rest } = print;
  return whole({
    ...rest,
    lines: 0,
    faults: print.faults.map((fault) => ({ ...fault, line: 0, detail: {} })),
  });
}

const awkward = `\ufeffG21\r\nN2 G90*${sumOf('N2 G90')}\rM83\nM117 "start; of (the) plate" T5
M104 S270\nG28\nG1 Z0.2 F600\n\nG1 X10 Y10 E0.5 ; comment "x
g1x20y10e0.5f3000\nX30 Y10 E.5\nG1 X40 (a G1 X9) Y10 E+0.5\nG2 X50 Y10 I5 J0 E0.8\nMARK_LAYER N=2\nM600
G1 X60 Y1o E1\nG1 X60 E-0.8\nG1 E0.8\nM106 S51 slow\nG4 P200 S1 S1\n; ünïcode €\nG1 X70.123456789012345 E1e3
G1 X80 E0.4 F0\nG1 X90 Y-10.5 E1\nT1\nG1 X100 E0.2\r\nM104 S0`;

function sumOf(text: string): number {
  return bytesOf(text).reduce((sum, byte) => sum ^ byte, 0);
}

describe('splitting the stream', () => {
  it('gives the same at every single byte of a file with every kind of line', () => {
    const bytes = bytesOf(awkward);
    const expected = whole(read(bytes));
    for (let cut = 0; cut <= bytes.length; cut++) {
      const reader = new GcodeReader(trialCard, bytes.length);
      reader.push(bytes.subarray(0, cut));
      reader.push(bytes.subarray(cut));
      expect(whole(printOf(reader, 'made', plain, false)), `cut at ${cut}`).toBe(expected);
    }
  });

  it('gives the same in pieces of any sizes', () => {
    const files = ['two-upright-support.gcode', 'quoted-text.gcode', 'crlf-inches.gcode'].map((name) =>
      readFileSync(join(folder, name)),
    );
    for (const file of files) {
      const expected = whole(read(file));
      fc.assert(
        fc.property(fc.array(fc.integer({ min: 1, max: 4000 }), { minLength: 1, maxLength: 40 }), (sizes) => {
          const reader = new GcodeReader(trialCard, 0);
          for (let at = 0, k = 0; at < file.length; at += sizes[k++ % sizes.length]!)
            reader.push(file.subarray(at, at + sizes[k % sizes.length]!));
          expect(whole(printOf(reader, 'made', plain, false))).toBe(expected);
        }),
        { seed: SEED, numRuns: 10 },
      );
    }
  });

  it('cuts a line that is longer than anything looked at in one way only', () => {
    const long = bytesOf(
      `G90\nM83\nM104 S270\nG1 X1 E1 F600 ;${'x'.repeat(90_000)}\nG1 X2 E1 ${' '.repeat(70_000)}Y3\nG1 X3 E1\n`,
    );
    const expected = read(long);
    expect(expected.faults.map(({ line, code, level }) => [line, code, level])).toEqual([
      [4, 'z-zero', 'note'],
      [5, 'malformed', 'stop'],
    ]);
    const reader = new GcodeReader(trialCard, long.length);
    for (let at = 0; at < long.length; at += 777) reader.push(long.subarray(at, at + 777));
    expect(whole(printOf(reader, 'made', plain, false))).toBe(whole(expected));
  });
});

/** Lines of a print that no rule could read in two ways; numbers with the digits that files have. */
function madeLines(seed: number, absoluteStrand: boolean): string[] {
  const draw = fc.sample(fc.double({ min: 0, max: 1, noNaN: true }), { seed, numRuns: 700 });
  let e = 0;
  const lines = [
    'G21',
    'G90',
    absoluteStrand ? 'M82' : 'M83',
    'M109 S270',
    'M190 S100',
    'G92 E0',
    'G1 Z0.2 F600',
  ];
  const strand = (d: number) => {
    e += d;
    return `E${(absoluteStrand ? e : d).toFixed(5)}`;
  };
  for (let k = 0; k + 6 < draw.length; k += 7) {
    const [x, y, kind, f, d] = draw.slice(k, k + 5) as [number, number, number, number, number];
    const place = `X${(200 * x).toFixed(3)} Y${(200 * y).toFixed(3)}`;
    const laid = Math.round(1e5 * (0.5 + 3 * d)) / 1e5;
    if (kind < 0.6) lines.push(`G1 ${place} ${strand(laid)} F${Math.round(600 + 3000 * f)}`);
    else if (kind < 0.75) lines.push(`G1 ${strand(-0.8)} F1800`, `G0 ${place}`, `G1 ${strand(0.8)} F1800`);
    else if (kind < 0.85) lines.push(`G0 Z${(0.2 * (1 + Math.floor(20 * d))).toFixed(1)}`);
    else if (kind < 0.95) lines.push(`G1 ${place} ${strand(-0.3)} F2400`);
    else lines.push(`M106 S${Math.round(255 * f)}`);
  }
  lines.push('M104 S0', 'M140 S0');
  return lines;
}

describe('ways to write the same', () => {
  const lines = madeLines(SEED, false);
  const expected = withoutLines(read(lines.join('\n')));

  it('comments, blanks, empty lines and letters of either case change nothing', () => {
    fc.assert(
      fc.property(fc.infiniteStream(fc.integer({ min: 0, max: 7 })), (picks) => {
        const pick = () => picks.next().value as number;
        const written = lines.flatMap((line) => {
          const way = pick();
          if (way === 0) return [`${line} ; G1 X5 E5 "`];
          if (way === 1) return ['; a line of words', `  \t${line}`];
          if (way === 2) return [line.toLowerCase()];
          if (way === 3) return [line.replaceAll(' ', '')];
          if (way === 4) return ['', line.replaceAll(' ', '  (between; G1 X1)\t')];
          if (way === 5) return [line.replace(/([A-Z])(-?\d)/g, '$1 $2')];
          if (way === 6) return [`(at the front) ${line}   `];
          return [line.replace(/^G([0-3]) /, 'G0$1 ')];
        });
        expect(withoutLines(read(written.join('\n')))).toBe(expected);
      }),
      { seed: SEED, numRuns: 20 },
    );
  });

  it('line numbers with right sums change nothing', () => {
    const written = lines.map((line, k) => `N${k + 1} ${line}`).map((line) => `${line}*${sumOf(line)}`);
    expect(withoutLines(read(written.join('\n')))).toBe(expected);
  });

  it('line feeds, carriage returns or both change nothing', () => {
    for (const end of ['\r\n', '\r', '\n\r\n']) expect(withoutLines(read(lines.join(end)))).toBe(expected);
    expect(withoutLines(read(`${lines.join('\n')}\n`))).toBe(expected);
  });

  it('a motion that is not named again goes on', () => {
    let before = '';
    const written = lines.map((line) => {
      const motion = /^G[01] /.exec(line)?.[0] ?? '';
      const same = motion !== '' && motion === before;
      before = motion || before;
      return same ? line.slice(motion.length) : line;
    });
    expect(written.filter((line) => /^[XYE]/.test(line)).length).toBeGreaterThan(10);
    expect(withoutLines(read(written.join('\n')))).toBe(expected);
  });

  it('the strand counted from the start or step by step is the same strand, to 1e-5 mm', () => {
    const relative = read(madeLines(SEED, false).join('\n'));
    const absolute = read(madeLines(SEED, true).join('\n'));
    expect(absolute.segments.count).toBe(relative.segments.count);
    expect(Math.abs(absolute.totals.laidMm - relative.totals.laidMm)).toBeLessThan(1e-5);
    for (let i = 0; i < relative.segments.count; i++)
      expect(Math.abs(absolute.segments.laid[i]! - relative.segments.laid[i]!)).toBeLessThan(1e-5);
  });

  it('a file and the same file in a zip give the same answer, stored or deflated, in pieces of any size', () => {
    for (const name of ['three-flat.gcode', 'macros.gcode', 'quoted-text.gcode']) {
      const file = new Uint8Array(readFileSync(join(folder, name)));
      const asFile = whole(readGcode(memorySource(name, file), trialCard));
      for (const level of [0, 6] as const) {
        const zip = zipSync({ 'notes.txt': bytesOf('x'), [`a/${name}`]: file }, { level });
        for (const most of [1000, Number.POSITIVE_INFINITY])
          expect(whole(readGcode(memorySource('a.zip', zip, most), trialCard))).toBe(asFile);
      }
    }
  });

  it('a macro between any two lines changes nothing but its own counts and the ending', () => {
    for (const name of ['end-cold.gcode', 'one-tool.gcode', 'arcs.gcode', 'square.gcode']) {
      const before = readFileSync(join(folder, name), 'utf8').trimEnd().split('\n');
      const bare = read(before.join('\n'));
      const lastLine = before.findLastIndex((line) => /E[1-9]/.test(line)) + 1;
      for (let at = 0; at <= before.length; at++) {
        const print = read([...before.slice(0, at), 'DO_IT VALUE=3', ...before.slice(at)].join('\n'));
        expect(print.totals.macros).toBe(1);
        expect(print.totals.unknown).toBe(bare.totals.unknown + 1);
        const noted = print.faults.some((fault) => fault.code === 'macro');
        expect(print.totals.unseenS).toBe(noted ? trialCard.startS : 0);
        const mended = {
          ...print,
          totals: { ...bare.totals, ...print.totals, macros: 0, unknown: bare.totals.unknown, unseenS: 0 },
          faults: print.faults.filter((fault) => fault.code !== 'macro'),
          faultCounts: print.faultCounts.filter(({ code }) => code !== 'macro'),
          ending: at >= lastLine ? bare.ending : print.ending,
        };
        if (at >= lastLine) expect(print.ending?.end).toBe('unknown');
        expect(withoutLines(mended), `${name}, after line ${at}`).toBe(withoutLines(bare));
      }
    }
  });
});

describe('sums', () => {
  it('what is laid, less what is still drawn back, is the strand of the file', () => {
    for (const seed of [1, 2, 3, 4, 5]) {
      const { totals, ending } = read(madeLines(seed, seed % 2 === 0).join('\n'));
      expect(totals.laidMm - ending!.drawnBackMm).toBeCloseTo(totals.netEMm, 9);
    }
  });

  it('the volume of three flat bars is their outlines times their height, to 4 %', () => {
    // Type 1B of ISO 527-2 (from memory): 150 mm long, 20 mm wide, 10 mm over 60 mm, shoulders of radius 60 mm; 1 mm high.
    const [r, wide, narrow] = [60, 20, 10];
    const rise = (wide - narrow) / 2;
    const run = Math.sqrt(r * r - (r - rise) ** 2);
    const underArc = (run / 2) * Math.sqrt(r * r - run * run) + ((r * r) / 2) * Math.asin(run / r);
    const shoulder = (narrow / 2 + r) * run - underArc;
    const outline = 60 * narrow + 4 * shoulder + (150 - 60 - 2 * run) * wide;
    const print = read(readFileSync(join(folder, 'three-flat.gcode')));
    expect(Math.abs(print.totals.laidMm * strandArea(trialCard) - 3 * outline)).toBeLessThan(
      0.04 * 3 * outline,
    );
  });

  it('passes, parts and what lies on none add up to all that was printed', () => {
    const print = readGcode(
      memorySource('b', new Uint8Array(readFileSync(join(folder, 'two-upright-support.gcode')))),
      trialCard,
    );
    const passes = print.passes.volumeMm3.reduce((a, b) => a + b, 0);
    const parts = print.parts!.parts.reduce((sum, part) => sum + part.volumeMm3, print.parts!.unattachedMm3);
    const rows = print.parts!.passes.volumeMm3.reduce((a, b) => a + b, print.parts!.unattachedMm3);
    expect(parts).toBeCloseTo(passes, 5);
    expect(rows).toBeCloseTo(passes, 5);
  });
});
