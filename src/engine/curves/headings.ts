import { Refusal } from '../kernel.ts';
import type { ExportText } from './encoding.ts';
import { fieldsOf, lineText } from './number-format.ts';
import { COMMA, type NumberFormat, numberIn, SPACE } from './rows.ts';
import type { Line, Run } from './table.ts';
import { headingParts, type Measure, measureOf, nameIn, rolesNamed, type Unit, unitOf } from './words.ts';

/** Lines of words above a run: headings, a row of units, names over the columns, names and measures of bars. */

export type Headings = Readonly<{
  /** Name of each column without its unit; empty where there is none. */
  labels: readonly string[];
  /** Heading of each column as it stands. */
  texts: readonly string[];
  units: readonly (Unit | null)[];
  /** A name over each column, as the row above the headings gives it; empty where there is none. */
  over: readonly string[];
  /** Line of the headings, or null. */
  line: number | null;
  /** Names of bars in lines above. */
  names: readonly string[];
  measures: readonly MeasureLine[];
}>;

/** What one line says of a measure [m]; several values where bars stand side by side. */
export type MeasureLine = Readonly<{ measure: Measure; values: readonly number[]; unitGiven: boolean }>;

/** Lines above the rows that may be headings, units or names over the columns. */
const HEADING_LINES = 3;

export function headingsOf(text: ExportText, run: Run, format: NumberFormat): Headings {
  const { width } = run;
  let heading: { fields: string[]; line: Line } | null = null;
  let units: (Unit | null)[] | null = null;
  let over: string[] | null = null;
  let used = 0;
  for (const line of run.above.slice(-HEADING_LINES).reverse()) {
    const words = lineText(text, line.from);
    const fields = tableFields(words, format, width);
    if (heading === null && units === null && isUnitLine(fields)) units = fields.map(unitOf);
    else if (heading === null && isHeading(words, fields, width, format)) heading = { fields, line };
    else if (heading !== null && over === null && isOver(words, fields, width)) over = fields;
    else break;
    used++;
  }
  if (heading !== null) refuseCommaTwice(text, heading, run, format);
  const texts = padded(heading?.fields ?? [], width);
  const parts = texts.map(headingParts);
  parts.forEach(({ unit }, column) => {
    const below = units?.[column];
    if (unit !== null && below && below.name !== unit.name)
      throw new Refusal(
        `${text.name}, line ${heading!.line.number}, column ${column + 1}: two units are mixed, "${texts[column]}" in the heading and ${below.name} in the row below it. Expected one unit for a column.`,
      );
  });
  const others = run.above.slice(0, run.above.length - used).map((line) => lineText(text, line.from));
  return {
    labels: parts.map(({ name }) => name),
    texts,
    units: parts.map(({ unit }, column) => unit ?? units?.[column] ?? null),
    over: padded(over ?? [], width),
    line: heading?.line.number ?? null,
    names: others.flatMap((line) => nameIn(line) ?? []),
    measures: others.flatMap((line) => measureLine(line, format) ?? []),
  };
}

const padded = (fields: readonly string[], width: number) =>
  Array.from({ length: width }, (_, column) => fields[column] ?? '');

const filled = (fields: readonly string[]) => fields.filter((field) => field !== '');

/** Fields of a heading line. Where blanks part the columns and headings hold blanks, units in brackets end a heading. */
function tableFields(line: string, format: NumberFormat, width: number): string[] {
  const fields = fieldsOf(line, format);
  if (format.delimiter !== SPACE || fields.length === width) return fields;
  const byBracket = line.match(/[^()[\]]+[([][^)\]]*[)\]]/g)?.map((field) => field.trim()) ?? [];
  if (byBracket.length === width) return byBracket;
  const byWord = line.trim().split(/\s+/);
  return byWord.length === width ? byWord : fields;
}

function isUnitLine(fields: readonly string[]): boolean {
  const words = filled(fields);
  return (
    words.length >= Math.min(2, fields.length) && words.length > 0 && words.every((word) => unitOf(word))
  );
}

function isHeading(line: string, fields: readonly string[], width: number, format: NumberFormat): boolean {
  const words = filled(fields);
  if (words.length === 0 || (fields.length < 2 && width > 1)) return false;
  const roles = words.filter((word) => rolesNamed(headingParts(word).name).length > 0).length;
  if (roles > 0 && (fields.length >= width - 1 || 2 * fields.length === width)) return true;
  if (measureLine(line, format) !== null || nameIn(line) !== null) return false;
  // Headings in words that are not known: as many as columns, none of them a number.
  return fields.length === width && words.length >= 2 && words.every((word) => numberIn(word, '.') === null);
}

function isOver(line: string, fields: readonly string[], width: number): boolean {
  return (
    fields.length >= 2 &&
    fields.length >= width - 1 &&
    filled(fields).length > 0 &&
    measureOf(line) === null &&
    !isUnitLine(fields)
  );
}

/** "0,0,3,4" under two headings: a comma is both the delimiter and the decimal sign, which no reader can part. */
function refuseCommaTwice(
  text: ExportText,
  heading: { fields: string[]; line: Line },
  run: Run,
  format: NumberFormat,
): void {
  if (format.delimiter !== COMMA || 2 * heading.fields.length !== run.width) return;
  throw new Refusal(
    `${text.name}, line ${run.lineFirst}: a comma is both the delimiter and the decimal sign (${heading.fields.length} headings, ${run.width} fields). Export with semicolons or tabs between the columns.`,
  );
}

const VALUE = /^[\s:=]*([-+]?[\d][\d.,]*)\s*(.*)$/u;

/** "Width: 10.05 mm", "Breite;10,02;mm", "Width (mm),10.0,,10.02": a measure and its values, or null. */
export function measureLine(line: string, format: NumberFormat): MeasureLine | null {
  const bare = line.replaceAll('"', '');
  const found = measureOf(bare);
  if (found === null) return null;
  const bracket = /^[^\d;,\t|:=]*?[([]\s*([^)\]]*)[)\]]/u.exec(found.rest);
  let unit = bracket === null ? null : unitOf(bracket[1]!);
  const rest = unit === null ? found.rest : found.rest.slice(bracket![0].length);
  const values: number[] = [];
  for (const field of fieldsOf(rest, format)) {
    const match = VALUE.exec(field);
    if (match === null) {
      const alone = unitOf(field.replace(/^[\s:=]+/u, ''));
      if (alone !== null) unit ??= alone;
      continue;
    }
    const own = String.fromCharCode(format.decimal);
    const value = numberIn(match[1]!, own) ?? numberIn(match[1]!, own === ',' ? '.' : ',');
    if (value === null) continue;
    values.push(value.value);
    if (match[2] !== '') unit ??= unitOf(match[2]!);
  }
  if (values.length === 0 || (unit !== null && unit.dimension !== 'length')) return null;
  return {
    measure: found.measure,
    values: values.map((value) => value * (unit?.factor ?? 1e-3)),
    unitGiven: unit !== null,
  };
}
