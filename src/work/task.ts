import type { MessagePort } from 'node:worker_threads';
import type { Layout } from '../engine/curves/reading.ts';
import type { DrawRange } from '../engine/draws.ts';
import type { GcodeCard } from '../engine/gcode/card.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { Assessment, Earlier, LinkName } from '../engine/links/link.ts';
import type { BarFacts, TestFacts } from '../engine/results/bar.ts';
import type { FileResults } from '../engine/results/file-results.ts';
import type { Job } from '../job.ts';
import type { Problem } from '../problem.ts';

/** A file of G-code: where it is, how sentences call it, and how it is to be read. */
export type PrintFile = Readonly<{
  path: string;
  name: string;
  /** Which file is meant, where it is a container. */
  member?: string | undefined;
  /** E counts from move to move, though the file does not say so. */
  relative?: boolean | undefined;
  /** A real duration of this print [s]. */
  tookS?: number | undefined;
}>;

/** A file of curves, the bars that may be in it, and how the test was done. */
export type CurveTask = Readonly<{
  path: string;
  name: string;
  bars: readonly BarFacts[];
  test: TestFacts;
  density: number | null;
  layouts: readonly Layout[];
}>;

/** What a worker can be asked to do; all of it is plain data. */
export type Task =
  | { kind: 'assess'; link: LinkName; job: Job; range: DrawRange; earlier: Earlier }
  | ({ kind: 'read'; card: GcodeCard } & PrintFile)
  | ({ kind: 'curves' } & CurveTask);
export type Result<T extends Task> = T extends { kind: 'assess' }
  ? Assessment
  : T extends { kind: 'curves' }
    ? FileResults
    : PrintSummary;

/** How a worker answers. Errors lose their class between threads, so outcomes are values. */
export type Outcome<T> =
  | { state: 'done'; value: T }
  | { state: 'refused'; problems: readonly Problem[] }
  | { state: 'cancelled' }
  | { state: 'failed'; message: string; stack: string };

/** A task with its two wires: progress out, the stop flag in. */
export type Wired = { task: Task; progress: MessagePort; stop: SharedArrayBuffer };
