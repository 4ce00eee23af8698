import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import type { Layout } from '../engine/curves/reading.ts';
import type { FileResults } from '../engine/results/file-results.ts';
import type { Job } from '../job.ts';
import { InputFault, type Problem } from '../problem.ts';
import { barsText } from '../report/bars-text.ts';
import { barsView } from '../report/bars-view.ts';
import { readingText } from '../report/reading-text.ts';
import { readingView } from '../report/reading-view.ts';
import type { BarsView } from '../report/results-views.ts';
import { ascii } from '../units.ts';
import {
  barsFound,
  type CurveFile,
  curvesOf,
  NOT_PRINTED,
  printedOf,
  readCurveFiles,
  refuseStrangers,
} from '../work/bars.ts';
import { Cache } from '../work/cache.ts';
import { DRAWS, SEED } from '../work/desk.ts';
import { dataFolder } from '../work/home.ts';
import { areKnown, type ColumnSaid, confirmedLayouts, corrected, rememberLayouts } from '../work/layouts.ts';
import { jobIn, openCampaign } from '../work/library.ts';
import { Pool } from '../work/pool.ts';
import { writeReport } from '../work/report-files.ts';
import { wholeNumber } from './plan.ts';
import type { AskLine, Terminal } from './terminal.ts';

type Options = {
  json?: boolean;
  report?: string;
  asRead?: boolean;
  water: boolean;
  draws: string;
  seed: string;
  workers?: string;
};

/** `bonedry bars CAMPAIGN CURVES...`: from the files of the test machine to the answer of the campaign's question. */
export function barsCommand(program: Command, terminal: Terminal, exit: (status: number) => void): void {
  program
    .command('bars <campaign> [curves...]')
    .description("reduce test-machine files and answer the campaign's question")
    .option('--json', 'everything found, as JSON')
    .option('--report <file>', 'write the report as one HTML file, with CSV and JSON beside it')
    .option('--as-read', 'take columns and units as they are guessed, where nobody is there to ask')
    .option('--no-water', 'leave out the water of the strand at each print')
    .option('--draws <n>', 'possible truths for that water, a power of two', String(DRAWS))
    .option('--seed <s>', 'same seed, same answer', String(SEED))
    .option('--workers <n>', 'threads; the answer does not depend on it')
    .action(async (campaign: string, curves: string[], options: Options) => {
      const draws = wholeNumber(options.draws, '--draws', 16, 4096);
      const seed = wholeNumber(options.seed, '--seed', 0, 2 ** 31);
      const opened = openCampaign(resolve(terminal.folder, campaign), campaign);
      const job = jobIn(opened);
      const files = filesOf(job, curves, terminal.folder);
      const pool = new Pool(
        options.workers === undefined ? undefined : wholeNumber(options.workers, '--workers', 1, 64),
      );
      try {
        const cache = new Cache(join(dataFolder(), 'cache'));
        const read = await confirmedFiles(job, files, terminal, pool, options.asRead ?? false);
        const printed = options.water
          ? await printedOf(
              opened,
              { draws, seed },
              {
                pool,
                cache,
                signal: terminal.signal,
                onProgress: (share) => terminal.progress(`${Math.round(100 * share)} % Water at the prints`),
              },
            )
          : { ...NOT_PRINTED, waterless: 'left out' };
        terminal.progress('');
        const found = barsFound(job, read, printed);
        const view = barsView(found);
        if (options.report !== undefined) {
          const written = writeReport(resolve(terminal.folder, options.report), found, view, { draws, seed });
          terminal.err(`Written: ${written.join(', ')}\n`);
        }
        terminal.out(options.json ? `${JSON.stringify(view, null, 2)}\n` : barsText(view));
        exit(statusOf(view, terminal));
      } finally {
        await pool.close();
      }
    });
}

/** 0 answered or nothing asked, 1 not answered, which is said. */
function statusOf({ answered, open }: BarsView, terminal: Terminal): number {
  if (answered !== false) return 0;
  terminal.err(`bonedry: the question is not answered. ${ascii(open ?? '')}\n`);
  return 1;
}

function filesOf(job: Job, curves: readonly string[], folder: string): CurveFile[] {
  const named = curves.map((name) => ({ path: resolve(folder, name), name }));
  const files = named.length > 0 ? named : curvesOf(job);
  if (files.length === 0)
    throw new InputFault([
      {
        code: 'no-curves',
        message: 'No file of curves is named.',
        expected: 'files behind the campaign, or "test: { curves: [ ... ] }" in it',
      },
    ]);
  const twice = files.find(({ path }, k) => files.findIndex((one) => one.path === path) < k);
  if (twice)
    throw new InputFault([
      { code: 'file-twice', message: 'This file is named twice.', where: { file: twice.name } },
    ]);
  return files;
}

/**
 * Files as read, with layouts that were confirmed before or are confirmed now. Where people sit at the terminal they see
 * what each new layout is taken for, and nothing is kept before they say that it is right. Where nobody does, open
 * questions end it.
 */
async function confirmedFiles(
  job: Job,
  files: readonly CurveFile[],
  terminal: Terminal,
  pool: Pool,
  asRead: boolean,
): Promise<FileResults[]> {
  const known = confirmedLayouts();
  const wires = {
    pool,
    signal: terminal.signal,
    onProgress: (share: number) => terminal.progress(`${Math.round(100 * share)} % Reading curves`),
  };
  const read = async (layouts: readonly Layout[]) => {
    const found = await readCurveFiles(job, files, layouts, wires);
    terminal.progress('');
    return found;
  };
  const found = await read(known);
  if (!terminal.interactive) {
    refuseStrangers(job, found);
    if (!asRead) refuseQuestions(found, terminal);
    return found;
  }
  const confirmed: Layout[] = [];
  const settled = await terminal.asking(async (line) => {
    let now = found;
    for (let k = 0; k < now.length; k++) {
      for (let shown: FileResults | null = null; ; ) {
        const file = now[k]!;
        const isKnown = areKnown(file.reading.layouts, [...confirmed, ...known]);
        if (isKnown && file.questions.length === 0) break;
        if (shown !== file) terminal.err(readingText(readingView(file, isKnown)));
        shown = file;
        const said = await askedOnce(line, file, terminal);
        if (said === 'right') {
          confirmed.push(...file.reading.layouts);
          break;
        }
        if (said === 'again') continue;
        now = await read([...said, ...confirmed, ...known]);
      }
    }
    return now;
  });
  refuseStrangers(job, settled);
  rememberLayouts(confirmed);
  return settled;
}

/** One answer of a person: right, what a column is instead, or stop. @throws InputFault when told to stop */
async function askedOnce(
  line: AskLine,
  file: FileResults,
  terminal: Terminal,
): Promise<'right' | 'again' | Layout[]> {
  const answer = (
    await line(
      'Right? Empty line: yes. no: stop. Or what a column is, such as "5 strain %", or "decimal ,": ',
    )
  ).trim();
  if (answer === '' || /^y(es)?$/i.test(answer)) return 'right';
  if (/^no?$/i.test(answer))
    throw new InputFault([
      {
        code: 'not-confirmed',
        message: 'You said it is not right. Nothing was kept.',
        where: { file: file.file },
        expected: 'another export, or a correction of its columns',
      },
    ]);
  try {
    return correctedBy(answer, file) ?? 'again';
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    terminal.err(`${error.message}\n`);
    return 'again';
  }
}

/** A correction in words put into the layouts of a file; null where it is none. @throws InputFault on what cannot be */
function correctedBy(answer: string, file: FileResults): Layout[] | null {
  const decimal = /^decimal\s+([.,])$/.exec(answer)?.[1] as '.' | ',' | undefined;
  if (decimal !== undefined) return corrected(file.reading.layouts, [], decimal);
  const column = /^(\d+)\s+([a-z]+)(?:\s+(.+))?$/i.exec(answer);
  if (!column) return null;
  const said: ColumnSaid = {
    column: Number(column[1]),
    role: column[2]!.toLowerCase(),
    unit: column[3] ?? null,
  };
  return corrected(file.reading.layouts, [said]);
}

/** @throws InputFault with what would have to be asked, where nobody is there */
function refuseQuestions(found: readonly FileResults[], terminal: Terminal): void {
  const problems = found.flatMap(({ file, questions }) =>
    questions.map(
      ({ sentence }): Problem => ({
        code: 'must-ask',
        message: sentence,
        where: { file },
        expected: 'an answer at a terminal, or --as-read to take it as guessed',
      }),
    ),
  );
  if (problems.length > 0) throw new InputFault(problems);
  for (const { file, reading } of found) {
    const columns = reading.columns.filter(({ role }) => role !== 'other');
    terminal.err(
      `${file}: ${columns.map(({ index, role, unit }) => `column ${index + 1} ${role}${unit === null ? '' : ` in ${unit}`}`).join(', ')}.\n`,
    );
  }
}
