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
import { workerFile } from './pool.ts';

/** Most that the folder may hold; the longest unused go first. */
const BYTES_MAX = 512 * 1024 * 1024;

/**
 * Results by content: the key is a hash of everything a result depends on, the code that computed it included, so
 * that nothing ever has to be declared stale. A damaged or missing file is a result that is not known.
 */
export class Cache {
  readonly #folder: string | null;
  readonly #code: string;

  /** @param folder where results are kept; null keeps none */
  constructor(folder: string | null) {
    this.#folder = folder;
    this.#code = folder === null ? '' : createHash('sha256').update(readFileSync(workerFile())).digest('hex');
  }

  get(key: string): unknown {
    if (this.#folder === null) return undefined;
    const path = this.#path(key);
    try {
      const value: unknown = deserialize(readFileSync(path));
      const now = new Date();
      utimesSync(path, now, now);
      return value;
    } catch {
      return undefined;
    }
  }

  put(key: string, value: unknown): void {
    if (this.#folder === null) return;
    mkdirSync(this.#folder, { recursive: true });
    const path = this.#path(key);
    const temporary = `${path}.${process.pid}`;
    writeFileSync(temporary, serialize(value));
    renameSync(temporary, path);
    this.#prune(this.#folder);
  }

  #path(key: string): string {
    return join(this.#folder!, createHash('sha256').update(this.#code).update(key).digest('hex'));
  }

  #prune(folder: string): void {
    const files = readdirSync(folder)
      .map((name) => ({ path: join(folder, name), info: statSync(join(folder, name)) }))
      .sort((a, b) => b.info.mtimeMs - a.info.mtimeMs);
    let bytes = 0;
    for (const { path, info } of files) {
      bytes += info.size;
      if (bytes > BYTES_MAX) rmSync(path, { force: true });
    }
  }
}
