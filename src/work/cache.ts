import { createHash } from 'node:crypto';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { deserialize, serialize } from 'node:v8';
import { Cancelled } from '../problem.ts';
import { type Wish, workerFile } from './pool.ts';

/** Most that the folder may hold; the longest unused go first. */
const BYTES_MAX = 512 * 1024 * 1024;
/** Bytes put between two looks at the size of the folder. */
const LOOK_EVERY = 16 * 1024 * 1024;
/** Length of the sum at the start of a file. */
const SUM = 32;

type Coming = { result: Promise<unknown>; followers: Set<(share: number) => void> };

/**
 * Results by content: the key is a hash of everything a result depends on, the code that computed it and the machine
 * it ran on included, so that nothing ever has to be declared stale. A file that is missing or damaged is a result that
 * is not known; one that cannot be written is not kept. The cache never makes a plan fail.
 */
export class Cache {
  readonly #folder: string | null;
  readonly #code: string;
  readonly #coming = new Map<string, Coming>();
  #unlooked = Number.POSITIVE_INFINITY;

  /** @param folder where results are kept; null keeps none */
  constructor(folder: string | null) {
    this.#folder = folder;
    // The entry names its parts by their content. The last digits of exp and log may differ between engines.
    this.#code =
      folder === null ? '' : sumOf(readFileSync(workerFile()), process.versions.v8).toString('hex');
  }

  /**
   * The result under `key`, computed where it is not known. Asked for twice at a time, it is computed once.
   * @throws Cancelled when `signal` says so, and whatever `compute` throws
   */
  async once<T>(
    key: string,
    { signal, onProgress }: Wish,
    compute: (onProgress: (share: number) => void) => Promise<T>,
  ): Promise<T> {
    for (;;) {
      const known = this.get(key);
      if (known !== undefined) return known as T;
      const begun = this.#coming.get(key);
      const coming = begun ?? this.#begin(key, compute);
      if (onProgress) coming.followers.add(onProgress);
      try {
        return (await (begun ? orStopped(coming.result, signal) : coming.result)) as T;
      } catch (error) {
        // Whoever began it may have been stopped: who still waits begins anew.
        if (!begun || !(error instanceof Cancelled) || signal?.aborted) throw error;
      } finally {
        if (onProgress) coming.followers.delete(onProgress);
      }
    }
  }

  #begin(key: string, compute: (onProgress: (share: number) => void) => Promise<unknown>): Coming {
    const followers: Coming['followers'] = new Set();
    const tell = (share: number) => {
      for (const follower of followers) follower(share);
    };
    const result = compute(tell)
      .then((value) => {
        this.put(key, value);
        return value;
      })
      .finally(() => this.#coming.delete(key));
    const coming = { result, followers };
    this.#coming.set(key, coming);
    return coming;
  }

  get(key: string): unknown {
    if (this.#folder === null) return undefined;
    const path = this.#path(this.#folder, key);
    try {
      const file = readFileSync(path);
      const content = file.subarray(SUM);
      if (!sumOf(content).equals(file.subarray(0, SUM))) return undefined;
      const now = new Date();
      utimesSync(path, now, now);
      return deserialize(content);
    } catch {
      return undefined;
    }
  }

  put(key: string, value: unknown): void {
    if (this.#folder === null) return;
    try {
      this.#write(this.#folder, this.#path(this.#folder, key), serialize(value));
    } catch {
      // No room, or no right to write: it is computed again the next time.
    }
  }

  #write(folder: string, path: string, content: Buffer): void {
    const temporary = `${path}.${process.pid}.part`;
    mkdirSync(folder, { recursive: true });
    try {
      writeFileSync(temporary, Buffer.concat([sumOf(content), content]));
      renameSync(temporary, path);
    } finally {
      rmSync(temporary, { force: true });
    }
    this.#unlooked += content.length;
    if (this.#unlooked > LOOK_EVERY) this.#prune(folder);
  }

  #path(folder: string, key: string): string {
    return join(folder, sumOf(this.#code, key).toString('hex'));
  }

  #prune(folder: string): void {
    this.#unlooked = 0;
    const files = readdirSync(folder)
      .flatMap((name) => {
        const path = join(folder, name);
        // Another process may have taken it away meanwhile.
        const info = statSync(path, { throwIfNoEntry: false });
        return info ? [{ path, info }] : [];
      })
      .sort((a, b) => b.info.mtimeMs - a.info.mtimeMs);
    let bytes = 0;
    for (const { path, info } of files) {
      bytes += info.size;
      if (bytes > BYTES_MAX) rmSync(path, { force: true });
    }
  }
}

function sumOf(...parts: readonly (string | Uint8Array)[]): Buffer {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest();
}

function orStopped<T>(result: Promise<T>, signal: AbortSignal | undefined): Promise<T> {
  if (!signal) return result;
  return new Promise((done, fail) => {
    const stop = () => fail(new Cancelled());
    if (signal.aborted) stop();
    signal.addEventListener('abort', stop, { once: true });
    result.then(done, fail).finally(() => signal.removeEventListener('abort', stop));
  });
}
