import { createHash } from 'node:crypto';
import { bytesOf } from '../engine/curves/encoding.ts';
import { Draws } from '../engine/draws.ts';
import { readGcode } from '../engine/gcode/print.ts';
import { summaryOf } from '../engine/gcode/summary.ts';
import { Refusal } from '../engine/kernel.ts';
import { LINKS } from '../engine/links/index.ts';
import { fileResults } from '../engine/results/file-results.ts';
import { Cancelled, InputFault } from '../problem.ts';
import { openFile } from './source.ts';
import type { Outcome, Task, Wired } from './task.ts';

/** Milliseconds between two messages of progress from one worker. */
const PROGRESS_EVERY = 100;

/** Entry of a worker thread: one task, its progress and its stop flag, to one outcome. */
export default function work({ task, progress, stop }: Wired): Outcome<unknown> {
  const flag = new Int32Array(stop);
  let last = 0;
  const tick = (share: number) => {
    if (Atomics.load(flag, 0) !== 0) throw new Cancelled();
    const now = Date.now();
    if (now - last < PROGRESS_EVERY) return;
    last = now;
    progress.postMessage(share);
  };
  try {
    // It may have waited for a thread and been stopped meanwhile.
    tick(0);
    return { state: 'done', value: run(task, tick) };
  } catch (error) {
    if (error instanceof Cancelled) return { state: 'cancelled' };
    if (error instanceof Refusal)
      return { state: 'refused', problems: [{ code: 'refused', message: error.message }] };
    if (error instanceof InputFault) return { state: 'refused', problems: error.problems };
    const fault = error instanceof Error ? error : new Error(String(error));
    return { state: 'failed', message: fault.message, stack: fault.stack ?? fault.message };
  } finally {
    progress.close();
  }
}

function run(task: Task, tick: (share: number) => void): unknown {
  if (task.kind === 'assess') {
    const link = LINKS.find((candidate) => candidate.name === task.link);
    if (!link) throw new Error(`no link is named ${task.link}`);
    return link.assess(task.job, new Draws(task.job.entries, task.range), task.earlier, tick);
  }
  const file = openFile(task.path, task.name);
  try {
    if (task.kind === 'curves') {
      const raw = bytesOf(file, (share) => tick(share / 4));
      const hash = createHash('sha256').update(raw).digest('hex');
      const { layouts, density } = task;
      return fileResults({ name: task.name, raw, hash }, task.bars, task.test, {
        layouts,
        density,
        progress: (share) => tick(0.25 + 0.75 * share),
      });
    }
    const { member, relative, tookS } = task;
    const options = {
      ...(member === undefined ? {} : { member }),
      ...(relative ? { strandRelative: true } : {}),
      progress: tick,
    };
    return summaryOf(readGcode(file, task.card, options), tookS);
  } finally {
    file.close();
  }
}
