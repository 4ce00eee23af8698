import { basename, join, resolve } from 'node:path';
import type { Command } from 'commander';
import { LINKS } from '../engine/links/index.ts';
import { LINK_NAMES, type LinkName } from '../engine/links/link.ts';
import { InputFault } from '../problem.ts';
import { chainText } from '../report/chain-text.ts';
import { Cache } from '../work/cache.ts';
import { DRAWS, SEED } from '../work/desk.ts';
import { dataFolder } from '../work/home.ts';
import { type OpenedCampaign, openCampaign } from '../work/library.ts';
import { type Planned, planCampaign } from '../work/plan.ts';
import { Pool } from '../work/pool.ts';
import { askedCampaign } from './ask.ts';
import type { Terminal } from './terminal.ts';

type Options = { json?: boolean; draws: string; seed: string; link?: string; workers?: string };

/** `bonedry plan CAMPAIGN` or `bonedry plan FILE.gcode ...`: the chain with its margins, weakest link and changes. */
export function planCommand(program: Command, terminal: Terminal, exit: (status: number) => void): void {
  program
    .command('plan <files...>')
    .description('compute the chain of a campaign, or of bare G-code after eight questions')
    .option('--json', 'the numbers in full, as JSON')
    .option('--draws <n>', 'possible truths to compute, a power of two', String(DRAWS))
    .option('--seed <s>', 'same seed, same answer', String(SEED))
    .option('--link <name>', 'this link alone')
    .option('--workers <n>', 'threads; the answer does not depend on it')
    .action(async (files: string[], options: Options) => {
      const draws = wholeNumber(options.draws, '--draws', 16, 4096);
      if ((draws & (draws - 1)) !== 0)
        throw wrongOption('--draws', options.draws, 'a power of two from 16 to 4096, such as 256');
      const seed = wholeNumber(options.seed, '--seed', 0, 2 ** 31);
      const only = options.link === undefined ? undefined : linkNamed(options.link);
      const workers =
        options.workers === undefined ? undefined : wholeNumber(options.workers, '--workers', 1, 64);
      const pool = new Pool(workers);
      const cache = new Cache(join(dataFolder(), 'cache'));
      try {
        const opened = await openedFrom(files, terminal, pool, cache);
        const planned = await planCampaign(
          opened,
          { draws, seed, only, changes: [], soundFiles: true },
          {
            pool,
            cache,
            signal: terminal.signal,
            onChain: (_, share, doing) => terminal.progress(`${Math.round(100 * share)} % ${doing}`),
          },
        );
        exit(tellPlan(planned, terminal, options.json));
      } finally {
        await pool.close();
      }
    });
}

/** Prints a plan. @returns the exit status: both wanted chances are reached, or not, or it could not be computed */
export function tellPlan({ view, judged, job }: Planned, terminal: Terminal, json = false): number {
  terminal.progress('');
  terminal.out(json ? `${JSON.stringify(view, null, 2)}\n` : chainText(view, terminal.bold));
  const failed = view.links.filter((link) => link.state === 'failed');
  for (const link of failed) terminal.err(`bonedry: ${link.name}: ${link.failure}\n`);
  if (failed.length > 0 || !judged) return 3;
  if (judged.comesOff >= job.want.comesOff && judged.counts >= job.want.counts) return 0;
  terminal.err('bonedry: the wanted chances are not reached.\n');
  return 1;
}

async function openedFrom(
  files: readonly string[],
  terminal: Terminal,
  pool: Pool,
  cache: Cache,
): Promise<OpenedCampaign> {
  const isCampaign = (name: string) => /\.ya?ml$/i.test(name);
  const [first] = files;
  if (files.length === 1 && isCampaign(first!)) return openCampaign(resolve(terminal.folder, first!), first!);
  const wrong = files.find(isCampaign);
  if (wrong !== undefined)
    throw new InputFault([
      {
        code: 'mixed-files',
        message: `"${basename(wrong)}" is a campaign among other files.`,
        expected: 'one campaign file, or G-code files alone',
      },
    ]);
  return askedCampaign(files, terminal, pool, cache);
}

function linkNamed(name: string): LinkName {
  const found = LINK_NAMES.find((link) => link.toLowerCase() === name.toLowerCase());
  const built = LINKS.map((link) => link.name);
  if (!found) throw wrongOption('--link', name, `one of ${built.join(', ')}`);
  if (!built.includes(found))
    throw new InputFault([
      {
        code: 'not-built',
        message: `--link "${found}" is not computed yet.`,
        expected: `one of ${built.join(', ')}`,
      },
    ]);
  return found;
}

export function wholeNumber(text: string, option: string, least: number, most: number): number {
  const value = /^\d+$/.test(text) ? Number(text) : Number.NaN;
  if (!(value >= least && value <= most))
    throw wrongOption(option, text, `a whole number from ${least} to ${most}`);
  return value;
}

function wrongOption(option: string, value: string, expected: string): InputFault {
  return new InputFault([{ code: 'wrong-option', message: `${option} "${value}" does not fit.`, expected }]);
}
