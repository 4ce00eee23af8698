import { readFileSync } from 'node:fs';

/** What a command may use of the terminal it runs in; tests hand in their own. */
export type Terminal = Readonly<{
  out(text: string): void;
  err(text: string): void;
  /** Whole standard input. */
  input(): string;
  /** One line of progress that replaces the last, shown only to people. */
  progress(text: string): void;
  /** Where both ends are people. */
  interactive: boolean;
  bold(text: string): string;
  folder: string;
  /** Set off by Ctrl-C. */
  signal: AbortSignal;
}>;

export function processTerminal(): Terminal {
  const stopper = new AbortController();
  // The second Ctrl-C ends at once: the first was not enough.
  process.on('SIGINT', () => {
    if (stopper.signal.aborted) process.exit(130);
    stopper.abort();
  });
  const people = process.stderr.isTTY === true;
  const fancy = process.stdout.isTTY === true && process.env['NO_COLOR'] === undefined;
  let shown = '';
  return {
    out: (text) => {
      process.stdout.write(text);
    },
    err: (text) => {
      if (shown) process.stderr.write('\r\x1b[K');
      shown = '';
      process.stderr.write(text);
    },
    input: () => readFileSync(0, 'utf8'),
    progress: (text) => {
      if (!people || text === shown) return;
      shown = text;
      process.stderr.write(`\r\x1b[K${text.slice(0, (process.stderr.columns ?? 80) - 1)}`);
    },
    interactive: process.stdin.isTTY === true && people,
    bold: (text) => (fancy ? `\x1b[1m${text}\x1b[0m` : text),
    folder: process.cwd(),
    signal: stopper.signal,
  };
}
