import { describe, expect, it } from 'vitest';
import { readCurves } from './read.ts';
import type { Layout, Reading } from './reading.ts';

// Goal: the same bar is found however a machine writes it down, and what is not written is asked. Method: one bar of
// known readings in many layouts.

const N = 40;
const time = (k: number) => k * 0.5;
/** Rises, breaks, and is left at rest. */
const force = (k: number) => (k < N - 4 ? 100 * k + 5.5 : 0.4);
const grip = (k: number) => k * 0.05;
/** Springs back at the break. */
const extension = (k: number) => (k < N - 4 ? 0.02 * k : 0.15);

type Columns = ((k: number) => number)[];
const FOUR: Columns = [time, force, grip, extension];
const HEADINGS = 'Time (s);Force (N);Crosshead (mm);Extension (mm)';

function rows(
  columns: Columns,
  { delimiter = ';', decimal = '.', digits = 4, from = 0, to = N } = {},
): string {
  let text = '';
  for (let k = from; k < to; k++)
    text += `${columns.map((column) => column(k).toFixed(digits).replace('.', decimal)).join(delimiter)}\n`;
  return text;
}

const read = (text: string | Uint8Array, layouts: Layout[] = []): Reading =>
  readCurves('bars.csv', typeof text === 'string' ? new TextEncoder().encode(text) : text, { layouts });

/** The bar is there, whole, in N, and nothing is asked unless said. */
function expectBar(reading: Reading, questions: string[] = []): void {
  expect(reading.questions.map(({ code }) => code)).toEqual(questions);
  const bar = reading.bars[0]!;
  expect(bar.channels.force).toHaveLength(N);
  expect(bar.channels.force![10]).toBeCloseTo(force(10), 6);
}

function utf16(text: string, littleEndian: boolean): Uint8Array {
  const bytes = new Uint8Array(2 * text.length);
  for (let k = 0; k < text.length; k++)
    new DataView(bytes.buffer).setUint16(2 * k, text.charCodeAt(k), littleEndian);
  return bytes;
}

describe('reading an export', () => {
  it.each([
    [';', ','],
    [';', '.'],
    ['\t', '.'],
    ['\t', ','],
    [',', '.'],
    ['|', '.'],
    ['|', ','],
    ['   ', '.'],
    ['   ', ','],
  ])('columns parted by "%s" with decimal sign "%s"', (delimiter, decimal) => {
    const text = `${HEADINGS.replaceAll(';', delimiter)}\n${rows(FOUR, { delimiter, decimal })}`;
    const reading = read(text);
    expectBar(reading);
    expect(reading.columns.map(({ role }) => role)).toEqual(['time', 'force', 'grip', 'extension']);
    expect(reading.bars[0]!.channels.grip![10]).toBeCloseTo(grip(10) / 1000, 9);
  });

  it('UTF-16 without a mark, either way round', () => {
    const text = `${HEADINGS}\n${rows(FOUR)}`;
    for (const littleEndian of [true, false]) {
      const reading = read(utf16(text, littleEndian));
      expectBar(reading);
      expect(reading.encoding).toBe('UTF-16');
    }
  });

  it('Windows-1252, where an umlaut is one byte', () => {
    const text = `Messl\u00e4nge;50;mm\n${HEADINGS}\n${rows(FOUR)}`;
    const reading = read(Uint8Array.from(text, (letter) => letter.charCodeAt(0)));
    expectBar(reading);
    expect(reading.encoding).toBe('Windows-1252');
    expect(reading.bars[0]!.measures.gaugeLength).toBe(0.05);
  });

  it('carriage returns alone, and quotes round every field with a comma for both signs', () => {
    expectBar(read(`${HEADINGS}\n${rows(FOUR)}`.replaceAll('\n', '\r')));
    const quoted = `${HEADINGS}\n${rows(FOUR, { decimal: ',' })}`
      .trim()
      .split('\n')
      .map((line) =>
        line
          .split(';')
          .map((field) => `"${field}"`)
          .join(','),
      )
      .join('\n');
    expectBar(read(`${quoted}\n`));
  });

  it('kN, inches, pound-force and per mille come out in SI', () => {
    const reading = read(
      `Load (lbf);Stroke (in);Strain (\u2030)\n${rows([force, grip, (k) => extension(k) * 20], {})}`,
    );
    const { channels } = reading.bars[0]!;
    expect(channels.force![10]).toBeCloseTo(force(10) * 4.4482216152605, 4);
    expect(channels.grip![10]).toBeCloseTo(grip(10) * 0.0254, 9);
    expect(channels.strain![10]).toBeCloseTo(extension(10) * 0.02, 9);
  });

  it.each([
    'Time/s;Force/N;Travel/mm;Extension/mm',
    'Time [s];Force [N];Travel [mm];Extension [mm]',
    'Time_s;Force_N;Travel_mm;Extension_mm',
    'Zeit in s;Kraft in N;Weg in mm;Extensometer in mm',
    'Temps (s);Charge (N);D\u00e9placement (mm);Allongement (mm)',
    'Time;Force;Travel;Extension\ns;N;mm;mm',
    'Time;Force;Travel;Extension\n(s);(N);(mm);(mm)',
  ])('headings such as %s', (headings) => {
    const reading = read(`${headings}\n${rows(FOUR)}`);
    expectBar(reading);
    expect(reading.columns.map(({ unit }) => unit)).toEqual(['s', 'N', 'mm', 'mm']);
    expect(reading.columns.every(({ from, evidence }) => from === 'words' && evidence !== '')).toBe(true);
  });

  it('bars one below the other: by name, by a blank line, or by the clock that starts anew', () => {
    const one = rows(FOUR);
    expect(
      read(`Specimen A-1\n${HEADINGS}\n${one}Specimen A-2\n${one}`).bars.map(({ name }) => name),
    ).toEqual(['A-1', 'A-2']);
    expect(read(`${HEADINGS}\n${one}\n${one}`).bars.map(({ name }) => name)).toEqual(['1', '2']);
    expect(read(`${HEADINGS}\n${one}${one}`).bars).toHaveLength(2);
  });

  it('one bar goes on behind a remark, and behind headings repeated on a new page', () => {
    const [a, b] = [rows(FOUR, { to: 20 }), rows(FOUR, { from: 20 })];
    const remark = read(`${HEADINGS}\n${a}Somebody touched the table\n${b}`);
    expect(remark.bars).toHaveLength(1);
    expectBar(remark);
    expectBar(read(`${HEADINGS}\n${a}\n${HEADINGS}\n${b}`));
  });

  it('bars side by side share a clock, and their headings name them', () => {
    const reading = read(
      `Time (s);Force A1 (N);Extension A1 (mm);Force A2 (N);Extension A2 (mm)\n${rows([time, force, extension, force, extension])}`,
    );
    expect(reading.bars.map(({ name }) => name)).toEqual(['A1', 'A2']);
    expect(reading.bars[1]!.channels.time).toHaveLength(N);
    expect(reading.questions).toEqual([]);
  });

  it('numbers in a column of names are names; time stamps are not', () => {
    const reading = read(
      `Specimen no.;Force (N);Travel (mm)\n${rows([() => 7, force, grip])}${rows([() => 8, force, grip])}`,
    );
    expect(reading.bars.map(({ name }) => name)).toEqual(['7', '8']);
    const stamped = rows(FOUR)
      .trim()
      .split('\n')
      .map((line, k) => `10:00:${k};${line}`)
      .join('\n');
    const clock = read(`Clock;${HEADINGS}\n${stamped}\n`);
    expect(clock.bars).toHaveLength(1);
    expect(clock.notes[0]).toContain('not taken for the names');
  });

  it('tension written as negative is turned, and that is said', () => {
    const reading = read(
      `${HEADINGS}\n${rows([time, ...[force, grip, extension].map((f) => (k: number) => -f(k))])}`,
    );
    expectBar(reading);
    expect(reading.notes[0]).toContain('turned');
    expect(reading.bars[0]!.channels.extension![10]).toBeGreaterThan(0);
  });

  it('a missing unit, a role from the numbers, a column twice, and three decimals throughout are asked about', () => {
    expectBar(read(`Time (s);Force (N);Strain\n${rows([time, force, (k) => 2 * extension(k)])}`), ['unit']);
    expectBar(read(rows(FOUR)), ['roles', 'unit', 'unit', 'unit', 'unit']);
    expectBar(
      read(
        `Time (s);Force (N);Extension (mm);Extension 2 (mm)\n${rows([time, force, extension, extension])}`,
      ),
      ['twice'],
    );
    const whole = rows([(k) => k + 1, (k) => force(k) + 1, (k) => grip(k) + 1], { digits: 3 });
    const ambiguous = read(`Time (s);Force (N);Travel (mm)\n${whole}`);
    expect(ambiguous.questions.map(({ code }) => code)).toEqual(['decimal']);
    expect(ambiguous.bars[0]!.channels.force![10]).toBeCloseTo(force(10) + 1, 6);
  });

  it('a strain without unit that passes 0.3 is taken as per cent', () => {
    const reading = read(`Time (s);Force (N);Strain\n${rows([time, force, (k) => 2 * extension(k)])}`);
    expect(reading.columns[2]!.unit).toBe('%');
    const small = read(
      `Time (s);Force (N);Strain\n${rows([time, force, (k) => extension(k) / 50], { digits: 6 })}`,
    );
    expect(small.columns[2]!.unit).toBe('mm/mm');
  });

  it('an extension that goes on when the bar breaks is asked about: it may be the travel of the grips', () => {
    const reading = read(`Time (s);Force (N);Extension (mm)\n${rows([time, force, grip])}`);
    expect(reading.questions.map(({ code }) => code)).toEqual(['extension']);
  });

  it('a force or strain out of all proportion is asked about where the section is known', () => {
    const sizes = 'Width: 10 mm\nThickness: 4 mm\nGauge length: 50 mm\n';
    const kilo = read(`${sizes}Time (s);Force (kN);Extension (mm)\n${rows([time, force, extension])}`);
    expect(kilo.questions.map(({ code }) => code)).toEqual(['force-scale', 'strain-scale']);
    const ratio = read(
      `${sizes}Time (s);Force (N);Strain (mm/mm)\n${rows([time, force, (k) => 2 * extension(k)])}`,
    );
    expect(ratio.questions.map(({ code }) => code)).toEqual(['strain-scale']);
  });

  it('a confirmed layout is used for the next file of that layout, and not for another', () => {
    const bare = read(`Alpha;Beta;Gamma;Delta\n${rows(FOUR)}`);
    expect(bare.questions.length).toBeGreaterThan(0);
    const [layout] = bare.layouts;
    const corrected: Layout = {
      ...layout!,
      columns: [
        { role: 'time', unit: 's' },
        { role: 'force', unit: 'daN' },
        { role: 'grip', unit: 'mm' },
        { role: 'other', unit: null },
      ],
    };
    const next = read(`Alpha;Beta;Gamma;Delta\n${rows(FOUR, { to: 38 })}`, [corrected]);
    expect(next.questions).toEqual([]);
    expect(next.columns.map(({ from }) => from)).toEqual(['person', 'person', 'person', 'person']);
    expect(next.bars[0]!.channels.force![10]).toBeCloseTo(10 * force(10), 6);
    expect(next.bars[0]!.channels.extension).toBe(undefined);
    expect(read(`Alpha;Beta;Gamma;Epsilon\n${rows(FOUR)}`, [corrected]).questions.length).toBeGreaterThan(0);
  });

  it('measures above the table, in their several spellings', () => {
    const { measures } = read(
      `Test speed;1;mm/min\nWidth (mm);10.02;\nThickness [um]: 4050\nGauge length = 50 mm\nGrip separation;115;mm\n${HEADINGS}\n${rows(FOUR)}`,
    ).bars[0]!;
    expect(measures.width).toBeCloseTo(0.01002, 12);
    expect(measures.thickness).toBeCloseTo(0.00405, 12);
    expect(measures.gaugeLength).toBeCloseTo(0.05, 12);
    expect(measures.gripDistance).toBeCloseTo(0.115, 12);
  });

  it('words and results below the table are no bars', () => {
    expectBar(read(`${HEADINGS}\n${rows(FOUR)}Mean;5000;3;2\nMaximum;5;4;3\n\nModulus;5000;MPa\n`));
  });

  it('progress runs to the end and may stop the work', () => {
    const long = `${HEADINGS}\n${rows([time, (k) => (k < 69_990 ? k / 20 : 0), grip, extension], { to: 70_000 })}`;
    const shares: number[] = [];
    readCurves('a', new TextEncoder().encode(long), { progress: (share) => shares.push(share) });
    expect(shares.length).toBeGreaterThan(0);
    expect(shares.every((share) => share > 0 && share <= 1)).toBe(true);
    expect(() =>
      readCurves('a', new TextEncoder().encode(long), {
        progress: () => {
          throw new Error('stop');
        },
      }),
    ).toThrow('stop');
  });
});
