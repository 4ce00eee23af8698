import type { z } from 'zod';

/**
 * A file that the edge has opened for the engine, which knows no file system. `read` fills the buffer from
 * `offset` on and gives the number of bytes read, 0 at the end.
 */
export type Source = Readonly<{
  /** Name for sentences, without folders. */
  name: string;
  size: number;
  read(offset: number, into: Uint8Array): number;
}>;

/** What a kernel may ask of the edge that called it. */
export type Host = Readonly<{
  open(path: string): Source;
  /** Share done, 0..1; throws when the work was told to stop. */
  progress?(share: number): void;
}>;

/** One computation that can be reached from outside, from JSON to JSON (`bonedry compute`). */
export type Kernel<I = unknown, O = unknown> = Readonly<{
  /** `subject.name`, as in docs/equations/<subject>.md. */
  name: string;
  what: string;
  inputs: z.ZodType<I>;
  outputs: z.ZodType<O>;
  run(inputs: I, host: Host): O;
}>;

/** Keeps the types of one kernel checked while the registry holds all of them alike. */
export function kernel<I, O>(spec: Kernel<I, O>): Kernel {
  return spec as unknown as Kernel;
}

/**
 * Input that is of the right form and still cannot be computed, such as a binary file or an empty container.
 * The message is one sentence for people. Faults of ours are plain errors.
 */
export class Refusal extends Error {
  override readonly name = 'Refusal';
}
