import { basename, join, resolve } from 'node:path';
import type { Command } from 'commander';
import { InputFault } from '../problem.ts';
import { againstText, printText } from '../report/print-text.ts';
import { printView } from '../report/print-view.ts';
import { usualJob } from '../work/bare.ts';
import { Cache } from '../work/cache.ts';
import { gcodeCardOf } from '../work/gcode-card.ts';
import { dataFolder } from '../work/home.ts';
import { jobIn, openCampaign } from '../work/library.ts';
import { plannedPrint, plateOfFile } from '../work/planned-print.ts';
import { Pool } from '../work/pool.ts';
import { readPrint } from '../work/prints.ts';
import type { Terminal } from './terminal.ts';

type Options = { json?: boolean; against?: string; plate?: string; member?: string };

/** `bonedry read FILE.gcode`: what the print asks of the kit; with --against, ten lines, same or different. */
export function readCommand(program: Command, terminal: Terminal, exit: (status: number) => void): void {
  program
    .command('read <file>')
    .description('what a print asks of the kit: layers, time, flow, heat, retractions, parts, ending')
    .option('--against <campaign>', 'ten lines: is this the print that the campaign plans')
    .option('--plate <name>', 'the plate of the campaign that it should be')
    .option('--member <name>', 'the file inside a container')
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
        const print = await readPrint({ path, name: file, member }, gcodeCardOf(job), wires);
        const plate = opened ? plateOfFile(job, path, options.plate, print) : null;
        const view = printView(print, {
          file,
          entries: job.entries,
          plate: plate?.name ?? null,
          planned: plate ? plannedPrint(job, plate) : null,
        });
        terminal.progress('');
        const stops = view.problems.filter((problem) => problem.level === 'stop');
        const notes = view.problems.filter((problem) => problem.level === 'note');
        if (options.json) terminal.out(`${JSON.stringify(view, null, 2)}\n`);
        else terminal.out(view.against ? againstText(view) : printText({ ...view, problems: notes }));
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
