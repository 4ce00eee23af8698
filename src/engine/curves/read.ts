import { Refusal } from '../kernel.ts';
import { type Block, blocksOf } from './blocks.ts';
import { type ExportText, exportText } from './encoding.ts';
import { decimalWords, delimiterWords, fieldsOf, findFormat, lineText } from './number-format.ts';
import { oddities, refuseImpossible } from './plausible.ts';
import type { Layout, Question, Reading } from './reading.ts';
import { barsOf } from './recorded-bars.ts';
import { COMMA, type NumberFormat, POINT } from './rows.ts';
import { signsOf } from './signs.ts';
import { ROWS_LEAST, readTable, type Table } from './table.ts';
import { headingParts, nameIn, rolesNamed } from './words.ts';

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
    const { width, thickness, gaugeLength, gripDistance } = bar.measures;
    const section = width !== null && thickness !== null ? width * thickness : null;
    for (const question of oddities(bar, blocks[0]!.columns, section, gaugeLength, gripDistance))
      ask(question);
    if (bar.turned) notes.push(`Bar ${bar.name}: tension was recorded as negative and is turned.`);
    if (bar.rowsWithoutForce > 0)
      notes.push(`Bar ${bar.name}: ${bar.rowsWithoutForce} rows have no force and are left out.`);
  }
  compareBars(name, bars, ask, notes);
  askAboutEnd(text, table, format, ask);
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

/** Force of one bar against that of the others from which on two units must be mixed. */
const FORCES_APART = 300;
/** Share of the greatest force that stands at the end of a record without a break. */
const STANDS = 0.5;

/** @throws Refusal where the forces of two bars of one file differ as two units do */
function compareBars(
  file: string,
  bars: Reading['bars'],
  ask: (question: Question) => void,
  notes: string[],
): void {
  const signs = bars.map(({ channels }) => signsOf(channels.force ?? channels.stress!));
  const middle = [...signs].sort((a, b) => a.max - b.max)[signs.length >> 1]!;
  bars.forEach((bar, k) => {
    const quotient = Math.max(signs[k]!.max / middle.max, middle.max / signs[k]!.max);
    if (quotient > FORCES_APART)
      throw new Refusal(
        `${file}, from line ${bar.lineFirst} on: two units are mixed, the force of bar ${bar.name} is ${Math.round(quotient)} times ${signs[k]!.max > middle.max ? 'larger' : 'smaller'} than that of the others under the same headings. Expected one unit in the whole file.`,
      );
  });
  const standing = bars.filter((_, k) => signs[k]!.endShare > STANDS);
  if (standing.length === 0) return;
  const names = standing.map(({ name }) => name).join(', ');
  if (standing.length < bars.length && standing.includes(bars.at(-1)!))
    ask({
      code: 'cut',
      sentence: `Was the file cut off? The record of ${names} ends under load, the other bars break.`,
      columns: [],
    });
  else notes.push(`No break in the record of ${names}: it ends under load.`);
}

/** Words at the end that may be the beginning of another bar: a name or headings without rows, or a line without end. */
function askAboutEnd(
  text: ExportText,
  table: Table,
  format: NumberFormat,
  ask: (question: Question) => void,
): void {
  const ended = /[\r\n]/.test(String.fromCharCode(text.bytes[text.length - 1]!));
  const line = table.below.find(({ from }, k) => {
    const words = lineText(text, from);
    const roles = fieldsOf(words, format).filter((field) => rolesNamed(headingParts(field).name).length > 0);
    return nameIn(words) !== null || roles.length > 1 || (!ended && k === table.below.length - 1);
  });
  if (line === undefined) return;
  ask({
    code: 'cut',
    sentence: `Was the file cut off? It ends with line ${line.number}, "${lineText(text, line.from).trim().slice(0, 60)}", and less than ${ROWS_LEAST} rows below it.`,
    columns: [],
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
