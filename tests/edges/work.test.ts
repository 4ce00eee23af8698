import { readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Draws } from '../../src/engine/draws.ts';
import { LINKS } from '../../src/engine/links/index.ts';
import type { LinkName } from '../../src/engine/links/link.ts';
import type { Job } from '../../src/job.ts';
import { Cancelled, InputFault } from '../../src/problem.ts';
import type { ChainView } from '../../src/report/views.ts';
import { assess, narrow } from '../../src/work/assess.ts';
import { Cache } from '../../src/work/cache.ts';
import { jobIn, type OpenedCampaign, openCampaign } from '../../src/work/library.ts';
import { planCampaign } from '../../src/work/plan.ts';
import { Pool, type Wish } from '../../src/work/pool.ts';
import type { Result, Task } from '../../src/work/task.ts';
import { HOME, makeRoom, makeScene, put } from './scene.ts';

// Goal: long work gives the same numbers for any number of threads, tells how far it is, stops when told, and is done
// once for the same content. Method: the pool with the built worker; a pool that counts what it is asked for.

class CountingPool extends Pool {
  tasks = 0;
  override run<T extends Task>(task: T, wish: Wish = {}): Promise<Result<T>> {
    this.tasks++;
    return super.run(task, wish);
  }
}

/** One piece of work in each link and step; two where threads are compared. */
const [DRAWS, MORE_DRAWS] = [16, 32];
const DRY = LINKS.find((link) => link.name === 'Dry')!;
let room: string;
let opened: OpenedCampaign;
let job: Job;
const pools: Pool[] = [];
const poolOf = (workers: number) => {
  const pool = new CountingPool(workers);
  pools.push(pool);
  return pool;
};
/** One that has its threads already, for tests that need no other. */
let shared: CountingPool;
beforeAll(() => {
  room = makeScene();
  opened = openCampaign(join(room, 'campaign.yaml'));
  job = jobIn(opened);
  shared = poolOf(2);
});
afterAll(() => Promise.all(pools.map((pool) => pool.close())));

const plan = (wires: {
  draws?: number;
  pool?: Pool;
  cache?: Cache;
  signal?: AbortSignal;
  onChain?: (view: ChainView, share: number) => void;
}) =>
  planCampaign(
    opened,
    { draws: wires.draws ?? DRAWS, seed: 7, changes: [] },
    { pool: shared, cache: new Cache(null), ...wires },
  );

describe('threads', () => {
  it('one and four give the same chain to the byte', async () => {
    const [one, four] = [
      await plan({ draws: MORE_DRAWS, pool: poolOf(1) }),
      await plan({ draws: MORE_DRAWS, pool: poolOf(4) }),
    ];
    expect(one.view.state).toBe('done');
    expect(JSON.stringify(four.view)).toBe(JSON.stringify(one.view));
  });

  it('give the numbers that the link gives when it is simply called', async () => {
    const range = { seed: 7, from: 0, to: MORE_DRAWS };
    const pooled = await assess(job, DRY, range, {}, { pool: shared, cache: new Cache(null) });
    const called = DRY.assess(job, new Draws(job.entries, range), {}, () => {});
    expect(pooled).toEqual(called);
  });

  it('tell of progress that only rises, to 1', async () => {
    const shares: number[] = [];
    await plan({ onChain: (_, share) => shares.push(share) });
    expect(shares.length).toBeGreaterThan(5);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect([shares[0], shares.at(-1)]).toEqual([0, 1]);
  });

  it('hand on the sentences about wrong input as they are', async () => {
    const card = {} as never;
    const read = shared.run({ kind: 'read', path: join(room, 'nothere.gcode'), name: 'nothere.gcode', card });
    const fault = await read.catch((error: unknown) => error);
    expect(fault).toBeInstanceOf(InputFault);
    expect((fault as InputFault).problems).toEqual([
      {
        code: 'unreadable',
        message: 'There is no such file.',
        where: { file: 'nothere.gcode' },
        expected: 'the name of a file that is there',
      },
    ]);
  });

  it('hand on a fault of ours with its message and where it was', async () => {
    const link = 'Nothing' as LinkName;
    const range = { seed: 7, from: 0, to: 16 };
    const fault = await shared
      .run({ kind: 'assess', link, job, range, earlier: {} })
      .catch((error: unknown) => error);
    expect(fault).not.toBeInstanceOf(InputFault);
    expect((fault as Error).message).toBe('no link is named Nothing');
    expect((fault as Error).stack).toContain('worker');
  });
});

describe('told to stop', () => {
  it.each([1, 3, 6, 9])(
    'at its tick %i, a plan is cancelled and keeps the chain that it has',
    async (tick) => {
      const stopper = new AbortController();
      const views: ChainView[] = [];
      let toldAt = 0;
      const stopped = plan({
        signal: stopper.signal,
        onChain: (view) => {
          views.push(view);
          if (views.length !== tick) return;
          toldAt = performance.now();
          stopper.abort();
        },
      });
      await expect(stopped).rejects.toBeInstanceOf(Cancelled);
      expect(performance.now() - toldAt).toBeLessThan(2000);
      expect(views.at(-1)!.state).toBe('stopped');
      expect(views.at(-1)!.links.map((link) => link.share)).toEqual(
        views.at(-2)!.links.map((link) => link.share),
      );
    },
  );

  it('before it began, nothing begins', async () => {
    const pool = poolOf(1);
    const stopped = plan({ pool, signal: AbortSignal.abort() });
    await expect(stopped).rejects.toBeInstanceOf(Cancelled);
  });

  it('a thread that does not listen is ended, and the next task finds another', async () => {
    put(
      room,
      'deaf.mjs',
      `export default ({ task, progress }) => {
        progress.postMessage(0.5);
        while (task.endless);
        return { state: 'done', value: 7 };
      }`,
    );
    const pool = new Pool(1, join(room, 'deaf.mjs'));
    pools.push(pool);
    const stopper = new AbortController();
    const endless = pool.run({ endless: true } as never, {
      signal: stopper.signal,
      onProgress: () => stopper.abort(),
    });
    await expect(endless).rejects.toBeInstanceOf(Cancelled);
    expect(await pool.run({ endless: false } as never)).toBe(7);
  });

  it('by the end of the pool, answers on their way are dropped without a word', async () => {
    put(room, 'quick.mjs', `export default ({ task }) => ({ state: 'done', value: task.number });`);
    for (let round = 0; round < 20; round++) {
      const pool = new Pool(2, join(room, 'quick.mjs'));
      const tasks = Array.from({ length: 40 }, (_, number) => pool.run({ number } as never));
      const ends = Promise.allSettled(tasks);
      await tasks[round % 10];
      await pool.close();
      for (const end of await ends)
        if (end.status === 'rejected') expect(end.reason).toBeInstanceOf(Cancelled);
    }
  });

  it('by the end of the pool, what runs is cancelled and nothing begins any more', async () => {
    const pool = poolOf(1);
    const closed: Promise<void>[] = [];
    const running = plan({ pool, onChain: (_, share) => share > 0.2 && closed.push(pool.close()) });
    await expect(running).rejects.toBeInstanceOf(Cancelled);
    await Promise.all(closed);
    await expect(plan({ pool })).rejects.toBeInstanceOf(Cancelled);
  });
});

describe('results by content', () => {
  let folder: string;
  let first: string;
  let tasksOfPlan: number;
  beforeAll(async () => {
    folder = join(makeRoom(), 'cache');
    const pool = poolOf(2);
    first = JSON.stringify((await plan({ pool, cache: new Cache(folder) })).view);
    tasksOfPlan = pool.tasks;
  });

  it('are not computed a second time', async () => {
    const pool = poolOf(2);
    const again = await plan({ pool, cache: new Cache(folder) });
    expect(pool.tasks).toBe(0);
    expect(JSON.stringify(again.view)).toBe(first);
  });

  it('in damaged files are computed again, to the same, and are whole afterwards', async () => {
    const damages = [
      spoil,
      (path: string) => truncateSync(path, readFileSync(path).length - 9),
      (path: string) => truncateSync(path, 0),
      (path: string) => writeFileSync(path, 'not what was written'),
    ];
    const names = readdirSync(folder);
    expect(names.length).toBeGreaterThanOrEqual(damages.length);
    for (const [k, name] of names.entries()) damages[k % damages.length]!(join(folder, name));
    const pool = poolOf(2);
    const again = await plan({ pool, cache: new Cache(folder) });
    expect(pool.tasks).toBe(tasksOfPlan);
    expect(JSON.stringify(again.view)).toBe(first);
    const healed = poolOf(1);
    await plan({ pool: healed, cache: new Cache(folder) });
    expect(healed.tasks).toBe(0);
  });

  it('asked for twice at a time are computed once', async () => {
    const both = poolOf(2);
    const cache = new Cache(null);
    const shares: number[] = [];
    const [a, b] = await Promise.all([
      plan({ pool: both, cache }),
      plan({ pool: both, cache, onChain: (_, share) => shares.push(share) }),
    ]);
    expect(JSON.stringify(b.view)).toBe(JSON.stringify(a.view));
    // Each single step of the second finds the one that the first has begun.
    expect(both.tasks).toBe(tasksOfPlan);
    expect(shares.some((share) => share > 0.15 && share < 0.6)).toBe(true);
  });

  it('whose asker is stopped are computed for whoever still waits', async () => {
    const cache = new Cache(null);
    const stopper = new AbortController();
    const pool = poolOf(2);
    const one = plan({
      pool,
      cache,
      signal: stopper.signal,
      onChain: (_, share) => share > 0.2 && stopper.abort(),
    });
    const other = plan({ pool, cache });
    await expect(one).rejects.toBeInstanceOf(Cancelled);
    expect(JSON.stringify((await other).view)).toBe(first);
  });

  it('are told apart by seed, by draws, and by what the link reads, and by nothing else', async () => {
    const cache = new Cache(join(makeRoom(), 'cache'));
    const pool = shared;
    const isComputed = async (changed: Job, range: { seed: number; from: number; to: number }) => {
      const before = pool.tasks;
      await assess(changed, DRY, range, {}, { pool, cache });
      return pool.tasks > before;
    };
    const range = { seed: 7, from: 0, to: 16 };
    const other = (key: string): Job => ({
      ...job,
      entries: {
        ...job.entries,
        [key]: { ...job.entries[key]!, value: 1.01 * Number(job.entries[key]!.value) },
      },
    });
    expect(await isComputed(job, range)).toBe(true);
    expect(await isComputed(job, range)).toBe(false);
    expect(await isComputed(job, { ...range, seed: 8 })).toBe(true);
    expect(await isComputed(job, { ...range, to: 32 })).toBe(true);
    expect(await isComputed(other('room.humidity'), range)).toBe(true);
    expect(await isComputed(other('printer.homing'), range)).toBe(false);
    expect(await isComputed({ ...job, settings: { nozzle: 500 }, plates: [] }, range)).toBe(false);
    expect(await isComputed({ ...job, drying: { ...job.drying, time: 3600 } }, range)).toBe(true);
  });

  it('a link sees the entries whose cards name it as a reader, and no other', () => {
    const base = JSON.stringify(narrow(job, DRY));
    for (const [key, entry] of Object.entries(job.entries)) {
      const changed = { ...job, entries: { ...job.entries, [key]: { ...entry, source: 'another' } } };
      const isSeen = JSON.stringify(narrow(changed, DRY)) !== base;
      expect(isSeen, key).toBe(entry.readBy.includes('Dry'));
    }
    expect(Object.values(job.entries).filter((entry) => entry.readBy.includes('Dry')).length).toBeGreaterThan(
      20,
    );
  });

  it('go with the code: another build of the worker finds none of them', () => {
    const built = readFileSync(join(HOME, 'dist/server/worker.js'), 'utf8');
    // What it imports carries a hash of its content in its name, so the entry alone stands for all of it.
    const imported = [...built.matchAll(/from "(\.[^"]+)"/g)].map((match) => match[1]!);
    expect(imported.length).toBeGreaterThan(0);
    for (const name of imported) expect(name).toMatch(/^\.\/assets\/[a-z-]+-[\w-]{8}\.js$/);
  });
});

function spoil(path: string): void {
  const bytes = readFileSync(path);
  bytes[bytes.length >> 1]! ^= 0x10;
  writeFileSync(path, bytes);
}
