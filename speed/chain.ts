import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { makeExamplePrints } from '../examples/make.ts';
import { Draws } from '../src/engine/draws.ts';
import { LINKS } from '../src/engine/links/index.ts';
import { Cancelled } from '../src/problem.ts';
import { Cache } from '../src/work/cache.ts';
import { HOME } from '../src/work/home.ts';
import { jobIn, openCampaign } from '../src/work/library.ts';
import { planCampaign } from '../src/work/plan.ts';
import { Pool } from '../src/work/pool.ts';

// Goal: how long a person waits for the chain of the example, and how much of it is the links' own work. Method: the
// whole plan through threads and files, cold and warm; each link called plainly over the same draws as the baseline.

const DRAWS = 256;
const SEED = 7;
/** Share of a plan at which it is told to stop. */
const STOPPED_AT = 0.3;

export async function measure() {
  const prints = makeExamplePrints(join(HOME, 'examples/prints'));
  const megabytes = prints.reduce((sum, path) => sum + statSync(path).size, 0) / 1e6;
  const folder = mkdtempSync(join(tmpdir(), 'bonedry-speed-'));
  const path = join(HOME, 'examples/sensor-bracket.yaml');
  const opening = seconds(() => openCampaign(path));
  const opened = openCampaign(path);
  const job = jobIn(opened);
  const range = { seed: SEED, from: 0, to: DRAWS };
  const plainly = seconds(() => {
    for (const link of LINKS) link.assess(job, new Draws(job.entries, range), {}, () => {});
  });
  const pool = new Pool();
  const plan = async (cache: Cache, signal?: AbortSignal, onShare?: (share: number) => void) => {
    const began = performance.now();
    let first = 0;
    await planCampaign(
      opened,
      { draws: DRAWS, seed: SEED, changes: [] },
      {
        pool,
        cache,
        signal,
        onChain: (view, share) => {
          onShare?.(share);
          if (first === 0 && view.links.some((link) => link.ruling)) first = performance.now() - began;
        },
      },
    );
    return { first: first / 1000, all: (performance.now() - began) / 1000 };
  };
  try {
    const kept = join(folder, 'cache');
    const cold = await plan(new Cache(kept));
    const warm = await plan(new Cache(kept));
    const stopper = new AbortController();
    let told = 0;
    await plan(new Cache(null), stopper.signal, (share) => {
      if (share < STOPPED_AT || told > 0) return;
      told = performance.now();
      stopper.abort();
    }).catch((error: unknown) => {
      if (!(error instanceof Cancelled)) throw error;
    });
    const stopping = performance.now() - told;
    const s = (value: number) => `${value.toFixed(2)} s`;
    return {
      title: 'The chain of the example',
      rows: [
        {
          what: 'opening the campaign',
          value: s(opening),
          note: 'the first time, all shipped cards with it',
        },
        {
          what: 'the links alone, plainly called',
          value: s(plainly),
          note: `${DRAWS} draws on one core: the baseline`,
        },
        {
          what: 'first picture, cold',
          value: s(cold.first),
          note: `${megabytes.toFixed(0)} MB of prints read, the links; ${(cold.first / plainly).toFixed(1)} times the baseline; goal 20 s`,
        },
        {
          what: 'whole, cold',
          value: s(cold.all),
          note: `with every single step; ${(cold.all / plainly).toFixed(1)} times the baseline; goal 3 min`,
        },
        {
          what: 'whole, warm',
          value: s(warm.all),
          note: `1 : ${(cold.all / warm.all).toFixed(0)} of cold; goal 5 s`,
        },
        { what: 'told to stop, until it has', value: `${stopping.toFixed(0)} ms`, note: 'goal 2 s' },
      ],
    };
  } finally {
    await pool.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function seconds(work: () => unknown): number {
  const began = performance.now();
  work();
  return (performance.now() - began) / 1000;
}
