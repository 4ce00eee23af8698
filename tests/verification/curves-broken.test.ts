import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readCurves } from '../../src/engine/curves/read.ts';
import { Refusal } from '../../src/engine/kernel.ts';

// Goal: a file that cannot be trusted is refused in one sentence that says what is wrong and where. Method: the sound
// exports of tests/data/curves, broken on purpose one way at a time; unbroken, each of them is read.

const FOLDER = join(import.meta.dirname, '../data/curves');
const raw = (file: string) => new Uint8Array(readFileSync(join(FOLDER, file)));
const text = (file: string) => readFileSync(join(FOLDER, file), 'latin1');
const bytes = (words: string) => Uint8Array.from(words, (letter) => letter.charCodeAt(0));

function refusal(broken: Uint8Array | string): string {
  try {
    readCurves('broken.csv', typeof broken === 'string' ? bytes(broken) : broken);
  } catch (error) {
    expect(error).toBeInstanceOf(Refusal);
    const { message } = error as Refusal;
    expect(message).toMatch(/^broken\.csv\b/);
    expect(message).not.toMatch(/undefined|NaN|null|\[object/);
    return message;
  }
  throw new Error('the file was read');
}

/** Changes fields of the rows from `from` on. */
function changed(file: string, delimiter: string, from: number, change: (fields: string[]) => void): string {
  return text(file)
    .replaceAll('\r', '')
    .split('\n')
    .map((line, k) => {
      const fields = line.split(delimiter);
      if (k < from || fields.length < 2) return line;
      change(fields);
      return fields.join(delimiter);
    })
    .join('\n');
}

const swap = (a: number, b: number) => (fields: string[]) => {
  [fields[a], fields[b]] = [fields[b]!, fields[a]!];
};

describe('no export at all', () => {
  it.each([
    ['empty', new Uint8Array(), 'is empty'],
    ['blanks alone', '\n\n  \r\n', 'is empty'],
    ['a byte-order mark alone', new Uint8Array([0xef, 0xbb, 0xbf]), 'is empty'],
    ['noise', Uint8Array.from({ length: 3000 }, (_, k) => (Math.imul(k, 2654435761) >>> 13) & 255), 'binary'],
    ['a packed folder', new Uint8Array([0x50, 0x4b, 3, 4, 20, 0, 6, 0]), 'binary'],
    ['a document', '%PDF-1.7\n1 0 obj', 'binary'],
    [
      'a web page',
      '<!DOCTYPE html>\n<html><body><table><tr><td>1</td></tr></table></body></html>',
      'web page',
    ],
    ['a web page without its head', '\n<html lang="en">\n<p>1;2;3</p>', 'web page'],
    ['a letter', 'Dear colleague,\nthe curves come tomorrow.\n', 'no rows of numbers'],
    ['headings alone', 'Time (s);Force (N)\n', 'no rows of numbers'],
    ['four rows', 'Time (s);Force (N)\n0;1\n1;2\n2;3\n3;4\n', 'no rows of numbers'],
    ['one column', `Force (N)\n${Array.from({ length: 9 }, (_, k) => k).join('\n')}`, 'only one column'],
  ])('%s', (_, broken, words) => {
    expect(refusal(broken)).toContain(words);
  });
});

describe('cut off', () => {
  const FILES = [
    'p1-semicolon-comma.csv',
    'p2-comma-kn.csv',
    'p3-utf16-tab.txt',
    'p4-five-side-by-side.csv',
    'p5-three-stacked.csv',
    'p7-toe-extensometer-off.csv',
    'p8-six-long.csv',
  ];

  it.each(FILES)(
    '%s, anywhere inside a line: refused, or asked about between two bars, never read in silence',
    (file) => {
      const whole = raw(file);
      const wide = file.startsWith('p3') ? 2 : 1;
      const isEnd = (byte: number) => byte === 10 || byte === 13;
      let refused = 0;
      let asked = 0;
      for (let cut = Math.floor(whole.length / 4) * 2; cut < whole.length; cut += wide * 37) {
        const part = whole.subarray(0, cut);
        if (isEnd(part[part.length - wide]!) || isEnd(whole[cut]!)) continue;
        const tail = String.fromCharCode(...part.subarray(-24)).replaceAll('\0', '');
        try {
          const { questions } = readCurves('broken.csv', part);
          expect(
            questions.map(({ code }) => code),
            `cut at ${cut}: ${tail}`,
          ).toContain('cut');
          asked++;
        } catch (error) {
          if (!(error instanceof Refusal)) throw error;
          expect(error.message, `cut at ${cut}: ${tail}`).toMatch(/breaks off in the middle of line \d+/);
          refused++;
        }
      }
      expect(refused).toBeGreaterThan(60);
      if (!/^p[58]/.test(file)) expect(asked).toBe(0);
    },
  );

  it('one bar of many that ends under load is asked about, a bar alone is noted', () => {
    const lines = text('p8-six-long.csv').split('\n');
    const many = readCurves('a.csv', bytes(`${lines.slice(0, 300).join('\n')}\n`));
    expect(many.questions.map(({ code }) => code)).toEqual(['cut']);
    const one = readCurves(
      'a.csv',
      bytes(`${text('p2-comma-kn.csv').split('\n').slice(0, 300).join('\n')}\n`),
    );
    expect(one.notes[0]).toContain('No break in the record');
  });
});

describe('two units mixed', () => {
  const times = (column: number, factor: number, digits: number) => (fields: string[]) => {
    fields[column] = (Number(fields[column]!.replace(',', '.')) * factor).toFixed(digits);
  };

  it.each([
    ['N behind kN', changed('p2-comma-kn.csv', ',', 150, times(1, 1000, 2)), 'line 151'],
    ['kN behind N', changed('p7-toe-extensometer-off.csv', ',', 300, times(1, 0.001, 4)), 'line 301'],
    ['m behind mm', changed('p6-slip-grips-only.csv', ';', 300, times(2, 0.001, 6)), 'line 301'],
    ['ratio behind per cent', changed('p4-five-side-by-side.csv', ',', 150, times(1, 0.01, 6)), 'lines? 15'],
  ])('%s in one column', (_, broken, line) => {
    const message = refusal(broken);
    expect(message).toContain('two units are mixed');
    expect(message).toMatch(new RegExp(line));
  });

  it('in the heading and in the row of units below it', () => {
    const body = text('p6-slip-grips-only.csv').split('\n').slice(1).join('\n');
    expect(refusal(`Time (s);Force (N);Travel (mm)\ns;kN;mm\n${body}`)).toContain(
      'line 1, column 2: two units are mixed',
    );
  });

  it('in the force of one bar of several under the same headings', () => {
    const broken = changed('p4-five-side-by-side.csv', ',', 2, (fields) => {
      if (fields[4] !== '' && fields[4] !== undefined) times(4, 0.001, 5)(fields);
    });
    expect(refusal(broken)).toMatch(/two units are mixed, the force of bar F-03 is \d+ times smaller/);
  });

  it('a bar that breaks down to a thousandth of its force has one unit', () => {
    const broken = changed('p6-slip-grips-only.csv', ';', 625, (fields) => {
      if (Number(fields[0]) > 125) fields[1] = '3.1';
    });
    expect(readCurves('a.csv', bytes(broken)).bars).toHaveLength(1);
  });
});

describe('swapped columns', () => {
  it.each([
    ['force and strain', 'p2-comma-kn.csv', ',', 1, 1, 3],
    ['force and strain below a row of units', 'p1-semicolon-comma.csv', ';', 9, 1, 3],
    ['time and force', 'p2-comma-kn.csv', ',', 1, 0, 1],
    ['force and travel', 'p2-comma-kn.csv', ',', 1, 1, 2],
    ['force and travel of a bar without extensometer', 'p6-slip-grips-only.csv', ';', 1, 1, 2],
    ['time and travel', 'p2-comma-kn.csv', ',', 1, 0, 2],
    ['travel and extension', 'campaign-plate-1.csv', ';', 1, 3, 4],
    ['force and extension', 'p8-six-long.csv', ',', 1, 2, 3],
    ['force and an extension that was taken off', 'p7-toe-extensometer-off.csv', ',', 1, 1, 3],
  ])('%s', (_, file, delimiter, from, a, b) => {
    expect(refusal(changed(file, delimiter, from, swap(a, b)))).toMatch(/swapped/);
  });
});

describe('no force', () => {
  it('a force that is zero throughout', () => {
    const message = refusal(
      changed('p6-slip-grips-only.csv', ';', 1, (fields) => {
        fields[1] = '0.0';
      }),
    );
    expect(message).toContain('force');
    expect(message).toContain('zero');
  });

  it('no column of it, and what was found instead', () => {
    const rows = Array.from({ length: 50 }, (_, k) => `${k}.0;${k}.1;0.${k}`).join('\n');
    expect(refusal(`Time (s);Travel (mm);Extension (mm)\n${rows}\n`)).toContain(
      'no column of force. Found time, travel of the grips, extension',
    );
  });
});

describe('signs that change on the way', () => {
  const from300 = (file: string, from: string, to: string, at = 300) =>
    text(file)
      .split('\n')
      .map((line, k) => (k > at ? line.replaceAll(from, to) : line))
      .join('\n');

  it.each([
    ['the decimal sign', from300('p6-slip-grips-only.csv', '.', ','), 302],
    ['the delimiter, to one of none', from300('p6-slip-grips-only.csv', ';', '\t'), 302],
    ['the delimiter, to another', from300('p6-slip-grips-only.csv', ';', ','), 302],
    ['the decimal sign, behind names', from300('campaign-plate-1.csv', ',', '.', 600), 602],
    ['the delimiter, behind names', from300('p8-six-long.csv', ',', ';', 600), 602],
  ])('%s', (_, broken, line) => {
    expect(refusal(broken)).toContain(`the decimal sign or the delimiter changes in line ${line}`);
  });

  it('a comma for both, which no reader can part', () => {
    const rows = Array.from({ length: 50 }, (_, k) => `${k},0,${10 * k},5`).join('\n');
    expect(refusal(`Time (s),Force (N)\n${rows}\n`)).toContain('both the delimiter and the decimal sign');
  });

  it('a field that is no number is named with its line, column and heading', () => {
    const broken = changed('p6-slip-grips-only.csv', ';', 1, (fields) => {
      if (fields[0] === '7.8') fields[1] = '12,3.4';
    });
    expect(refusal(broken)).toContain('line 41, column 2 (Force (N)): "12,3.4" is not a number.');
  });
});
