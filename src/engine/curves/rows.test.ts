import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exportText } from './encoding.ts';
import { COMMA, MISSING, NUMBER, newRow, numberIn, POINT, readRow, SEMICOLON, WORDS } from './rows.ts';

// Goal: a field is the number that it says, to the last bit, or no number. Method: against the language's own reader.

const row = newRow();
function fields(line: string, decimal: number = POINT): { values: number[]; kinds: number[] } {
  const text = exportText('t', new TextEncoder().encode(`${line}\n`));
  readRow(text, 0, { delimiter: SEMICOLON, decimal }, row);
  return { values: [...row.values.slice(0, row.fields)], kinds: [...row.kinds.slice(0, row.fields)] };
}

describe('rows', () => {
  it('a decimal number is read to the last bit', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.integer({ min: 0, max: 12 }),
        (value, digits) => {
          const words = value.toFixed(digits);
          expect(fields(`${words};1`).values[0]).toBe(Number(words));
          expect(fields(`${words.replace('.', ',')};1`, COMMA).values[0]).toBe(Number(words));
        },
      ),
      { seed: 20261125, numRuns: 500 },
    );
  });

  it('exponents, plus signs and a bare point are numbers', () => {
    expect(fields('1.5E+03;+2.;.25;-7e-2').values).toEqual([1500, 2, 0.25, -0.07]);
  });

  it('digits grouped by threes are one number, whichever sign groups them', () => {
    const thin = '1\u2009234.5';
    expect(fields(`1,234.5;1'234.5;${thin};1 234.5`).values).toEqual([1234.5, 1234.5, 1234.5, 1234.5]);
    expect(fields('1.234.567,8;0', COMMA).values[0]).toBe(1234567.8);
    expect(row.grouped).toBe(1);
  });

  it('groups of other lengths, two signs of grouping, or a leading zero are no number', () => {
    for (const words of ['1,23.4', '12,3.4', "1'234,567.8", '0,123.4', '1.2.3', '12x'])
      expect(numberIn(words, '.'), words).toBe(null);
  });

  it('a true minus and a dash are minus; dashes alone, nan and n/a are missing', () => {
    expect(fields('\u22121.5;\u20132').values).toEqual([-1.5, -2]);
    expect(fields('-;--;---;NaN;n/a;;name').kinds).toEqual([
      MISSING,
      MISSING,
      MISSING,
      MISSING,
      MISSING,
      MISSING,
      WORDS,
    ]);
  });

  it('quotes are taken off, and a delimiter inside them parts nothing', () => {
    expect(fields('"1.5";"a;b";"2"').kinds).toEqual([NUMBER, WORDS, NUMBER]);
    expect(fields('"1.5";"a;b";"2"').values[2]).toBe(2);
  });

  it('lines end with a line feed, a carriage return, or both', () => {
    const text = exportText('t', new TextEncoder().encode('1;2\r\n3;4\n5;6'));
    const format = { delimiter: SEMICOLON, decimal: POINT };
    const seen: number[] = [];
    for (let at = 0; at < text.length; at = row.next) {
      readRow(text, at, format, row);
      seen.push(...row.values.slice(0, row.fields));
    }
    expect(seen).toEqual([1, 2, 3, 4, 5, 6]);
  });
});
