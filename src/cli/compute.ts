import { readFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import type { Command } from 'commander';
import { InputFault } from '../problem.ts';
import { type Computed, compute, listKernels } from '../work/compute.ts';
import { unreadable } from '../work/source.ts';
import type { Terminal } from './terminal.ts';

/** `bonedry compute`: every kernel of the engine from JSON to JSON. */
export function computeCommand(program: Command, terminal: Terminal, exit: (status: number) => void): void {
  program
    .command('compute [kernel] [file]')
    .description('run kernels from JSON to JSON (standard input without a file)')
    .option('--list', 'print all kernels with the JSON Schema of their inputs and outputs')
    .action((kernel: string | undefined, file: string | undefined, options: { list?: boolean }) => {
      if (options.list) {
        terminal.out(`${JSON.stringify(listKernels(), null, 2)}\n`);
        return;
      }
      const path = file === undefined ? undefined : resolve(terminal.folder, file);
      const given = parse(path === undefined ? terminal.input() : read(path), file ?? 'standard input');
      const folder = path === undefined ? terminal.folder : dirname(path);
      const calls =
        kernel === undefined ? asCalls(given, file ?? 'standard input') : [{ kernel, inputs: given }];
      const results = calls.map((call) => compute(call.kernel, call.inputs, folder));
      const many = kernel === undefined && Array.isArray(given);
      terminal.out(`${JSON.stringify(many ? results.map(answer) : answer(results[0]!), null, 2)}\n`);
      if (results.some((result) => !result.ok)) exit(2);
    });
}

function answer(result: Computed): unknown {
  return result.ok ? result.outputs : { error: result.error };
}

function read(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    throw unreadable(path, error);
  }
}

function parse(text: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new InputFault([
      {
        code: 'not-json',
        message: `This is not JSON (${(error as Error).message}).`,
        where: { file },
        expected: 'inputs such as {"T_C": 25}',
      },
    ]);
  }
}

function asCalls(given: unknown, file: string): { kernel: string; inputs: unknown }[] {
  const calls = Array.isArray(given) ? given : [given];
  const wrong = calls.findIndex((call) => typeof (call as { kernel?: unknown } | null)?.kernel !== 'string');
  if (wrong >= 0 || calls.length === 0)
    throw new InputFault([
      {
        code: 'no-kernel',
        message: calls.length === 0 ? 'This list is empty.' : 'No kernel is named.',
        where: { file, ...(Array.isArray(given) ? { path: String(wrong) } : {}) },
        expected: '{"kernel": "air.saturation", "inputs": {"T_C": 25}} or a list of those',
      },
    ]);
  return calls as { kernel: string; inputs: unknown }[];
}
