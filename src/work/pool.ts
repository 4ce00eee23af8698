import { setMaxListeners } from 'node:events';
import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { MessageChannel } from 'node:worker_threads';
import Piscina from 'piscina';
import { Cancelled, InputFault } from '../problem.ts';
import { HOME } from './home.ts';
import type { Outcome, Result, Task, Wired } from './task.ts';

/** A worker that has not answered the stop flag after this is ended with its thread. */
const HARD_STOP_AFTER_MS = 2000;

export type Wish = {
  signal?: AbortSignal | undefined;
  onProgress?: ((share: number) => void) | undefined;
};

/** Threads for long work. Results do not depend on how many there are. */
export class Pool {
  readonly #threads: Piscina;
  #closed = false;

  constructor(workers = availableParallelism(), file = workerFile()) {
    this.#threads = new Piscina({
      filename: file,
      minThreads: 0,
      maxThreads: workers,
      idleTimeout: 30_000,
      concurrentTasksPerWorker: 1,
    });
    // An answer that comes after its thread was ended has nobody to go to, and is no reason to end the program.
    this.#threads.on('error', (error: Error) => {
      if (this.#closed || error.message.startsWith('Unexpected message from Worker')) return;
      process.stderr.write(`bonedry: a fault of ours in a thread: ${error.stack ?? error.message}\n`);
    });
  }

  /**
   * Runs one task in a thread.
   * @throws Cancelled when `signal` says so, InputFault for input that cannot be used, Error for a fault of ours
   */
  async run<T extends Task>(task: T, { signal, onProgress }: Wish = {}): Promise<Result<T>> {
    if (signal?.aborted || this.#closed) throw new Cancelled();
    const stop = new SharedArrayBuffer(4);
    const hard = new AbortController();
    let timer: NodeJS.Timeout | undefined;
    const halt = () => {
      Atomics.store(new Int32Array(stop), 0, 1);
      timer = setTimeout(() => hard.abort(), HARD_STOP_AFTER_MS);
    };
    // Every piece of one link listens to the same signal.
    if (signal) setMaxListeners(0, signal);
    signal?.addEventListener('abort', halt, { once: true });
    const { port1, port2 } = new MessageChannel();
    port1.on('message', (share: number) => onProgress?.(share));
    const wired: Wired = { task, progress: port2, stop };
    try {
      const outcome = (await this.#threads.run(wired, {
        transferList: [port2],
        signal: hard.signal,
      })) as Outcome<Result<T>>;
      if (outcome.state === 'done') return outcome.value;
      if (outcome.state === 'cancelled') throw new Cancelled();
      if (outcome.state === 'refused') throw new InputFault(outcome.problems);
      throw Object.assign(new Error(outcome.message), { stack: outcome.stack });
    } catch (error) {
      // A thread that was ended, or never begun, says so in words of its own.
      if (hard.signal.aborted || this.#closed) throw new Cancelled();
      throw error;
    } finally {
      clearTimeout(timer);
      signal?.removeEventListener('abort', halt);
      port1.close();
    }
  }

  /** Ends all threads; what they were doing is cancelled. */
  async close(): Promise<void> {
    this.#closed = true;
    await this.#threads.destroy();
  }
}

/** The built worker: threads run no TypeScript on Node 20, under the test runner neither. */
export function workerFile(): string {
  const built = join(HOME, 'dist/server/worker.js');
  if (existsSync(built)) return built;
  throw new Error('the worker is not built: run `npm run build`');
}
