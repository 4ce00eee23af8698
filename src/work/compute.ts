import { resolve } from 'node:path';
import { z } from 'zod';
import { nearest } from '../cards/nearest.ts';
import { type Host, type Kernel, Refusal } from '../engine/kernel.ts';
import { KERNELS } from '../engine/kernels.ts';
import { InputFault, type Problem, sentence } from '../problem.ts';
import { schemaProblems } from './schema-problems.ts';
import { type OpenFile, openFile } from './source.ts';

export type Computed =
  | { ok: true; outputs: unknown }
  | { ok: false; error: { code: string; message: string; where?: object; expected?: string } };

/**
 * Runs one kernel on inputs as they come from outside; file names are relative to `folder`. Input that is wrong gives
 * an error, never an exception; a fault of ours throws.
 */
export function compute(name: string, inputs: unknown, folder: string): Computed {
  const kernel = KERNELS.get(name);
  if (!kernel) {
    const near = nearest(name, [...KERNELS.keys()]);
    return refused({
      code: 'unknown-kernel',
      message: `"${name}" is no kernel.`,
      expected: near ? `"${near}"` : 'a name that "bonedry compute --list" prints',
    });
  }
  const parsed = kernel.inputs.safeParse(inputs);
  if (!parsed.success) {
    const problems = schemaProblems(parsed.error, kernel.name, inputs);
    return refused({ ...problems[0]!, message: problems.map(sentence).join(' ') });
  }
  const opened: OpenFile[] = [];
  const host: Host = {
    open(path) {
      const file = openFile(resolve(folder, path), path);
      opened.push(file);
      return file;
    },
  };
  try {
    return { ok: true, outputs: kernel.run(parsed.data, host) };
  } catch (error) {
    if (error instanceof Refusal) return refused({ code: 'refused', message: error.message });
    if (error instanceof InputFault) return refused({ ...error.problems[0]!, message: error.message });
    throw error;
  } finally {
    for (const file of opened) file.close();
  }
}

/** The answer to a call that names no kernel. */
export function noKernel(): Computed {
  return refused({
    code: 'no-kernel',
    message: 'No kernel is named.',
    expected: '{"kernel": "air.saturation", "inputs": {"T_C": 25}} or a list of those',
  });
}

function refused({ code, message, where, expected }: Problem): Computed {
  return {
    ok: false,
    error: { code, message, ...(where ? { where } : {}), ...(expected ? { expected } : {}) },
  };
}

/** Name, words and JSON Schema of inputs and outputs of every kernel. */
export function listKernels(): object[] {
  const schema = (type: z.ZodType) => z.toJSONSchema(type, { unrepresentable: 'any', io: 'input' });
  return [...KERNELS.values()].map((kernel: Kernel) => ({
    kernel: kernel.name,
    what: kernel.what,
    inputs: schema(kernel.inputs),
    outputs: schema(kernel.outputs),
  }));
}
