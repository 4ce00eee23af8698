import { dirname, resolve } from 'node:path';
import type { Command } from 'commander';
import { InputFault } from '../problem.ts';
import { type Computed, compute, listKernels, noKernel } from '../work/compute.ts';
import { readText } from '../work/library.ts';
import type { Terminal } from './terminal.ts';

/** Inputs beyond this are no inputs of a kernel. */
const INPUT_BYTES_MAX = 256 * 1024 * 1024;

/** `bonedry compute`: every kernel of the engine from JSON to JSON. */
export function computeCommand(program: Command, terminal: Terminal, exit: (status: number) => void): void {
  program
    .command('compute [kernel] [file]')
    .description('run kernels from JSON to JSON (standard input without a file)')
    .option('--list', 'print all kernels with the JSON Schema of their inputs and outputs')
    .action(async (kernel: string | undefined, file: string | undefined, options: { list?: boolean }) => {
      if (options.list) {
        terminal.out(`${JSON.stringify(listKernels(), null, 2)}\n`);
        return;
      }
      const path = file === undefined ? undefined : resolve(terminal.folder, file);
      const folder = path === undefined ? terminal.folder : dirname(path);
      const text = path === undefined ? await terminal.input() : readText(path, file, INPUT_BYTES_MAX);
      const given = parse(text, file ?? 'standard input');
      const many = kernel === undefined && Array.isArray(given);
      const calls =
        kernel !== undefined ? [{ kernel, inputs: given }] : many ? (given as unknown[]) : [given];
      const results = calls.map((call) => answered(call, folder));
      const answers = results.map((result) => (result.ok ? result.outputs : { error: result.error }));
      terminal.out(`${JSON.stringify(many ? answers : answers[0], null, 2)}\n`);
      const faults = results.flatMap((result) => (result.ok ? [] : [result.error]));
      if (faults.length > 0) exit(faults.some(({ code }) => code === 'fault') ? 3 : 2);
    });
}

/** One call answered; what goes wrong in it, by a fault of ours too, is told in its place and leaves the others alone. */
function answered(call: unknown, folder: string): Computed {
  const { kernel, inputs } = (call ?? {}) as { kernel?: unknown; inputs?: unknown };
  if (typeof kernel !== 'string') return noKernel();
  try {
    return compute(kernel, inputs, folder);
  } catch (error) {
    const message = `A fault of ours in ${kernel}: ${(error as Error).message}`;
    return { ok: false, error: { code: 'fault', message } };
  }
}

function parse(text: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new InputFault([
      {
        code: 'not-json',
        message:
          text.trim() === ''
            ? 'There is nothing to read.'
            : `This is not JSON (${(error as Error).message}).`,
        where: { file },
        expected: 'inputs such as {"T_C": 25}',
      },
    ]);
  }
}
