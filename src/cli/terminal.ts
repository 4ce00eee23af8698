import { createInterface } from 'node:readline/promises';
import { text } from 'node:stream/consumers';
import { Cancelled } from '../problem.ts';

/** Asks for one line. @throws Cancelled at the end of the input and at Ctrl-C */
export type AskLine = (words: string) => Promise<string>;

/** What a command may use of the terminal it runs in; tests hand in their own. */
export type Terminal = Readonly<{
  out(text: string): void;
  err(text: string): void;
  /** Whole standard input. */
  input(): Promise<string>;
  /** One line of progress that replaces the last, shown only to people; empty takes it away. */
  progress(text: string): void;
  /** Where both ends are people. */
  interactive: boolean;
  /** Asks people line by line. */
  asking<T>(work: (line: AskLine) => Promise<T>): Promise<T>;
  bold(text: string): string;
  folder: string;
  /** Set off by Ctrl-C. A command that never looks at it is ended by Ctrl-C at once. */
  readonly signal: AbortSignal;
}>;

export function processTerminal(): Terminal {
  const people = process.stderr.isTTY === true;
  const fancy = process.stdout.isTTY === true && !process.env['NO_COLOR'];
  // Whoever read our words may stop in the middle, as `head` does.
  for (const stream of [process.stdout, process.stderr])
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code !== 'EPIPE') throw error;
    });
  let shown = '';
  let stopper: AbortController | undefined;
  return {
    out: (words) => {
      process.stdout.write(words);
    },
    err: (words) => {
      if (shown) process.stderr.write('\r\x1b[K');
      shown = '';
      process.stderr.write(words);
    },
    input: () => text(process.stdin),
    progress: (words) => {
      if (!people || words === shown) return;
      shown = words;
      process.stderr.write(`\r\x1b[K${words.slice(0, (process.stderr.columns ?? 80) - 1)}`);
    },
    interactive: process.stdin.isTTY === true && people,
    asking,
    bold: (words) => (fancy ? `\x1b[1m${words}\x1b[0m` : words),
    folder: process.cwd(),
    get signal() {
      stopper ??= stoppedByPeople();
      return stopper.signal;
    },
  };
}

/** Waits for Ctrl-C. */
export function stopped({ signal }: Terminal): Promise<void> {
  return new Promise((done) => {
    if (signal.aborted) done();
    signal.addEventListener('abort', () => done(), { once: true });
  });
}

/** Signals within this are one Ctrl-C. */
const ONE_CTRL_C_MS = 300;

function stoppedByPeople(): AbortController {
  const stopper = new AbortController();
  let told = 0;
  process.on('SIGINT', () => {
    // A second Ctrl-C ends at once: the first was not enough. One alone may come twice, from the terminal and from npm.
    if (stopper.signal.aborted && performance.now() - told > ONE_CTRL_C_MS) process.exit(130);
    told = performance.now();
    stopper.abort();
  });
  process.on('SIGTERM', () => stopper.abort());
  return stopper;
}

/** While a line is awaited, Ctrl-C comes from the reader and not as a signal; the end of the input is no answer. */
async function asking<T>(work: (line: AskLine) => Promise<T>): Promise<T> {
  const reader = createInterface({ input: process.stdin, output: process.stderr });
  const ended = new Promise<never>((_, fail) => {
    reader.on('close', () => fail(new Cancelled()));
    reader.on('SIGINT', () => reader.close());
  });
  ended.catch(() => undefined);
  try {
    return await work((words) => Promise.race([reader.question(words), ended]));
  } catch (error) {
    // The line that was awaited is still open.
    if (error instanceof Cancelled) process.stderr.write('\n');
    throw error;
  } finally {
    reader.close();
  }
}
