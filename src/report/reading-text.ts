import { ascii } from '../units.ts';
import { asciiPlot } from './ascii-plot.ts';
import type { ReadingView } from './results-views.ts';
import { wrapped } from './text.ts';

/** Rows shown before anything is kept. */
const ROWS = 5;

/** What a file is taken for, for a terminal: columns with their evidence, first rows, first curve, bars, questions. */
export function readingText(view: ReadingView): string {
  const { columns, rows, bars, first } = view;
  const width = Math.max(...columns.map(({ heading }) => heading.length), 8) + 2;
  const named = columns.map(
    ({ column, heading, roleWords, unit, evidence, asked }) =>
      `  ${asked ? '?' : ' '} ${String(column).padStart(2)}  ${(heading || '-').padEnd(width)} ${roleWords}${unit === null ? '' : `, ${unit}`}   (${evidence})`,
  );
  const table = rows.slice(0, ROWS).map((row) => `      ${row.join('  ')}`);
  const lines = [
    `${view.file}`,
    ...view.evidence.flatMap((words) => wrapped(`  ${words}`)),
    ...named,
    '    First rows:',
    ...table,
    `    First curve, ${first.yLabel} over ${first.xLabel}:`,
    ...asciiPlot(first.points).map((row) => `    ${row}`),
    ...bars.slice(0, 12).map(({ words }) => `    ${words}`),
    ...(bars.length > 12 ? [`    and ${bars.length - 12} more`] : []),
    ...view.notes.flatMap((words) => wrapped(`  ${words}`)),
    ...view.questions.flatMap((words) => wrapped(`  ? ${words}`)),
  ];
  return `${ascii(lines.join('\n'))}\n`;
}
