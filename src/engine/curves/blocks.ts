import { hashText } from '../numerics/random.ts';
import { type Columns, columnsOf } from './columns.ts';
import type { ExportText } from './encoding.ts';
import { type Headings, headingsOf } from './headings.ts';
import type { Column, Layout, Question } from './reading.ts';
import type { NumberFormat } from './rows.ts';
import { ROWS_LEAST, type Run, type Table } from './table.ts';
import type { Unit } from './words.ts';

/** Tables of an export: runs of rows that belong together, each with its columns. */

export type Block = Readonly<{
  run: Run;
  headings: Headings;
  columns: readonly Column[];
  units: readonly (Unit | null)[];
  rests: readonly string[];
  questions: readonly Question[];
  fingerprint: string;
}>;

/**
 * Runs to blocks. A run without headings takes those of the run before. A run that only goes on (a remark between two
 * rows, headings repeated on a new page) is joined to it; where the clock starts anew, even without a word between,
 * a new block begins.
 */
export function blocksOf(
  text: ExportText,
  table: Table,
  format: NumberFormat,
  layouts: readonly Layout[],
): Block[] {
  const blocks: Block[] = [];
  for (const run of table.runs) {
    const before = blocks.at(-1);
    const own = headingsOf(text, run, format);
    const bare = own.line === null && before !== undefined && before.run.width === run.width;
    const headings: Headings = bare
      ? { ...before.headings, names: own.names, measures: own.measures, over: before.headings.over }
      : own;
    const fingerprint = fingerprintOf(format.delimiter, headings);
    const known = layouts.find((layout) => layout.fingerprint === fingerprint);
    const columns: Columns =
      bare && sameKinds(before.run, run)
        ? { columns: before.columns, units: before.units, rests: before.rests, questions: [] }
        : columnsOf(run, headings, known);
    const block: Block = { run, headings, ...columns, fingerprint };
    const alike = bare || (before !== undefined && before.fingerprint === fingerprint);
    const unnamed = own.names.length === 0 && own.measures.length === 0;
    if (before !== undefined && alike && unnamed && clockGoesOn(before, run))
      blocks[blocks.length - 1] = { ...before, run: joined(before.run, run) };
    else blocks.push(...partedByClock(block));
  }
  return blocks;
}

const sameKinds = (a: Run, b: Run) => (a.names === null) === (b.names === null);

/** Of the headings, their units and the number of columns: the same for the next file of that layout. */
export function fingerprintOf(
  delimiter: number,
  { texts, units }: Pick<Headings, 'texts' | 'units'>,
): string {
  const names = units.map((unit) => unit?.name ?? '');
  const all = [String(delimiter), String(texts.length), ...texts, ...names].join('\u0001');
  return hashText(all).toString(16).padStart(8, '0');
}

const clockOf = (columns: readonly Column[]) => columns.find(({ role }) => role === 'time')?.index;

function clockGoesOn(before: Block, run: Run): boolean {
  const clock = clockOf(before.columns);
  if (clock === undefined) return false;
  const last = before.run.columns[clock]!.at(-1)!;
  return run.columns[clock]![0]! >= last;
}

function joined(a: Run, b: Run): Run {
  const columns = a.columns.map((column, k) => {
    const both = new Float64Array(a.count + b.count);
    both.set(column);
    both.set(b.columns[k]!, a.count);
    return both;
  });
  return {
    ...a,
    lineLast: b.lineLast,
    count: a.count + b.count,
    columns,
    lineOf: (row) => (row < a.count ? a.lineOf(row) : b.lineOf(row - a.count)),
    names:
      a.names === null || b.names === null
        ? a.names
        : {
            column: a.names.column,
            from: [...a.names.from, ...b.names.from.map((row) => row + a.count)],
            words: [...a.names.words, ...b.names.words],
          },
  };
}

/**
 * Bars one below the other without a word between: the clock falls back to where it began. Names in a column tell
 * the bars better, and are left to do so.
 */
function partedByClock(block: Block): Block[] {
  const { run, columns } = block;
  const clock = clockOf(columns);
  if (clock === undefined || run.names !== null || columns.some(({ role }) => role === 'id')) return [block];
  const time = run.columns[clock]!;
  const starts = [0];
  for (let i = 1; i < run.count; i++) {
    const restarts =
      time[i]! < time[i - 1]! && time[i]! <= time[starts.at(-1)!]! + Math.abs(time[1]! - time[0]!);
    if (restarts && i - starts.at(-1)! >= ROWS_LEAST) starts.push(i);
  }
  if (starts.length === 1) return [block];
  return starts.map((from, k) => {
    const to = starts[k + 1] ?? run.count;
    return {
      ...block,
      questions: k === 0 ? block.questions : [],
      run: {
        ...run,
        lineFirst: run.lineOf(from),
        lineLast: run.lineOf(to - 1),
        count: to - from,
        columns: run.columns.map((column) => column.subarray(from, to)),
        lineOf: (row) => run.lineOf(row + from),
      },
    };
  });
}
