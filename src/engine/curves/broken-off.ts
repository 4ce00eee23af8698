import { Refusal } from '../kernel.ts';
import { type ExportText, textBetween } from './encoding.ts';
import { lineText } from './number-format.ts';
import { beginsNumber, NUMBER, type NumberFormat, newRow, type Row, readRow } from './rows.ts';
import type { Line, Run } from './table.ts';

/**
 * A file that was cut off: its last line has no end, and has fewer fields than the rows above it, an empty last field
 * where they have a number, or fewer decimals in it where theirs are all alike.
 */
export function refuseBrokenOff(text: ExportText, last: Line, run: Run, format: NumberFormat): void {
  const end = text.length;
  const { bytes } = text;
  if (bytes[end - 1] === 10) return;
  // Lines that end in two characters, the last in the first of them alone: cut off between the two.
  if (bytes[end - 1] === 13 && bytes[bytes.indexOf(10) - 1] !== 13) return;
  const lineStart = text.bytes.lastIndexOf(10, end - 1) + 1;
  const row = newRow();
  readRow(text, lineStart, format, row);
  const tail = lineText(text, lineStart);
  const refusal = new Refusal(
    `${text.name} breaks off in the middle of line ${last.from === lineStart ? last.number : run.lineLast + 1} ("${tail.slice(0, 60)}"). Expected ${run.width} fields as in the lines above: copy or export it again.`,
  );
  if (last.from !== lineStart) {
    // The last line is no row: a row cut short, or words below the table.
    const first = bytes[lineStart]!;
    const begun = run.names?.words.some((name) => name.startsWith(tail.trim())) ?? false;
    const blank = first === format.delimiter;
    if (
      row.fields < run.width &&
      (beginsNumber(first) || blank || begun || (run.names !== null && row.fields > 1))
    )
      throw refusal;
    return;
  }
  if (row.fields < run.width || bytes[end - 1] === 13) throw refusal;
  const column = row.fields - 1;
  const before = decimalsOfRowsBefore(text, lineStart, format, column);
  if (before === null) return;
  const own = decimals(text, row, column, format);
  if (row.kinds[column] !== NUMBER || own < before) throw refusal;
}

/** Decimals of a column in the rows above, ten at most, when all have the same; null otherwise. */
function decimalsOfRowsBefore(
  text: ExportText,
  lineStart: number,
  format: NumberFormat,
  column: number,
): number | null {
  const row = newRow();
  let at = lineStart;
  let same: number | null = null;
  for (let k = 0; k < 10; k++) {
    at = at >= 2 ? text.bytes.lastIndexOf(10, at - 2) + 1 : 0;
    readRow(text, at, format, row);
    if (row.fields <= column || row.kinds[column] !== NUMBER) return k > 1 ? same : null;
    const count = decimals(text, row, column, format);
    if (same !== null && count !== same) return null;
    same = count;
  }
  return same;
}

function decimals(text: ExportText, row: Row, column: number, format: NumberFormat): number {
  const field = textBetween(text, row.from[column]!, row.to[column]!);
  const sign = field.indexOf(String.fromCharCode(format.decimal));
  return sign < 0 ? 0 : field.length - sign - 1;
}
