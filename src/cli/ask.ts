import { existsSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { campaignFromAnswers, type PartSaid, type PlateSaid } from '../campaign/answers.ts';
import { type Field, type Question, questionsFor, UNKNOWN } from '../campaign/questions.ts';
import { InputFault, type Problem, sentence } from '../problem.ts';
import { faultList } from '../report/gcode-faults.ts';
import { openAnswered, plateName, usualJob } from '../work/bare.ts';
import { barsFound } from '../work/bars-found.ts';
import type { Cache } from '../work/cache.ts';
import { gcodeCardOf } from '../work/gcode-card.ts';
import { cardsFor, type OpenedCampaign } from '../work/library.ts';
import type { Pool } from '../work/pool.ts';
import { readPrint } from '../work/prints.ts';
import { writeWhole } from '../work/write-whole.ts';
import type { AskLine, Terminal } from './terminal.ts';

/**
 * A campaign on the spot from bare G-code: eight questions where people sit at the terminal, the cards' wide spreads,
 * said as such, where nobody does. What was answered is written beside the files, so that it can be changed and planned
 * again; where nobody answered, nothing is written.
 */
export async function askedCampaign(
  files: readonly string[],
  terminal: Terminal,
  pool: Pool,
  cache: Cache,
): Promise<OpenedCampaign> {
  const plates = await platesOf(files, terminal, pool, cache);
  const questions = questionsFor(cardsFor(null), zoneHere());
  const open = (fields: Readonly<Record<string, string>>, name: string) =>
    openAnswered(
      join(terminal.folder, name),
      campaignFromAnswers({ campaign: basename(files[0]!), plates, fields }),
      (field) => called(field, questions),
    );
  if (!terminal.interactive) {
    terminal.err('No answers: everything nobody said is assumed with the wide spread of its card.\n');
    return open({}, FILE);
  }
  // What is wrong before anything is answered, such as a card beside the files, no answer can mend.
  open({}, FILE);
  const wrongs = (fields: Readonly<Record<string, string>>): readonly Problem[] => {
    try {
      open(fields, FILE);
      return [];
    } catch (error) {
      if (!(error instanceof InputFault)) throw error;
      return error.problems;
    }
  };
  const fields = await terminal.asking((line) => ask(line, terminal, questions, plates, wrongs));
  const name = freeName(terminal.folder);
  const opened = open(fields, name);
  try {
    writeWhole(opened.path, opened.text);
    terminal.err(`\nYour answers are in ${name}: change them there, and plan that file the next time.\n`);
  } catch (error) {
    // The plan does not need the file.
    if (!(error instanceof InputFault)) throw error;
    for (const problem of error.problems) terminal.err(`\nNot kept: ${sentence(problem)}\n`);
  }
  return opened;
}

const FILE = 'campaign.yaml';

/** The first of campaign.yaml, campaign-2.yaml ... that is not there: nobody's file is written over. */
function freeName(folder: string): string {
  let name = FILE;
  for (let k = 2; existsSync(join(folder, name)); k++) name = `campaign-${k}.yaml`;
  return name;
}

/** Each file is a plate. All that cannot be used are told at once. */
async function platesOf(
  files: readonly string[],
  terminal: Terminal,
  pool: Pool,
  cache: Cache,
): Promise<PlateSaid[]> {
  const card = gcodeCardOf(usualJob());
  const plates: PlateSaid[] = [];
  const problems: Problem[] = [];
  for (const [k, name] of files.entries()) {
    const path = resolve(terminal.folder, name);
    try {
      const print = await readPrint({ path, name }, card, {
        pool,
        cache,
        signal: terminal.signal,
        onProgress: (share) => terminal.progress(`Reading ${basename(name)} ${Math.round(100 * share)} %`),
      });
      problems.push(...faultList(print).stops);
      plates.push({ name: plateName(k), gcode: name, bars: barsFound(print) });
    } catch (error) {
      if (!(error instanceof InputFault)) throw error;
      problems.push(...error.problems);
    }
  }
  terminal.progress('');
  if (problems.length > 0) throw new InputFault(problems);
  return plates;
}

async function ask(
  line: AskLine,
  terminal: Terminal,
  questions: readonly Question[],
  plates: PlateSaid[],
  wrongs: (fields: Readonly<Record<string, string>>) => readonly Problem[],
): Promise<Record<string, string>> {
  let said: Record<string, string> = {};
  const tell = (problems: readonly Problem[]) => {
    for (const problem of problems) terminal.err(`   ${sentence(problem)}\n`);
    return problems.length > 0;
  };
  terminal.err('Eight questions. An empty line says "I do not know".\n');
  for (const [number, question] of questions.entries()) {
    // Answers that do not go together are asked for again, all of their question.
    do {
      terminal.err(`\n${number + 1}. ${question.words}\n`);
      for (const field of question.fields) {
        if (field.kind === 'bars') {
          await askBars(line, terminal, plates);
          continue;
        }
        const id = `${question.id}.${field.id}`;
        let answer: string;
        do answer = await askField(line, terminal, field);
        while (tell(wrongs({ [id]: answer })));
        said = { ...said, [id]: answer };
      }
    } while (tell(wrongs(said)));
  }
  return said;
}

/** "Question 3, Set to" for `dryer.at`. */
function called(id: string, questions: readonly Question[]): string {
  for (const [number, question] of questions.entries())
    for (const field of question.fields)
      if (`${question.id}.${field.id}` === id) return `question ${number + 1}, ${field.label}`;
  return id;
}

async function askField(line: AskLine, terminal: Terminal, field: Field): Promise<string> {
  const choices = field.choices.filter((choice) => choice.value !== UNKNOWN.value);
  choices.forEach((choice, k) => {
    terminal.err(`   ${k + 1}  ${choice.label}\n`);
  });
  const hint = choices.length > 0 ? ` (1 to ${choices.length})` : field.hint ? `, such as ${field.hint}` : '';
  const before = field.value === '' ? '' : ` [${field.value}]`;
  const answer = (await line(`   ${field.label}${hint}${before}: `)).trim() || field.value;
  if (answer === '') return UNKNOWN.value;
  return choices[Number(answer) - 1]?.value ?? answer;
}

/** Which bar is which: shown as found, kept with an empty line. */
async function askBars(line: AskLine, terminal: Terminal, plates: PlateSaid[]): Promise<void> {
  for (const [k, plate] of plates.entries()) {
    const found = plate.bars.map(barWords).join(', ');
    terminal.err(`   ${basename(plate.gcode)}: ${found || 'no solid bar found'}\n`);
    if (plate.bars.length === 0) continue;
    const answer = (
      await line('   Right? Empty line: yes. Or flat, on edge, upright for all of them: ')
    ).trim();
    if (['flat', 'on edge', 'upright'].includes(answer))
      plates[k] = { ...plate, bars: plate.bars.map((bar) => ({ ...bar, orientation: answer })) };
  }
}

function barWords({ part, bar, orientation }: PartSaid): string {
  return `${part} ${bar === 'unknown' ? 'no standard bar' : `${bar} ${orientation}`}`;
}

function zoneHere(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone;
}
