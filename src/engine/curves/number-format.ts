import { type ExportText, textBetween } from './encoding.ts';
import {
  BAR,
  COMMA,
  LINE_FEED,
  type NumberFormat,
  newRow,
  POINT,
  QUOTE,
  type Row,
  readRow,
  SEMICOLON,
  SPACE,
  TAB,
} from './rows.ts';

/**
 * Delimiter and decimal sign, found together: every pair is tried on a sample of the lines, and the one wins under
 * which most lines are rows of numbers of one width.
 */

/** In the order in which equal scores are settled. The last, both signs alike, can only be told inside quotes. */
const PAIRS: readonly NumberFormat[] = [
  { delimiter: SEMICOLON, decimal: COMMA },
  { delimiter: SEMICOLON, decimal: POINT },
  { delimiter: TAB, decimal: POINT },
  { delimiter: TAB, decimal: COMMA },
  { delimiter: COMMA, decimal: POINT },
  { delimiter: BAR, decimal: POINT },
  { delimiter: BAR, decimal: COMMA },
  { delimiter: SPACE, decimal: POINT },
  { delimiter: SPACE, decimal: COMMA },
  { delimiter: COMMA, decimal: COMMA },
];

/** Lines sampled from the beginning, from a third and from two thirds of the file. */
const SAMPLE = [240, 80, 80] as const;
/** How much a wider row weighs: of two delimiters that both fit, the one that parts more. */
const WIDTH_WEIGHT = 0.01;

export type FoundFormat = Readonly<{
  format: NumberFormat;
  /** Rows of numbers in the sample, and lines in it. */
  rows: number;
  lines: number;
  /** Both decimal signs fit, for every number has three digits behind the sign. */
  ambiguous: boolean;
}>;

export const delimiterWords: Readonly<Record<number, string>> = {
  [SEMICOLON]: 'semicolon',
  [TAB]: 'tab',
  [COMMA]: 'comma',
  [BAR]: 'upright bar',
  [SPACE]: 'spaces',
};

export const decimalWords = (decimal: number) => (decimal === COMMA ? 'comma' : 'point');

/** Whether a line is a row: at least two numbers, and at most one filled field that is none. */
export function isRow(row: Row): boolean {
  return row.numbers >= 2 && row.words <= 1;
}

/** The pair that fits best, or null when no line is a row under any. */
export function findFormat(text: ExportText): FoundFormat | null {
  const starts = sampleStarts(text);
  const row = newRow();
  const quoted = text.bytes.subarray(0, Math.min(text.length, 4096)).includes(QUOTE);
  let best: (FoundFormat & { score: number; grouped: number }) | null = null;
  for (const format of PAIRS) {
    if (format.delimiter === format.decimal && !quoted) continue;
    const widths = new Map<number, number>();
    let grouped = 0;
    for (const start of starts) {
      readRow(text, start, format, row);
      if (!isRow(row)) continue;
      widths.set(row.fields, (widths.get(row.fields) ?? 0) + 1);
      grouped += row.grouped;
    }
    for (const [width, rows] of widths) {
      const score = rows * (1 + WIDTH_WEIGHT * width);
      // At the same score digits that need no grouping are the plainer reading.
      const plainer: boolean = best !== null && score === best.score && grouped === 0 && best.grouped > 0;
      if (best !== null && score <= best.score && !plainer) continue;
      best = { format, rows, lines: starts.length, score, grouped, ambiguous: plainer };
    }
  }
  return best;
}

/** Where the lines of the sample begin. */
function sampleStarts(text: ExportText): number[] {
  const starts: number[] = [];
  SAMPLE.forEach((count, part) => {
    let at = Math.floor((text.length * part) / SAMPLE.length);
    if (part > 0) at = lineEnd(text, at) + 1;
    const after = starts.at(-1) ?? -1;
    for (let k = 0; k < count && at < text.length; k++) {
      if (at > after) starts.push(at);
      at = lineEnd(text, at) + 1;
    }
  });
  return starts;
}

export function lineEnd(text: ExportText, at: number): number {
  return text.bytes.indexOf(LINE_FEED, at);
}

/** Fields of a line as text, quotes taken off. Runs of two blanks or more part the headings of a table in spaces. */
export function fieldsOf(line: string, format: NumberFormat): string[] {
  if (format.delimiter === SPACE) {
    const wide = line.trim().split(/\s{2,}|\t+/);
    return wide.length > 1 ? wide : line.trim().split(/\s+/);
  }
  const delimiter = String.fromCharCode(format.delimiter);
  if (!line.includes('"')) return line.split(delimiter).map((field) => field.trim());
  const fields: string[] = [];
  let field = '';
  let inside = false;
  for (const letter of line) {
    if (letter === '"') inside = !inside;
    else if (letter === delimiter && !inside) {
      fields.push(field.trim());
      field = '';
    } else field += letter;
  }
  return [...fields, field.trim()];
}

export function lineText(text: ExportText, from: number): string {
  return textBetween(text, from, lineEnd(text, from)).replace(/\r$/, '');
}
