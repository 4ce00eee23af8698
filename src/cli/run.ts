import { Command, CommanderError } from 'commander';
import { Cancelled, InputFault, sentence } from '../problem.ts';
import { barsCommand } from './bars.ts';
import { cardsCommand } from './cards.ts';
import { computeCommand } from './compute.ts';
import { planCommand } from './plan.ts';
import { readCommand } from './read.ts';
import { serveCommand } from './serve.ts';
import type { Terminal } from './terminal.ts';

/** Exit status of the contract: 0 done, 1 an answer that is no, 2 bad input, 3 a fault of ours, 130 stopped. */
export async function run(args: readonly string[], terminal: Terminal): Promise<number> {
  let status = 0;
  const program = new Command('bonedry')
    .description(
      'Computes whether a set of printed tensile bars will come off and count, before anything is committed.',
    )
    .exitOverride()
    .configureOutput({
      writeOut: terminal.out,
      writeErr: terminal.err,
      outputError: (text, write) => write(`bonedry: ${usageSentence(text)}\n`),
    });
  for (const command of [planCommand, readCommand, barsCommand, cardsCommand, computeCommand, serveCommand])
    command(program, terminal, (value) => {
      status = value;
    });
  try {
    await program.parseAsync(args, { from: 'user' });
    return status;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    if (error instanceof InputFault) {
      for (const problem of error.problems) terminal.err(`bonedry: ${sentence(problem)}\n`);
      return 2;
    }
    if (error instanceof Cancelled) {
      terminal.err('bonedry: Stopped.\n');
      return 130;
    }
    terminal.err(`bonedry: a fault of ours, please report it: ${(error as Error).stack ?? error}\n`);
    return 3;
  }
}

/** "error: unknown option '--foo'\n(Did you mean --for?)" as a sentence that says where to look. */
function usageSentence(text: string): string {
  const [what = '', hint = ''] = text
    .replace(/^error: /, '')
    .trim()
    .split('\n');
  const near = /Did you mean (one of )?(.+)\?/.exec(hint)?.[2];
  const said = `${what.charAt(0).toUpperCase()}${what.slice(1)}.`.replaceAll("'", '"');
  return `${said} Expected ${near ? `perhaps ${near}` : 'what "bonedry help" lists'}.`;
}
