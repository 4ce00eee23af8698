import { randomUUID } from 'node:crypto';
import { Cancelled, InputFault } from '../problem.ts';
import { problemView } from '../report/problem-view.ts';
import type { JobState } from './api.ts';

/** Long work of this server: each has an address, tells its state as it changes, and can be stopped. */
type Running = { state: JobState; stop: AbortController; listeners: Set<(state: JobState) => void> };

/** Finished jobs kept for pages that come back; the oldest go first. */
const JOBS_KEPT = 100;

export type Work = (wires: {
  signal: AbortSignal;
  update(change: Partial<Omit<JobState, 'job' | 'kind' | 'state'>>): void;
}) => Promise<unknown>;

/** A job that has just begun and found nothing yet. */
export function begun(job: string, kind: JobState['kind']): JobState {
  return {
    job,
    kind,
    state: 'running',
    share: 0,
    doing: '',
    chain: null,
    print: null,
    bars: null,
    brought: null,
    problems: [],
  };
}

export class Jobs {
  readonly #jobs = new Map<string, Running>();

  start(kind: JobState['kind'], work: Work): JobState {
    // Not counted: after a restart a page that comes back must not find another's job under its number.
    const job = randomUUID();
    const running: Running = {
      state: begun(job, kind),
      stop: new AbortController(),
      listeners: new Set(),
    };
    this.#jobs.set(job, running);
    this.#forgetOld();
    const update = (change: Partial<JobState>) => {
      running.state = { ...running.state, ...change };
      for (const listener of running.listeners) listener(running.state);
    };
    work({ signal: running.stop.signal, update }).then(
      () => update({ state: 'done', share: 1, doing: '' }),
      (error: unknown) => update(endOf(error)),
    );
    return running.state;
  }

  get(job: string): JobState | undefined {
    return this.#jobs.get(job)?.state;
  }

  stop(job: string): boolean {
    const running = this.#jobs.get(job);
    running?.stop.abort();
    return running !== undefined;
  }

  /** Calls `listener` now and at every change until the job has ended or `ended` is called. */
  follow(job: string, listener: (state: JobState) => void): () => void {
    const running = this.#jobs.get(job);
    if (!running) return () => {};
    running.listeners.add(listener);
    listener(running.state);
    return () => running.listeners.delete(listener);
  }

  stopAll(): void {
    for (const running of this.#jobs.values()) running.stop.abort();
  }

  #forgetOld(): void {
    for (const [job, running] of this.#jobs) {
      if (this.#jobs.size <= JOBS_KEPT) return;
      if (running.state.state !== 'running') this.#jobs.delete(job);
    }
  }
}

function endOf(error: unknown): Partial<JobState> {
  if (error instanceof Cancelled) return { state: 'stopped', doing: '' };
  if (error instanceof InputFault)
    return {
      state: 'failed',
      doing: '',
      problems: error.problems.map((problem) => problemView(problem, 'stop')),
    };
  process.stderr.write(`bonedry: a fault of ours: ${(error as Error).stack ?? error}\n`);
  return {
    state: 'failed',
    doing: '',
    problems: [
      {
        sentence:
          'A fault of ours stopped this. What you entered is unharmed; the terminal shows the details.',
        file: null,
        line: null,
        level: 'stop',
      },
    ],
  };
}
