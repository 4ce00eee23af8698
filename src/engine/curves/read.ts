import { type Block, blocksOf } from './blocks.ts';
import { exportText } from './encoding.ts';
import { decimalWords, delimiterWords, findFormat, lineText } from './number-format.ts';
import { oddities, refuseImpossible } from './plausible.ts';
import type { Layout, Question, Reading } from './reading.ts';
import { barsOf } from './recorded-bars.ts';
import { COMMA, POINT } from './rows.ts';
import { readTable } from './table.ts';

export type ReadOptions = Readonly<{
  /** Layouts that the person has confirmed before; the one with the fingerprint of a table is used for it. */
  layouts?: readonly Layout[];
  /** Share done, 0 .. 1; may throw to stop. */
  progress?: (share: number) => void;
}>;

/**
 * Reads the export of a test machine: bytes, text, rows, blocks, roles, units, bars. What is guessed is a question;
 * nothing is decided that a person has to.
 *
 * @throws Refusal in one sentence, with the line where it can be told, on a file that cannot be read as curves
 */
export function readCurves(name: string, raw: Uint8Array, options: ReadOptions = {}): Reading {
  const { layouts = [], progress } = options;
  const text = exportText(name, raw);
  const found = findFormat(text);
  // No pair gives a row: the table finds out what is there instead and says so.
  let format = found?.format ?? { delimiter: COMMA, decimal: POINT };
  let table = readTable(text, format, progress);
  let blocks = blocksOf(text, table, format, layouts);
  const remembered = layouts.find(({ fingerprint }) => fingerprint === blocks[0]!.fingerprint);
  const decimal = remembered?.decimal === ',' ? COMMA : POINT;
  if (found?.ambiguous && remembered !== undefined && decimal !== format.decimal) {
    format = { ...format, decimal };
    table = readTable(text, format, progress);
    blocks = blocksOf(text, table, format, layouts);
  }
  const questions = new Map<string, Question>();
  const ask = (question: Question) => {
    if (!questions.has(question.sentence)) questions.set(question.sentence, question);
  };
  if (found?.ambiguous && remembered === undefined)
    ask({
      code: 'decimal',
      sentence: `Is the ${decimalWords(format.decimal)} the decimal sign? All numbers have three digits behind it, so that it could part thousands as well.`,
      columns: [],
    });
  const notes: string[] = [];
  const bars = blocks.flatMap((block, k) => {
    for (const question of block.questions) ask(question);
    return barsOf(text, block, k, ask, notes);
  });
  for (const bar of bars) {
    refuseImpossible(name, bar);
    const { width, thickness, gaugeLength } = bar.measures;
    const section = width !== null && thickness !== null ? width * thickness : null;
    for (const question of oddities(bar, blocks[0]!.columns, section, gaugeLength)) ask(question);
    if (bar.turned) notes.push(`Bar ${bar.name}: tension was recorded as negative and is turned.`);
    if (bar.rowsWithoutForce > 0)
      notes.push(`Bar ${bar.name}: ${bar.rowsWithoutForce} rows have no force and are left out.`);
  }
  askAboutScales(bars, ask, blocks[0]!);
  for (const line of table.passedOver.slice(0, 3))
    notes.push(`Line ${line.number} is no row and is passed over: "${lineText(text, line.from).trim()}".`);
  return {
    file: name,
    encoding: text.encoding,
    delimiter: delimiterWords[format.delimiter]!,
    decimal: decimalWords(format.decimal),
    evidence: [
      `${text.encoding}: ${text.evidence}.`,
      `${delimiterWords[format.delimiter]} between columns, ${decimalWords(format.decimal)} as decimal sign: ${found?.rows} of ${found?.lines} lines looked at are rows of numbers under that pair.`,
      `${bars.length === 1 ? '1 bar' : `${bars.length} bars`} in ${blocks.length === 1 ? '1 table' : `${blocks.length} tables one below the other`}, ${table.rowCount} rows.`,
    ],
    columns: blocks[0]!.columns,
    rowsFirst: table.rowsFirst,
    bars: namedApart(name, bars, notes),
    layouts: layoutsOf(blocks, format.decimal === COMMA ? ',' : '.'),
    questions: [...questions.values()],
    notes,
  };
}

/** Bars of one file whose forces differ by the ratio of two units. */
function askAboutScales(bars: Reading['bars'], ask: (question: Question) => void, block: Block): void {
  const most = bars.map(({ channels }) => {
    const load = channels.force ?? channels.stress!;
    let greatest = 0;
    for (const value of load) if (value > greatest) greatest = value;
    return greatest;
  });
  const middle = [...most].sort((a, b) => a - b)[most.length >> 1]!;
  bars.forEach((bar, k) => {
    const quotient = Math.max(most[k]! / middle, middle / most[k]!);
    if (quotient > 300)
      ask({
        code: 'force-scale',
        sentence: `Are two units mixed? The force of bar ${bar.name} is ${Math.round(quotient)} times ${most[k]! > middle ? 'larger' : 'smaller'} than that of the other bars of the file.`,
        columns: block.columns.filter(({ role }) => role === 'force').map(({ index }) => index),
      });
  });
}

/** Gives names to bars that have none, and tells bars of one name apart. */
function namedApart(file: string, bars: Reading['bars'], notes: string[]): Reading['bars'] {
  const stem = file.replace(/\.[^.]*$/, '');
  const seen = new Map<string, number>();
  return bars.map((bar, k) => {
    const name = bar.named ? bar.name : bars.length === 1 ? stem : `${k + 1}`;
    const before = seen.get(name) ?? 0;
    seen.set(name, before + 1);
    if (before === 0) return { ...bar, name };
    const apart = `${name} (${before + 1})`;
    notes.push(`The name ${name} stands more than once; bar ${k + 1} is called ${apart}.`);
    return { ...bar, name: apart };
  });
}

function layoutsOf(blocks: readonly Block[], decimal: Layout['decimal']): Layout[] {
  const layouts = new Map<string, Layout>();
  for (const { fingerprint, columns } of blocks)
    layouts.set(fingerprint, {
      fingerprint,
      decimal,
      columns: columns.map(({ role, unit }) => ({ role, unit })),
    });
  return [...layouts.values()];
}
