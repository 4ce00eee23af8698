/**
 * Quantities to and from text: the only file that knows "90 C", "%RH" or how a figure is printed. Everything inside
 * the product is SI with kelvin; texts exist at its edges. Page, terminal and report print with the functions here,
 * so that they say the same. Imports nothing.
 */

/** What a reader makes of a text: the value, or why not and what would have been right. */
export type Reading<T> =
  | Readonly<{ ok: true; value: T }>
  | Readonly<{ ok: false; message: string; expected: string }>;

export function read<T>(value: T): Reading<T> {
  return { ok: true, value };
}

export function refuse(message: string, expected: string): Reading<never> {
  return { ok: false, message, expected };
}

// ---------------------------------------------------------------- the units of the trade

/** Kind of quantity: [what people call it, an example of it]. */
const DIMENSIONS = {
  number: ['a plain number', '1.5'],
  share: ['a share', '10 %'],
  'mass share': ['a share by mass', '0.2 wt %'],
  humidity: ['a relative humidity', '50 %RH'],
  temperature: ['a temperature', '90 C'],
  'temperature difference': ['a temperature difference', '3 K'],
  angle: ['an angle', '90 deg'],
  length: ['a length', '0.4 mm'],
  area: ['an area', '350 cm2'],
  volume: ['a volume', '30 l'],
  'volume per time': ['a volume per time', '6 mm3/s'],
  mass: ['a mass', '750 g'],
  time: ['a time', '8 h'],
  'per time': ['a rate', '0.3 1/h'],
  'per mass': ['a number per mass', '0.2 1/kg'],
  'per temperature': ['a number per kelvin', '2e-5 1/K'],
  'length per mass': ['a length per mass', '0.003 mm/kg'],
  'length per force': ['a length per force', '5e-5 mm/N'],
  speed: ['a speed', '30 mm/s'],
  acceleration: ['an acceleration', '3000 mm/s2'],
  force: ['a force', '60 N'],
  'force per length': ['a force per length', '0.03 N/m'],
  pressure: ['a pressure or stress', '5 kPa'],
  'pressure per length': ['a pressure per length', '3e9 Pa/m'],
  viscosity: ['a viscosity', '900 Pa s'],
  density: ['a density', '1197 kg/m3'],
  diffusivity: ['an area per time', '2e-13 m2/s'],
  permeance: ['a permeance', '2e-9 kg/m2sPa'],
  conductivity: ['a thermal conductivity', '0.34 W/mK'],
  'heat transfer': ['a heat transfer coefficient', '8 W/m2K'],
  'heat capacity': ['a heat capacity', '1600 J/kgK'],
  'heat capacity of a body': ['a heat capacity', '250 J/K'],
  'heat capacity by volume': ['a heat capacity by volume', '3.9e6 J/m3K'],
  'heat per mass': ['a heat per mass', '55 kJ/kg'],
  'energy per amount': ['an energy per mole', '54 kJ/mol'],
  'energy per area': ['an energy per area', '30 J/m2'],
  'thermal resistance': ['a thermal resistance', '4 K/W'],
  'thermal conductance': ['a thermal conductance', '0.03 W/K'],
  'heating rate': ['a heating rate', '0.15 K/s'],
} as const;
export type Dimension = keyof typeof DIMENSIONS;

/** One unit: kind of quantity, SI value of one of it, and how people see it on a screen. SI = factor x number + zero. */
type Unit = readonly [dimension: Dimension, factor: number, shown?: string, zero?: number];

const ZERO_CELSIUS = 273.15;

const UNITS: Readonly<Record<string, Unit>> = {
  '': ['number', 1],
  '%': ['share', 0.01],
  'wt %': ['mass share', 0.01],
  '%RH': ['humidity', 0.01, '%RH'],
  C: ['temperature', 1, '°C', ZERO_CELSIUS],
  K: ['temperature difference', 1],
  deg: ['angle', Math.PI / 180, '°'],
  m: ['length', 1],
  cm: ['length', 1e-2],
  mm: ['length', 1e-3],
  um: ['length', 1e-6, 'µm'],
  m2: ['area', 1, 'm²'],
  cm2: ['area', 1e-4, 'cm²'],
  mm2: ['area', 1e-6, 'mm²'],
  m3: ['volume', 1, 'm³'],
  l: ['volume', 1e-3],
  cm3: ['volume', 1e-6, 'cm³'],
  mm3: ['volume', 1e-9, 'mm³'],
  'mm3/s': ['volume per time', 1e-9, 'mm³/s'],
  kg: ['mass', 1],
  g: ['mass', 1e-3],
  mg: ['mass', 1e-6],
  s: ['time', 1],
  min: ['time', 60],
  h: ['time', 3600],
  d: ['time', 86400],
  '1/s': ['per time', 1, '/s'],
  '1/h': ['per time', 1 / 3600, '/h'],
  '1/kg': ['per mass', 1, '/kg'],
  '1/K': ['per temperature', 1, '/K'],
  'mm/kg': ['length per mass', 1e-3],
  'mm/N': ['length per force', 1e-3],
  'mm/s': ['speed', 1e-3],
  'mm/min': ['speed', 1e-3 / 60],
  'm/s': ['speed', 1],
  'mm/s2': ['acceleration', 1e-3, 'mm/s²'],
  'm/s2': ['acceleration', 1, 'm/s²'],
  N: ['force', 1],
  kN: ['force', 1e3],
  'N/m': ['force per length', 1],
  Pa: ['pressure', 1],
  kPa: ['pressure', 1e3],
  MPa: ['pressure', 1e6],
  GPa: ['pressure', 1e9],
  mbar: ['pressure', 1e2],
  bar: ['pressure', 1e5],
  'Pa/m': ['pressure per length', 1],
  'Pa s': ['viscosity', 1],
  'kg/m3': ['density', 1, 'kg/m³'],
  'g/cm3': ['density', 1e3, 'g/cm³'],
  'm2/s': ['diffusivity', 1, 'm²/s'],
  'kg/m2sPa': ['permeance', 1, 'kg/m²sPa'],
  'W/mK': ['conductivity', 1],
  'W/m2K': ['heat transfer', 1, 'W/m²K'],
  'J/kgK': ['heat capacity', 1],
  'J/K': ['heat capacity of a body', 1],
  'J/m3K': ['heat capacity by volume', 1, 'J/m³K'],
  'J/kg': ['heat per mass', 1],
  'kJ/kg': ['heat per mass', 1e3],
  'J/mol': ['energy per amount', 1],
  'kJ/mol': ['energy per amount', 1e3],
  'J/m2': ['energy per area', 1, 'J/m²'],
  'K/W': ['thermal resistance', 1],
  'W/K': ['thermal conductance', 1],
  'K/s': ['heating rate', 1],
  'K/min': ['heating rate', 1 / 60],
};

/** All units that may be written, in the order of the table. */
export const UNIT_NAMES: readonly string[] = Object.keys(UNITS).filter((name) => name !== '');

function unitOf(name: string): Unit {
  const unit = UNITS[name];
  if (!unit) throw new RangeError(`"${name}" is not a unit of the table`);
  return unit;
}

export function isUnit(name: string): boolean {
  return Object.hasOwn(UNITS, name);
}

/** @throws RangeError for a name that is not in the table: the caller's fault */
export function dimensionOf(unit: string): Dimension {
  return unitOf(unit)[0];
}

/** A number in a unit as SI; for C a temperature, so 90 gives 363.15. */
export function toSi(number: number, unit: string): number {
  const [, factor, , zero = 0] = unitOf(unit);
  return number * factor + zero;
}

/** An SI value as a number in a unit. */
export function fromSi(value: number, unit: string): number {
  const [, factor, , zero = 0] = unitOf(unit);
  return (value - zero) / factor;
}

/** A difference in a unit as SI: as `toSi`, without the shift of a temperature scale. */
export function differenceToSi(number: number, unit: string): number {
  return number * unitOf(unit)[1];
}

// ---------------------------------------------------------------- text to quantity

/** A quantity in SI, with the unit in which it was written. */
export type Quantity = Readonly<{ value: number; unit: string }>;

/** What a place asks for: a quantity of the kind of this unit, or of this kind. `example` shows the form. */
export type Wanted = Readonly<({ unit: string } | { dimension: Dimension }) & { example?: string }>;

export const NUMBER = '[+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d+)?';
const QUANTITY = new RegExp(`^(${NUMBER})\\s*(.*)$`);
const DECIMAL_COMMA = /\d,\d/;

/** Signs that a keyboard or our own screens may bring in, as the plain ones of the grammar. */
export function plain(text: string): string {
  return text
    .trim()
    .replace(/(?<=\d)[\u00a0\u2009\u202f](?=\d{3}(?!\d))/g, '')
    .replace(/[\u00a0\u2009\u202f]/g, ' ')
    .replaceAll('\u2212', '-')
    .replaceAll('±', '+-')
    .replaceAll('×', 'x')
    .replaceAll('²', '2')
    .replaceAll('³', '3')
    .replace(/[\u00b5\u03bc]m/g, 'um')
    .replace(/°\s*C/g, 'C')
    .replaceAll('°', ' deg')
    .replace(/\s+/g, ' ');
}

/** What is expected of a place, in words: `a temperature with its unit, such as "90 C"`. */
export function expectation(wanted: Wanted): string {
  const dimension = 'unit' in wanted ? dimensionOf(wanted.unit) : wanted.dimension;
  const [words, usual] = DIMENSIONS[dimension];
  const example = wanted.example ?? ('unit' in wanted && !usual.endsWith(` ${wanted.unit}`) ? null : usual);
  if (dimension === 'number') return `${words}, such as ${example ?? usual}`;
  if (example !== null) return `${words} with its unit, such as "${example}"`;
  return `${words} in ${'unit' in wanted ? wanted.unit : ''}`;
}

/**
 * One quantity with its unit, such as "90 C", "0.15 wt %" or "2e-13 m2/s", to SI.
 *
 * A chance may be written "1 in 31". A difference of temperatures may be written with K or C. A decimal comma is
 * refused, because "1,234 g" is read as two different masses by two different people.
 */
export function parseQuantity(written: string, wanted: Wanted): Reading<Quantity> {
  const text = written.trim();
  const expected = expectation(wanted);
  const dimension = 'unit' in wanted ? dimensionOf(wanted.unit) : wanted.dimension;
  const said = plain(text);
  if (DECIMAL_COMMA.test(said))
    return refuse(`"${text}" has a decimal comma.`, `a point: ${said.replaceAll(/(\d),(\d)/g, '$1.$2')}`);
  if (dimension === 'number') {
    const chance = parseChance(said);
    if (chance !== null) return read({ value: chance, unit: '' });
  }
  const match = QUANTITY.exec(said);
  if (!match) return refuse(`"${text}" is not a quantity.`, expected);
  const number = Number(match[1]);
  const unit = respell(match[2]!);
  if (!Number.isFinite(number)) return refuse(`"${text}" is too large a number.`, expected);
  if (unit === '' && dimension !== 'number') return refuse(`"${text}" has no unit.`, expected);
  if (!isUnit(unit)) return refuse(`"${text}": "${unit}" is not a unit known here.`, expected);
  const found = dimensionOf(unit);
  if (found === dimension) return read({ value: toSi(number, unit), unit });
  if (dimension === 'temperature difference' && unit === 'C') return read({ value: number, unit: 'K' });
  return refuse(`"${text}" is ${DIMENSIONS[found][0]}.`, expected);
}

/** Spaces inside a unit as the table has them: "wt%", "% RH", "L". */
function respell(unit: string): string {
  const tight = unit.trim();
  if (/^wt\s*%$/.test(tight)) return 'wt %';
  if (/^%\s*RH$/i.test(tight)) return '%RH';
  return tight === 'L' ? 'l' : tight;
}

/** "1 in 31" as a share; null where the text is none. */
export function parseChance(text: string): number | null {
  const match = /^(\d+(?:\.\d+)?) in (\d+(?:\.\d+)?)$/.exec(plain(text));
  if (!match) return null;
  const share = Number(match[1]) / Number(match[2]);
  return share <= 1 ? share : null;
}

const SIZE = new RegExp(`^(${NUMBER})\\s*([a-zA-Z]*)\\s*x\\s*(${NUMBER})\\s*([a-zA-Z]+)$`);

/** "260 x 220 mm" in metres: two lengths, the unit after the last counts for both. */
export function parseSize(text: string): Reading<readonly [number, number]> {
  const expected = 'two lengths with their unit, such as "260 x 220 mm"';
  const said = plain(text);
  if (DECIMAL_COMMA.test(said)) return refuse(`"${text}" has a decimal comma.`, expected);
  const match = SIZE.exec(said);
  if (!match) {
    const bare = new RegExp(`^${NUMBER}\\s*x\\s*${NUMBER}$`).test(said);
    return refuse(bare ? `"${text}" has no unit.` : `"${text}" is not a size.`, expected);
  }
  const last = parseQuantity(`${match[3]} ${match[4]}`, { dimension: 'length' });
  const first = parseQuantity(`${match[1]} ${match[2] || match[4]}`, { dimension: 'length' });
  if (!first.ok || !last.ok) return refuse(`"${text}" is not a size.`, expected);
  return read([first.value.value, last.value.value]);
}

/** "60 mm x 45 deg": radius in metres and angle in radians of a bend of the tube. */
export function parseBend(text: string): Reading<Readonly<{ radius: number; angle: number }>> {
  const expected = 'a radius and an angle, such as "60 mm x 45 deg"';
  const parts = plain(text).split(/\s+x\s+/);
  if (parts.length !== 2) return refuse(`"${text}" is not a bend.`, expected);
  const radius = parseQuantity(parts[0]!, { dimension: 'length' });
  const angle = parseQuantity(parts[1]!, { dimension: 'angle' });
  if (!radius.ok) return refuse(radius.message, expected);
  if (!angle.ok) return refuse(angle.message, expected);
  if (!(radius.value.value > 0)) return refuse(`"${text}" has no radius.`, expected);
  if (!(angle.value.value > 0 && angle.value.value <= 2 * Math.PI))
    return refuse(`"${text}" turns by less than 0 or more than 360 deg.`, expected);
  return read({ radius: radius.value.value, angle: angle.value.value });
}

/** "07:30" as seconds since midnight. `24:00` is a time of day where a stretch ends. */
export function parseClock(text: string, end = false): Reading<number> {
  const match = /^(\d{1,2}):(\d{2})$/.exec(text.trim());
  const minutes = match ? Number(match[1]) * 60 + Number(match[2]) : Number.NaN;
  const last = end ? 24 * 60 : 24 * 60 - 1;
  if (!match || Number(match[2]) > 59 || minutes > last)
    return refuse(`"${text}" is not a time of day.`, end ? '00:00 to 24:00' : '00:00 to 23:59');
  return read(minutes * 60);
}

/** A number typed into a field that names its unit: comma or point, spaces ignored; null where it is none. */
export function parseField(text: string): number | null {
  const said = text.replace(/\s/g, '').replace('\u2212', '-').replace(',', '.');
  return new RegExp(`^${NUMBER}$`).test(said) ? Number(said) : null;
}

// ---------------------------------------------------------------- quantity to text, for files

/** An SI value as text for a campaign or a card: plain ASCII, at most six significant digits, "90 C". */
export function writeQuantity(value: number, unit: string): string {
  const number = String(Number(fromSi(value, unit).toPrecision(6)));
  return unit === '' ? number : `${number} ${unit}`;
}

// ---------------------------------------------------------------- quantity to text, for people

const HARD_SPACE = '\u00a0';
const THIN_SPACE = '\u202f';
const MINUS = '\u2212';

/** Beyond these a number is printed as 2.0 · 10⁻¹³. */
const SMALLEST_PLAIN = 1e-3;
const LARGEST_PLAIN = 1e6;

/**
 * Decimal places at which a spread shows two significant digits; negative for tens, hundreds.
 * @param spread > 0, in the unit that is printed
 */
export function placesFor(spread: number): number {
  const rounded = Number(spread.toPrecision(2));
  return rounded > 0 && Number.isFinite(rounded) ? 1 - Math.floor(Math.log10(rounded) + 1e-12) : 0;
}

/** A number to so many decimal places, thousands apart, with a real minus and never "−0". */
export function showNumber(value: number, places: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`${value} cannot be printed`);
  const step = 10 ** -places;
  const fixed =
    places < 0 ? (Math.round(value / step) * step).toFixed(0) : value.toFixed(Math.min(places, 20));
  const [whole = '', share] = fixed.replace('-', '').split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, THIN_SPACE);
  const negative = value < 0 && /[1-9]/.test(fixed);
  return `${negative ? MINUS : ''}${grouped}${share === undefined ? '' : `.${share}`}`;
}

/** The unit as people see it, with the space before it: none before a degree of angle or a leading stroke. */
export function showUnit(unit: string): string {
  if (unit === '') return '';
  const shown = unitOf(unit)[2] ?? unit;
  return `${unit === 'deg' ? '' : HARD_SPACE}${shown.replaceAll(' ', HARD_SPACE)}`;
}

/** An SI value in a unit to so many significant digits, zeros at the end left out: a value without a spread. */
export function showQuantity(value: number, unit: string, digits = 3): string {
  const number = fromSi(value, unit);
  const power = powerFor(number);
  const mantissa = number / 10 ** power;
  const places = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(mantissa) || 1) + 1e-12));
  const text = showNumber(mantissa, places);
  return `${text.includes('.') ? text.replace(/\.?0+$/, '') : text}${showPower(power)}${showUnit(unit)}`;
}

/** "0.15 wt %", "0.09 to 0.24" and both: a median with its range, the range to two significant digits. */
export function showRange(
  range: Readonly<{ median: number; low: number; high: number }>,
  unit: string,
): Readonly<{ median: string; range: string; whole: string }> {
  const [median, low, high] = [range.median, range.low, range.high].map((value) => fromSi(value, unit)) as [
    number,
    number,
    number,
  ];
  if (!(high > low)) {
    const alone = showQuantity(range.median, unit, 4);
    return { median: alone, range: 'no spread', whole: alone };
  }
  const power = powerFor(Math.max(Math.abs(low), Math.abs(high)));
  const scale = 10 ** power;
  const places = placesFor((high - low) / scale);
  const show = (value: number) => showNumber(value / scale, places);
  const middle = `${show(median)}${showPower(power)}${showUnit(unit)}`;
  const ends = `${show(low)} to ${show(high)}`;
  return { median: middle, range: ends, whole: `${middle} (${ends})` };
}

/** "97.8 ± 2.7 MPa": half the interval to two significant digits, the value to the same place. */
export function showPlusMinus(value: number, half: number, unit: string): string {
  const number = fromSi(value, unit);
  const spread = Math.abs(half / unitOf(unit)[1]);
  if (!(spread > 0)) return showQuantity(value, unit, 4);
  const power = powerFor(Math.max(Math.abs(number), spread));
  const scale = 10 ** power;
  const places = placesFor(spread / scale);
  const both = `${showNumber(number / scale, places)} ± ${showNumber(spread / scale, places)}`;
  return `${power === 0 ? both : `(${both})`}${showPower(power)}${showUnit(unit)}`;
}

function powerFor(number: number): number {
  const size = Math.abs(number);
  if (size === 0 || (size >= SMALLEST_PLAIN && size < LARGEST_PLAIN)) return 0;
  return Math.floor(Math.log10(size) + 1e-12);
}

const RAISED: Readonly<Record<string, string>> = {
  '-': '⁻',
  0: '⁰',
  1: '¹',
  2: '²',
  3: '³',
  4: '⁴',
  5: '⁵',
  6: '⁶',
  7: '⁷',
  8: '⁸',
  9: '⁹',
};

function showPower(power: number): string {
  if (power === 0) return '';
  return ` · 10${[...String(power)].map((sign) => RAISED[sign]).join('')}`.replaceAll(' ', HARD_SPACE);
}

/** Shares outside these are never told apart: no card and no model of ours knows better. */
const LEAST_SHARE = 0.02;
const GREATEST_SHARE = 0.98;

/** "64 %", and "<2 %" or ">98 %" at the ends. @throws RangeError outside 0..1, a little rounding allowed */
export function showShare(share: number): string {
  return `${shareFigure(share)}${HARD_SPACE}%`;
}

/** "64 → 88 %": a share as it stands and with a change. */
export function showShareChange(from: number, to: number): string {
  return `${shareFigure(from)} → ${showShare(to)}`;
}

function shareFigure(share: number): string {
  if (!(share > -1e-9 && share < 1 + 1e-9)) throw new RangeError(`${share} is no share`);
  if (share < LEAST_SHARE) return '<2';
  if (share > GREATEST_SHARE) return '>98';
  return String(Math.round(share * 100));
}

/** Spans from this on are given in days and hours. */
const DAYS_FROM = 72 * 3600;

/** "45 s", "50 min", "4 h 10 min", "4 d 6 h": a stretch of time as people say it. */
export function showSpan(seconds: number): string {
  const sign = seconds < 0 ? MINUS : '';
  const size = Math.abs(seconds);
  if (size < 59.5) return `${sign}${Math.round(size)}${HARD_SPACE}s`;
  const [large, small, parts] = size < DAYS_FROM ? ['h', 'min', 60] : ['d', 'h', 24];
  const units = Math.round(size / (parts === 60 ? 60 : 3600));
  const whole = Math.floor(units / parts);
  const rest = units % parts;
  const words = [
    whole > 0 ? `${whole}${HARD_SPACE}${large}` : '',
    rest > 0 ? `${rest}${HARD_SPACE}${small}` : '',
  ].filter((word) => word !== '');
  return sign + words.join(HARD_SPACE);
}

/** The timer at the bench: m:ss below an hour, h:mm above; a minus where it is overdue. */
export function showTimer(seconds: number): string {
  const sign = seconds <= -1 ? MINUS : '';
  const whole = Math.floor(Math.abs(seconds));
  const [large, small] =
    whole < 3600
      ? [Math.floor(whole / 60), whole % 60]
      : [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60)];
  return `${sign}${large}:${String(small).padStart(2, '0')}`;
}

function timeParts(
  instant: number,
  zone: string,
  options: Intl.DateTimeFormatOptions,
): (type: string) => string {
  const parts = new Intl.DateTimeFormat('en-GB', { timeZone: zone, ...options }).formatToParts(instant);
  return (type) => parts.find((part) => part.type === type)?.value ?? '';
}

/** "Tue 18:10": a point in time in the person's zone. @param instant milliseconds since 1970, UTC */
export function showTime(instant: number, zone: string): string {
  const part = timeParts(instant, zone, {
    weekday: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  return `${part('weekday')}${HARD_SPACE}${part('hour')}:${part('minute')}`;
}

/** "Fri 12 Mar": a day in the person's zone. @param instant milliseconds since 1970, UTC */
export function showDay(instant: number, zone: string): string {
  const part = timeParts(instant, zone, { weekday: 'short', day: 'numeric', month: 'short' });
  return `${part('weekday')}${HARD_SPACE}${part('day')}${HARD_SPACE}${part('month')}`;
}

/** "07:30" from seconds since midnight. */
export function showClock(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

const ASCII: readonly (readonly [RegExp, string])[] = [
  [/[\u00a0\u2009\u202f]/g, ' '],
  [/\u2212/g, '-'],
  [/ · 10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)/g, 'e$1'],
  [/⁻/g, '-'],
  ...Object.entries(RAISED).map(([sign, raised]) => [new RegExp(raised, 'g'), sign] as const),
  [/±/g, '+-'],
  [/→/g, '->'],
  [/°C/g, 'C'],
  [/°/g, ' deg'],
  [/[µμ]/g, 'u'],
  [/×/g, 'x'],
  [/»/g, '>'],
  [/[–—]/g, '-'],
  [/·/g, '-'],
  [/[‘’]/g, "'"],
  [/[“”]/g, '"'],
];

/** Anything printed here for a terminal: the same words in plain ASCII. */
export function ascii(text: string): string {
  return ASCII.reduce((words, [from, to]) => words.replace(from, to), text).replace(/[^\n -~]/g, '?');
}
