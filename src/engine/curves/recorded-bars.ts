import { Refusal } from '../kernel.ts';
import type { Block } from './blocks.ts';
import { ROLE_NAMES } from './columns.ts';
import type { ExportText } from './encoding.ts';
import type { Channel, Measures, Question, RecordedBar } from './reading.ts';
import type { Curve } from './reduction.ts';
import { isBlank, signsOf } from './signs.ts';
import { ROWS_LEAST } from './table.ts';
import { type Measure, nameIn, type Role } from './words.ts';

/** Bars of one table: side by side (the same roles repeated), by a column of names, or the table as one bar. */

/** Columns of one bar, by role, and its name where one stands over them. */
type Group = { columns: Map<Role, number>; name: string | null };
/** Rows of one bar: pieces [from, to) of the table. */
type Rows = { pieces: [number, number][]; name: string | null };

export function barsOf(
  text: ExportText,
  block: Block,
  blockIndex: number,
  ask: (question: Question) => void,
  notes: string[],
): RecordedBar[] {
  const groups = groupsOf(block, ask);
  const rows = rowsOf(block, notes);
  if (!groups.some(({ columns }) => columns.has('force') || columns.has('stress'))) {
    const found = block.columns.filter(({ role }) => role !== 'other' && role !== 'id');
    throw new Refusal(
      `${text.name}, lines ${block.run.lineFirst} to ${block.run.lineLast}: no column of force. ${
        found.length === 0
          ? 'No heading names a role that is known'
          : `Found ${found.map(({ role }) => ROLE_NAMES[role]).join(', ')}`
      }; expected force with strain, extension or travel beside it.`,
    );
  }
  const bars: RecordedBar[] = [];
  for (const part of rows)
    groups.forEach((group, k) => {
      const name =
        part.name ??
        group.name ??
        (rows.length === 1 && block.headings.names.length === groups.length
          ? block.headings.names[k]!
          : rows.length === 1 && groups.length === 1
            ? (block.headings.names.at(-1) ?? null)
            : null);
      const bar = barOf(block, group, part, name, k, groups.length, bars.length + 100 * blockIndex);
      if (bar !== null) bars.push(bar);
    });
  const confirmed = block.columns.some(({ from }) => from === 'person');
  if (!confirmed && bars.some(({ channels }) => channels.force === undefined))
    ask({
      code: 'stress-only',
      sentence:
        'There is stress and no force. Which width and thickness did the machine reckon with? Those given here are taken for its own.',
      columns: block.columns.filter(({ role }) => role === 'stress').map(({ index }) => index),
    });
  return bars;
}

/** Columns to bars side by side; a role that stands once beside repeated ones, such as time, is shared by all. */
function groupsOf(block: Block, ask: (question: Question) => void): Group[] {
  const byRole = new Map<Role, number[]>();
  for (const { role, index } of block.columns) {
    if (role === 'other' || role === 'id') continue;
    // Blank columns, such as behind a delimiter at the end of every row, are nothing.
    if (isBlank(block.run.columns[index]!)) continue;
    byRole.set(role, [...(byRole.get(role) ?? []), index]);
  }
  const count = (byRole.get('force') ?? byRole.get('stress') ?? []).length;
  const groups: Group[] = Array.from({ length: Math.max(1, count) }, () => ({
    columns: new Map(),
    name: null,
  }));
  for (const [role, indices] of byRole) {
    if (indices.length !== groups.length && indices.length !== 1)
      ask({
        code: 'twice',
        sentence: `Which column is ${ROLE_NAMES[role]}? ${indices.length} columns are headed so (${indices
          .map((index) => `${index + 1}: "${block.columns[index]!.heading}"`)
          .join(', ')})${groups.length === 1 ? '; the first is taken' : `, for ${groups.length} bars`}.`,
        columns: indices,
      });
    groups.forEach((group, k) => {
      group.columns.set(role, indices.length === groups.length ? indices[k]! : indices[0]!);
    });
  }
  if (groups.length > 1) nameGroups(block, groups);
  else groups[0]!.name = null;
  return groups;
}

/** Names over the columns of bars side by side: a row above the headings, or what the headings hold beside roles. */
function nameGroups(block: Block, groups: Group[]): void {
  const { over } = block.headings;
  const names = over.filter((name) => name !== '');
  for (const group of groups) {
    const own = [...group.columns.entries()].filter(([, index]) =>
      groups.every((other) => other === group || ![...other.columns.values()].includes(index)),
    );
    const first = Math.min(...own.map(([, index]) => index));
    if (names.length > 0) {
      let at = first;
      while (at > 0 && over[at] === '') at--;
      group.name = (over[at] ?? '') === '' ? null : (nameIn(over[at]!) ?? over[at]!);
    } else {
      const rests = new Set(own.map(([, index]) => block.rests[index]!));
      const [rest = ''] = rests;
      group.name = rests.size === 1 && rest !== '' ? rest : null;
    }
  }
  // A row of names that does not tell the bars apart is none.
  if (new Set(groups.map(({ name }) => name)).size < groups.length)
    for (const group of groups) group.name = null;
}

/** Rows to bars by the column of names, of words or of numbers. */
function rowsOf(block: Block, notes: string[]): Rows[] {
  const { run, columns } = block;
  const whole: Rows[] = [{ pieces: [[0, run.count]], name: null }];
  const id = columns.find(({ role }) => role === 'id');
  if (id === undefined) return whole;
  const marks = run.names?.column === id.index ? run.names : numberNames(run.columns[id.index]!);
  if (marks.words.length === 0) return whole;
  const parts = new Map<string, Rows>();
  marks.words.forEach((name, k) => {
    const part = parts.get(name) ?? { pieces: [], name };
    part.pieces.push([marks.from[k]!, marks.from[k + 1] ?? run.count]);
    parts.set(name, part);
  });
  // Rows above the first name belong to nobody but the first.
  parts.values().next().value!.pieces[0]![0] = 0;
  if (parts.size > 1 && run.count / parts.size < ROWS_LEAST) {
    notes.push(
      `Column ${id.index + 1} holds other words in nearly every row; it is not taken for the names of bars.`,
    );
    return whole;
  }
  return [...parts.values()];
}

function numberNames(column: Float64Array): { from: number[]; words: string[] } {
  const from: number[] = [];
  const words: string[] = [];
  for (let i = 0; i < column.length; i++) {
    const value = column[i]!;
    if (Number.isNaN(value) || (words.length > 0 && String(value) === words.at(-1))) continue;
    from.push(i);
    words.push(String(value));
  }
  return { from, words };
}

function barOf(
  block: Block,
  group: Group,
  rows: Rows,
  name: string | null,
  place: number,
  groupCount: number,
  number: number,
): RecordedBar | null {
  const { run } = block;
  const load = group.columns.get('force') ?? group.columns.get('stress');
  if (load === undefined) return null;
  const force = run.columns[load]!;
  let count = 0;
  let all = 0;
  let last = -1;
  for (const [from, to] of rows.pieces)
    for (let i = from; i < to; i++) {
      all++;
      if (Number.isNaN(force[i]!)) continue;
      count++;
      last = all;
    }
  if (count === 0) return null;
  // Blanks behind the last reading are the other bars' longer records; blanks before it are told.
  const without = last - count;
  const channels: Partial<Record<Channel, Float64Array>> = {};
  for (const [role, index] of group.columns) {
    const unit = block.units[index];
    const channel: Channel =
      role === 'transverse' && unit?.dimension === 'strain' ? 'transverseStrain' : (role as Channel);
    const factor = unit?.factor ?? 1;
    const values = new Float64Array(count);
    const column = run.columns[index]!;
    let at = 0;
    for (const [from, to] of rows.pieces)
      for (let i = from; i < to; i++) if (!Number.isNaN(force[i]!)) values[at++] = column[i]! * factor;
    channels[channel] = values;
  }
  const turned = turn(channels);
  return {
    name: name ?? `${number + 1}`,
    named: name !== null,
    lineFirst: run.lineOf(rows.pieces[0]![0]),
    lineLast: run.lineOf(rows.pieces.at(-1)![1] - 1),
    measures: measuresOf(block, place, groupCount),
    channels,
    rowsWithoutForce: without,
    turned,
  };
}

/** A channel whose greatest magnitude is negative by this much was recorded with the other sign. */
const TURNED = 3;

/** Turns channels that count tension or length negative; says whether force was among them. */
function turn(channels: Partial<Record<Channel, Float64Array>>): boolean {
  let turned = false;
  for (const channel of ['force', 'stress', 'grip', 'extension', 'strain'] as const) {
    const values = channels[channel];
    if (values === undefined) continue;
    const { min, max, first } = signsOf(values);
    // Travel may begin anywhere; what counts is where it goes.
    const base = channel === 'grip' ? first : 0;
    if (-(min - base) <= TURNED * Math.max(0, max - base)) continue;
    for (let i = 0; i < values.length; i++) values[i] = -values[i]!;
    if (channel === 'force' || channel === 'stress') turned = true;
  }
  return turned;
}

function measuresOf(block: Block, place: number, groupCount: number): Measures {
  const value = (measure: Measure): number | null => {
    const line = block.headings.measures.filter((one) => one.measure === measure).at(-1);
    if (line === undefined) return null;
    if (line.values.length === groupCount) return line.values[place]!;
    return line.values.length === 1 ? line.values[0]! : null;
  };
  return {
    width: value('width'),
    thickness: value('thickness'),
    gaugeLength: value('gaugeLength'),
    gripDistance: value('gripDistance'),
  };
}

/** Channels of a bar for the reduction; a machine that gives stress alone reckoned with the section given here. */
export function curveOf({ channels }: RecordedBar, section: number): Curve {
  const { stress, ...others } = channels;
  return { ...others, force: channels.force ?? stress!.map((value) => value * section) };
}
