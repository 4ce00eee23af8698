import { resolve } from 'node:path';
import type { Command } from 'commander';
import { serveApp } from '../server/serve.ts';
import { wholeNumber } from './plan.ts';
import type { Terminal } from './terminal.ts';

/** `bonedry serve [CAMPAIGN]`: the app on this machine alone. */
export function serveCommand(program: Command, terminal: Terminal): void {
  program
    .command('serve [campaigns...]')
    .description('open the app on this machine')
    .option('--port <n>', 'port', '8460')
    .action(async (campaigns: string[], options: { port: string }) => {
      const app = await serveApp({
        campaigns: campaigns.map((file) => resolve(terminal.folder, file)),
        port: wholeNumber(options.port, '--port', 0, 65535),
      });
      terminal.out(`Bonedry is at ${app.address}\n`);
      await new Promise<void>((done) =>
        terminal.signal.addEventListener('abort', () => done(), { once: true }),
      );
      await app.close();
    });
}
