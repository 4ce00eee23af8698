import { basename, join, resolve } from 'node:path';
import type { Command } from 'commander';
import type { Job } from '../job.ts';
import { InputFault } from '../problem.ts';
import { againstText, printText } from '../report/print-text.ts';
import { printView } from '../report/print-view.ts';
import { ascii, showNumber, toSi, writeQuantity } from '../units.ts';
import { usualJob } from '../work/bare.ts';
import { lyingOf } from '../work/bars-found.ts';
import { Cache } from '../work/cache.ts';
import { gcodeCardOf } from '../work/gcode-card.ts';
import { dataFolder } from '../work/home.ts';
import { jobIn, openCampaign } from '../work/library.ts';
import { plannedPrint, plateOfFile } from '../work/planned-print.ts';
import { Pool } from '../work/pool.ts';
import { readPrint } from '../work/prints.ts';
import type { Terminal } from './terminal.ts';

type Options = {
  json?: boolean;
  against?: string;
  plate?: string;
  member?: string;
  relativeStrand?: boolean;
  took?: string;
};

/** `bonedry read FILE.gcode`: what the print asks of the kit; with --against, ten lines, same or different. */
export function readCommand(program: Command, terminal: Terminal, exit: (status: number) => void): void {
  program
    .command('read <file>')
    .description('what a print asks of the kit: layers, time, flow, heat, retractions, parts, ending')
    .option('--against <campaign>', 'ten lines: is this the print that the campaign plans')
    .option('--plate <name>', 'the plate of the campaign that it should be')
    .option('--member <name>', 'the file inside a container')
    .option('--relative-strand', 'E counts from move to move, though the file does not say so')
    .option('--took <time>', 'how long this print really took, such as "4 h 10 min"')
    .option('--json', 'the numbers in full, as JSON')
    .action(async (file: string, options: Options) => {
      const path = resolve(terminal.folder, file);
      const pool = new Pool(1);
      const cache = new Cache(join(dataFolder(), 'cache'));
      try {
        const { against, member } = options;
        const opened =
          against === undefined ? null : openCampaign(resolve(terminal.folder, against), against);
        const job = opened ? jobIn(opened) : usualJob();
        const wires = {
          pool,
          cache,
          signal: terminal.signal,
          onProgress: (share: number) =>
            terminal.progress(`Reading ${basename(file)} ${Math.round(100 * share)} %`),
        };
        const print = await readPrint(
          {
            path,
            name: file,
            member,
            relative: options.relativeStrand,
            tookS: options.took === undefined ? undefined : spanOf(options.took),
          },
          gcodeCardOf(job),
          wires,
        );
        const plate = opened ? plateOfFile(job, path, options.plate, print) : null;
        const view = printView(print, {
          file,
          entries: job.entries,
          plate: plate?.name ?? null,
          planned: plate ? plannedPrint(job, plate) : null,
          lying: lyingOf(print),
        });
        terminal.progress('');
        const stops = view.problems.filter((problem) => problem.level === 'stop');
        const notes = view.problems.filter((problem) => problem.level === 'note');
        if (options.json) terminal.out(`${JSON.stringify(view, null, 2)}\n`);
        else terminal.out(view.against ? againstText(view) : printText({ ...view, problems: notes }));
        if (print.factor !== null && !options.json) terminal.out(ascii(tookWords(print.factor, job)));
        if (stops.length > 0)
          throw new InputFault(stops.map((stop) => ({ code: 'gcode', message: stop.sentence })));
        if (view.against?.some((line) => line.answer === 'different')) {
          terminal.err('bonedry: the file is not what the plan says.\n');
          exit(1);
        }
      } finally {
        await pool.close();
      }
    });
}

/** "4 h 10 min", "50 min", "2.5 h" in seconds. @throws InputFault */
function spanOf(text: string): number {
  const parts = [...text.matchAll(/(\d+(?:\.\d+)?)\s*(h|min|s)\b/g)];
  const rest = text.replace(/(\d+(?:\.\d+)?)\s*(h|min|s)\b/g, '').trim();
  const seconds = parts.reduce((sum, [, number, unit]) => sum + toSi(Number(number), unit!), 0);
  if (rest === '' && seconds > 0) return seconds;
  throw new InputFault([
    {
      code: 'wrong-option',
      message: `--took "${text}" is no duration.`,
      expected: 'hours and minutes, such as "4 h 10 min"',
    },
  ]);
}

/** What a real duration says of the machine, and where it belongs. */
function tookWords(factor: number, job: Job): string {
  const card = job.entries['printer.acceleration printing']?.value;
  if (typeof card !== 'number') return '';
  const found = Number((card * factor).toPrecision(3));
  return `\nThat duration fits accelerations ${showNumber(factor, 2)} times those of the card. Write under kit.printer, and every time follows:\n  acceleration printing: "${writeQuantity(found, 'mm/s2')}"\n`;
}
