import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { createAdaptorServer } from '@hono/node-server';
import { InputFault } from '../problem.ts';
import { Cache } from '../work/cache.ts';
import { Desk } from '../work/desk.ts';
import { dataFolder, HOME } from '../work/home.ts';
import { Pool } from '../work/pool.ts';
import { makeApp } from './app.ts';
import { Jobs } from './jobs.ts';

export type Served = Readonly<{ address: string; desk: Desk; close(): Promise<void> }>;

/** Ports tried after a taken one, so that a second app finds a place. */
const PORTS_TRIED = 10;

/** Opens the app on loopback. @throws InputFault for a campaign that cannot be read, or no free port */
export async function serveApp({
  campaigns,
  port,
  folder = dataFolder(),
}: {
  campaigns: readonly string[];
  port: number;
  folder?: string;
}): Promise<Served> {
  const pool = new Pool();
  const desk = new Desk(folder, pool, new Cache(join(folder, 'cache')));
  for (const path of campaigns) desk.open(path);
  const jobs = new Jobs();
  const app = makeApp(desk, jobs, join(HOME, 'dist/app'));
  const server = createAdaptorServer(app);
  const taken = await listen(server, port);
  return {
    address: `http://127.0.0.1:${taken}/`,
    desk,
    async close() {
      jobs.stopAll();
      await new Promise<void>((done) => {
        server.close(() => done());
        // Open event streams would hold the server for ever.
        if ('closeAllConnections' in server) server.closeAllConnections();
      });
      await pool.close();
    },
  };
}

type Server = ReturnType<typeof createAdaptorServer>;

async function listen(server: Server, first: number): Promise<number> {
  for (let port = first; ; port++) {
    try {
      await new Promise<void>((done, fail) => {
        server.once('error', fail);
        server.listen(port, '127.0.0.1', () => {
          server.off('error', fail);
          done();
        });
      });
      return (server.address() as AddressInfo).port;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EADDRINUSE' || port >= first + PORTS_TRIED)
        throw new InputFault([
          { code: 'no-port', message: `Port ${port} is taken.`, expected: 'a free one, with --port' },
        ]);
    }
  }
}
