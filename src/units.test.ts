import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ascii,
  dimensionOf,
  fromSi,
  parseBend,
  parseChance,
  parseClock,
  parseField,
  parseQuantity,
  parseSize,
  placesFor,
  showClock,
  showDay,
  showNumber,
  showPlusMinus,
  showQuantity,
  showRange,
  showShare,
  showShareChange,
  showSpan,
  showTime,
  showTimer,
  toSi,
  UNIT_NAMES,
  writeQuantity,
} from './units.ts';

/**
 * Goal: every unit of the table is read, written and printed right. Method: factors against the definitions of
 * the SI brochure (9th edition, 2019, tables 4 and 8: minute, hour, day, litre, degree, Celsius; from memory) and of
 * ISO 80000; round trips with any number; the forms of printed figures by example.
 */
const si = (text: string, unit: string) => {
  const parsed = parseQuantity(text, { unit });
  if (!parsed.ok) throw new Error(`${parsed.message} Expected ${parsed.expected}.`);
  return parsed.value.value;
};
const told = (text: string, unit: string) => {
  const parsed = parseQuantity(text, { unit });
  return parsed.ok ? 'read' : `${parsed.message} Expected ${parsed.expected}.`;
};
/** Spaces as the plain one, to keep the expected texts legible; a test of its own looks at them. */
const spaced = (text: string) => text.replace(/[\u00a0\u202f]/g, ' ');

describe('a quantity', () => {
  it.each([
    ['90 C', 'C', 363.15],
    ['-25 C', 'C', 248.15],
    ['3 K', 'K', 3],
    ['0.20 wt %', 'wt %', 0.002],
    ['50 %RH', '%RH', 0.5],
    ['8 h', 'h', 28800],
    ['2 d', 'h', 172800],
    ['30 l', 'l', 0.03],
    ['180 deg', 'deg', Math.PI],
    ['350 cm2', 'cm2', 0.035],
    ['6 mm3/s', 'mm3/s', 6e-9],
    ['1 bar', 'Pa', 1e5],
    ['0.3 1/h', '1/h', 0.3 / 3600],
    ['55 kJ/kg', 'kJ/kg', 55000],
    ['2.0e-13 m2/s', 'm2/s', 2e-13],
    ['1e+12 Pa s', 'Pa s', 1e12],
    ['600 mm/min', 'mm/s', 0.01],
    ['1 in 31', '', 1 / 31],
  ])('"%s" is read in SI', (text, unit, value) =>
    expect(si(text, unit)).toBeCloseTo(value, 12 - Math.ceil(Math.log10(value + 1))),
  );

  it.each(['90 °C', '90C', ' 90  C '])('may be written "%s"', (text) =>
    expect(si(text, 'C')).toBeCloseTo(363.15, 9),
  );

  it('that was printed here is read again', () => {
    expect(si(showQuantity(1.243, 'g', 4), 'g')).toBeCloseTo(1.243, 12);
    expect(si(showQuantity(-5e-4, 'mm'), 'mm')).toBeCloseTo(-5e-4, 15);
    expect(si(showQuantity(2e-6, 'mm2'), 'mm2')).toBeCloseTo(2e-6, 15);
  });

  it('without a unit is told which was expected', () => {
    expect(told('90', 'C')).toBe('"90" has no unit. Expected a temperature with its unit, such as "90 C".');
    expect(told('8', 'h')).toBe('"8" has no unit. Expected a time with its unit, such as "8 h".');
    expect(told('3', 'kg')).toBe('"3" has no unit. Expected a mass in kg.');
  });

  it('of another kind is told so', () => {
    expect(told('8 h', 'C')).toMatch(/^"8 h" is a time\. Expected a temperature/);
    expect(told('363 K', 'C')).toMatch(/^"363 K" is a temperature difference\./);
    expect(told('0.2 %', 'wt %')).toMatch(/^"0.2 %" is a share\. Expected a share by mass/);
  });

  it('with a decimal comma is refused, because it may be thousands', () => {
    expect(told('0,4 mm', 'mm')).toBe('"0,4 mm" has a decimal comma. Expected a point: 0.4 mm.');
    expect(told('1,234 g', 'g')).toMatch(/has a decimal comma/);
  });

  it('that is no quantity is told so', () => {
    expect(told('warm', 'C')).toMatch(/^"warm" is not a quantity\./);
    expect(told('90 Celsius', 'C')).toMatch(/"Celsius" is not a unit known here/);
    expect(told('1e999 C', 'C')).toMatch(/too large a number/);
    expect(told('', 'C')).toMatch(/is not a quantity/);
  });

  it('of any size and unit comes back as it was written', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...UNIT_NAMES),
        fc.double({ min: -1e9, max: 1e9, noNaN: true }),
        (unit, number) => {
          const rounded = Number(number.toPrecision(6));
          const text = writeQuantity(toSi(rounded, unit), unit);
          const back = fromSi(si(text, unit), unit);
          // Celsius loses what lies below the sixth digit of the kelvin value.
          expect(Math.abs(back - rounded)).toBeLessThanOrEqual(
            2e-6 * Math.max(Math.abs(rounded), unit === 'C' ? 1e-6 : 1e-300),
          );
        },
      ),
      { seed: 1, numRuns: 500 },
    );
  });

  it('of the table has an example of its own kind in every complaint', () => {
    for (const unit of UNIT_NAMES) {
      const parsed = parseQuantity('x', { dimension: dimensionOf(unit) });
      const example = parsed.ok ? '' : /such as "?([^"]+)"?$/.exec(parsed.expected)![1]!;
      expect(parseQuantity(example, { dimension: dimensionOf(unit) }).ok, example).toBe(true);
    }
  });
});

describe('other texts', () => {
  it('sizes, bends, chances and times of day are read', () => {
    expect(parseSize('260 x 220 mm')).toEqual({ ok: true, value: [0.26, 0.22] });
    expect(parseSize('26 cm x 220 mm')).toEqual({ ok: true, value: [0.26, 0.22] });
    expect(parseBend('60 mm x 45 deg')).toEqual({ ok: true, value: { radius: 0.06, angle: Math.PI / 4 } });
    expect(parseChance('1 in 31')).toBe(1 / 31);
    expect(parseChance('31 in 1')).toBeNull();
    expect(parseClock('07:30')).toEqual({ ok: true, value: 27000 });
    expect(parseClock('24:00', true)).toEqual({ ok: true, value: 86400 });
    expect(parseField('1 243,2')).toBe(1243.2);
    expect(parseField('about 3')).toBeNull();
  });

  it('wrong ones are told so', () => {
    expect(parseSize('260 x 220')).toMatchObject({ message: '"260 x 220" has no unit.' });
    expect(parseBend('60 mm')).toMatchObject({ message: '"60 mm" is not a bend.' });
    expect(parseBend('60 mm x 45 mm')).toMatchObject({ message: '"45 mm" is a length.' });
    expect(parseClock('25:00')).toEqual({
      ok: false,
      message: '"25:00" is not a time of day.',
      expected: '00:00 to 23:59',
    });
    expect(parseClock('24:00').ok).toBe(false);
  });
});

describe('a printed figure', () => {
  it('has a thin space in thousands, a hard space before its unit, and a real minus', () => {
    expect(showQuantity(1.243, 'g', 4)).toBe('1\u202f243\u00a0g');
    expect(showQuantity(-3e5, 'MPa')).toBe('\u22120.3\u00a0MPa');
    expect(showQuantity(0.0015, 'wt %')).toBe('0.15\u00a0wt\u00a0%');
    expect(showNumber(-0.0001, 2)).toBe('0.00');
    expect(showNumber(1234567, 0)).toBe('1\u202f234\u202f567');
  });

  it('shows its spread to two significant digits and its value to the same place', () => {
    expect(spaced(showRange({ median: 0.0015, low: 0.0009, high: 0.0024 }, 'wt %').whole)).toBe(
      '0.15 wt % (0.09 to 0.24)',
    );
    expect(spaced(showPlusMinus(97.8e6, 2.71e6, 'MPa'))).toBe('97.8 ± 2.7 MPa');
    expect(spaced(showPlusMinus(97812, 2710, 'Pa'))).toBe('97 800 ± 2 700 Pa');
    expect(spaced(showPlusMinus(458.15, 11, 'C'))).toBe('185 ± 11 °C');
    expect(spaced(showRange({ median: 2e-13, low: 1.1e-13, high: 3.9e-13 }, 'm2/s').whole)).toBe(
      '2.0 · 10⁻¹³ m²/s (1.1 to 3.9)',
    );
    expect(spaced(showRange({ median: 273.15, low: 273.15, high: 273.15 }, 'C').whole)).toBe('0 °C');
    expect([placesFor(0.15), placesFor(0.0996), placesFor(12), placesFor(2710)]).toEqual([2, 2, 0, -2]);
  });

  it('is a whole per cent between <2 % and >98 %', () => {
    expect([0, 0.019, 0.02, 0.636, 0.98, 0.981, 1].map((share) => spaced(showShare(share)))).toEqual([
      '<2 %',
      '<2 %',
      '2 %',
      '64 %',
      '98 %',
      '>98 %',
      '>98 %',
    ]);
    expect(spaced(showShareChange(0.64, 0.999))).toBe('64 → >98 %');
    expect(() => showShare(1.2)).toThrow(RangeError);
  });

  it('is a span, a timer or a point in time', () => {
    expect([45, 59.6, 3000, 3599, 15000, 86400, 367200, -600].map((s) => spaced(showSpan(s)))).toEqual([
      '45 s',
      '1 min',
      '50 min',
      '1 h',
      '4 h 10 min',
      '24 h',
      '4 d 6 h',
      '−10 min',
    ]);
    expect([0, 65, 3599, 3600, 15060, -65].map(showTimer)).toEqual([
      '0:00',
      '1:05',
      '59:59',
      '1:00',
      '4:11',
      '−1:05',
    ]);
    const instant = Date.UTC(2027, 2, 2, 17, 10);
    expect(spaced(showTime(instant, 'Europe/Vienna'))).toBe('Tue 18:10');
    expect(spaced(showDay(instant, 'Europe/Vienna'))).toBe('Tue 2 Mar');
    expect(showClock(27000)).toBe('07:30');
  });

  it('is plain ASCII in a terminal', () => {
    expect(ascii('1\u202f243\u00a0g → −0.3\u00a0°C ± 2 µm » 60° “x”')).toBe(
      '1 243 g -> -0.3 C +- 2 um > 60 deg "x"',
    );
    expect(ascii(showRange({ median: 2e-13, low: 1.1e-13, high: 3.9e-13 }, 'm2/s').whole)).toBe(
      '2.0e-13 m2/s (1.1 to 3.9)',
    );
  });

  it('of any range is printed in order and to one place', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-12, max: 1e9, noNaN: true }),
        fc.double({ min: 1.01, max: 50, noNaN: true }),
        (low, factor) => {
          const { range } = showRange({ median: low * Math.sqrt(factor), low, high: low * factor }, 'm');
          const [a, b] = range.split(' to ').map((text) => Number(text.replace(/\u202f/g, '')));
          expect(a!).toBeLessThan(b!);
          const places = range.split(' to ').map((text) => text.split('.')[1]?.length ?? 0);
          expect(places[0]).toBe(places[1]);
        },
      ),
      { seed: 2, numRuns: 300 },
    );
  });
});
