import { readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { isMainThread, parentPort, Worker } from 'node:worker_threads';
import { type MakeProgress, makeExampleCurves, makeExamplePrints } from '../../examples/make.ts';
import { Cancelled, InputFault, sentence } from '../problem.ts';
import { type Served, serveApp } from '../server/serve.ts';
import { HOME } from '../work/home.ts';
import { tellPlan, wholeNumber } from './plan.ts';
import { processTerminal, stopped, type Terminal } from './terminal.ts';

/**
 * `npm start`: opens the app and prints its address at once, makes the example's print files, runs the main job on the
 * example campaign in the terminal, and keeps serving until Ctrl-C. The same file is the thread that makes the prints.
 */
const EXAMPLE = 'examples/sensor-bracket.yaml';
const PRINTS = join(HOME, 'examples/prints');

if (isMainThread) process.exitCode = await start(processTerminal());
else {
  makeExampleCurves(join(HOME, 'examples/curves'));
  makeExamplePrints(PRINTS, (progress) => parentPort?.postMessage(progress));
}

async function start(terminal: Terminal): Promise<number> {
  let app: Served | undefined;
  try {
    const port = wholeNumber(process.env['PORT'] ?? '8460', 'PORT', 0, 65535);
    app = await serveApp({ campaigns: [{ path: join(HOME, EXAMPLE), name: EXAMPLE }], port });
    terminal.out(`Bonedry is at ${app.address}\n`);
    for (const problem of app.problems) terminal.err(`bonedry: ${sentence(problem)}\n`);
    await makePrints(terminal);
    terminal.out('The example campaign, invented:\n\n');
    const planned = await app.desk.plan(app.desk.list()[0]!.id, {
      signal: terminal.signal,
      onChain: (_, share, doing) => terminal.progress(`${Math.round(100 * share)} % ${doing}`),
    });
    tellPlan(planned, terminal);
    terminal.out(`\nThe same in the app, with what can be tried: ${app.address}   Ctrl-C ends it.\n`);
    await stopped(terminal);
    return 0;
  } catch (error) {
    if (error instanceof Cancelled) return 130;
    if (!(error instanceof InputFault)) throw error;
    for (const problem of error.problems) terminal.err(`bonedry: ${sentence(problem)}\n`);
    return 2;
  } finally {
    await app?.close();
  }
}

/** In a thread of its own, so that the app answers meanwhile. @throws Cancelled at Ctrl-C, and no half file stays */
async function makePrints(terminal: Terminal): Promise<void> {
  const maker = new Worker(fileURLToPath(import.meta.url));
  const stop = () => void maker.terminate();
  terminal.signal.addEventListener('abort', stop, { once: true });
  try {
    await new Promise<void>((done, fail) => {
      maker.on('message', ({ name, state }: MakeProgress) =>
        terminal.progress(state === 'writing' ? `Making ${name}` : ''),
      );
      maker.on('error', fail);
      maker.on('exit', () => done());
    });
  } finally {
    terminal.signal.removeEventListener('abort', stop);
  }
  if (!terminal.signal.aborted) return;
  for (const name of readdirSync(PRINTS).filter((one) => one.endsWith(`.${process.pid}.part`)))
    rmSync(join(PRINTS, name), { force: true });
  throw new Cancelled();
}
