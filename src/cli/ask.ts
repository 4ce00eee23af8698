import { basename, join, resolve } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { campaignFromAnswers, type PlateSaid } from '../campaign/answers.ts';
import { type Field, questionsFor, UNKNOWN } from '../campaign/questions.ts';
import { plateName, usualJob } from '../work/bare.ts';
import { barsFound } from '../work/bars-found.ts';
import type { Cache } from '../work/cache.ts';
import { gcodeCardOf } from '../work/gcode-card.ts';
import { cardsFor, type OpenedCampaign, openCampaign } from '../work/library.ts';
import type { Pool } from '../work/pool.ts';
import { readPrint } from '../work/prints.ts';
import type { Terminal } from './terminal.ts';

/**
 * A campaign on the spot from bare G-code: eight questions where people sit at the terminal, the cards' wide spreads,
 * said as such, where nobody does. Nothing is written; the campaign lives in the folder of the first file.
 */
export async function askedCampaign(
  files: readonly string[],
  terminal: Terminal,
  pool: Pool,
  cache: Cache,
): Promise<OpenedCampaign> {
  const card = gcodeCardOf(usualJob());
  const plates: PlateSaid[] = [];
  for (const [k, file] of files.entries()) {
    const path = resolve(terminal.folder, file);
    const print = await readPrint(path, card, undefined, {
      pool,
      cache,
      signal: terminal.signal,
      onProgress: (share) => terminal.progress(`Reading ${basename(file)} ${Math.round(100 * share)} %`),
    });
    plates.push({ name: plateName(k), gcode: path, bars: barsFound(print) });
  }
  const fields = terminal.interactive ? await ask(terminal, plates) : {};
  if (!terminal.interactive)
    terminal.err('No answers: everything nobody said is assumed with the wide spread of its card.\n');
  const text = campaignFromAnswers({ campaign: basename(files[0]!), plates, fields });
  return openCampaign(join(terminal.folder, 'campaign of these files.yaml'), text);
}

async function ask(terminal: Terminal, plates: PlateSaid[]): Promise<Record<string, string>> {
  const reader = createInterface({ input: process.stdin, output: process.stderr });
  const said: Record<string, string> = {};
  const line = (words: string) => reader.question(words, { signal: terminal.signal });
  try {
    terminal.err('Eight questions. An empty line says "I do not know".\n');
    for (const [number, question] of questionsFor(cardsFor(null), zoneHere()).entries()) {
      terminal.err(`\n${number + 1}. ${question.words}\n`);
      for (const field of question.fields) {
        if (field.kind === 'bars') await askBars(line, terminal, plates);
        else said[`${question.id}.${field.id}`] = await askField(line, terminal, field);
      }
    }
  } finally {
    reader.close();
  }
  return said;
}

async function askField(
  line: (words: string) => Promise<string>,
  terminal: Terminal,
  field: Field,
): Promise<string> {
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
async function askBars(
  line: (words: string) => Promise<string>,
  terminal: Terminal,
  plates: PlateSaid[],
): Promise<void> {
  for (const [k, plate] of plates.entries()) {
    const found = plate.bars.map((bar) => `${bar.part} ${bar.bar} ${bar.orientation}`).join(', ');
    terminal.err(`   ${basename(plate.gcode)}: ${found || 'no solid bar found'}\n`);
    if (plate.bars.length === 0) continue;
    const answer = (
      await line('   Right? Empty line: yes. Or flat, on edge, upright for all of them: ')
    ).trim();
    if (['flat', 'on edge', 'upright'].includes(answer))
      plates[k] = { ...plate, bars: plate.bars.map((bar) => ({ ...bar, orientation: answer })) };
  }
}

function zoneHere(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone;
}
