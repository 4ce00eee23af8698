import { resolve } from 'node:path';
import type { Command } from 'commander';
import { sentence } from '../problem.ts';
import { serveApp } from '../server/serve.ts';
import { wholeNumber } from './plan.ts';
import { stopped, type Terminal } from './terminal.ts';

/** `bonedry serve [CAMPAIGN]`: the app on this machine alone. */
export function serveCommand(program: Command, terminal: Terminal): void {
  program
    .command('serve [campaigns...]')
    .description('open the app on this machine')
    .option('--port <n>', 'port', '8460')
    .action(async (campaigns: string[], options: { port: string }) => {
      const app = await serveApp({
        campaigns: campaigns.map((file) => ({ path: resolve(terminal.folder, file), name: file })),
        port: wholeNumber(options.port, '--port', 0, 65535),
      });
      for (const problem of app.problems) terminal.err(`bonedry: ${sentence(problem)}\n`);
      terminal.out(`Bonedry is at ${app.address}\n`);
      await stopped(terminal);
      await app.close();
    });
}
