import { join } from 'node:path';
import { makeExamplePrints } from '../../examples/make.ts';
import { InputFault, sentence } from '../problem.ts';
import { serveApp } from '../server/serve.ts';
import { HOME } from '../work/home.ts';
import { run } from './run.ts';
import { processTerminal } from './terminal.ts';

/**
 * `npm start`: makes the example's print files, opens the app and prints its address at once, runs the main job on the
 * example campaign in the terminal, and keeps serving until Ctrl-C.
 */
const EXAMPLE = join(HOME, 'examples/sensor-bracket.yaml');
const PORT = Number(process.env['PORT'] ?? 8460);

const terminal = processTerminal();
try {
  const app = await serveApp({ campaigns: [EXAMPLE], port: PORT });
  terminal.out(`Bonedry is at ${app.address}\n`);
  makeExamplePrints(join(HOME, 'examples/prints'), ({ name, state }) =>
    terminal.progress(state === 'writing' ? `Making ${name}` : ''),
  );
  terminal.out('The example campaign, invented:\n\n');
  const status = await run(['plan', EXAMPLE], terminal);
  if (status === 130) process.exitCode = 130;
  else {
    terminal.out(`\nThe same in the app, with what can be tried: ${app.address}   Ctrl-C ends it.\n`);
    await new Promise<void>((done) => {
      if (terminal.signal.aborted) done();
      terminal.signal.addEventListener('abort', () => done(), { once: true });
    });
  }
  await app.close();
} catch (error) {
  if (!(error instanceof InputFault)) throw error;
  for (const problem of error.problems) terminal.err(`bonedry: ${sentence(problem)}\n`);
  process.exitCode = 2;
}
