import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { createAdaptorServer } from '@hono/node-server';
import { InputFault, type Problem } from '../problem.ts';
import { Cache } from '../work/cache.ts';
import { Desk } from '../work/desk.ts';
import { dataFolder, HOME } from '../work/home.ts';
import { Pool } from '../work/pool.ts';
import { makeApp } from './app.ts';
import { Jobs } from './jobs.ts';
import { tidyUploads } from './uploads.ts';

export type Served = Readonly<{
  address: string;
  desk: Desk;
  /** Campaigns made here before that cannot be opened any more. */
  problems: readonly Problem[];
  close(): Promise<void>;
}>;

/** Ports tried after a taken one, so that a second app finds a place. */
const PORTS_TRIED = 10;
const PORT_MOST = 65535;

/**
 * Opens the app on loopback: the campaigns named, then those made here before.
 * @param campaigns path of each, and its name as the person typed it
 * @throws InputFault for a campaign that cannot be read, or no free port
 */
export async function serveApp({
  campaigns,
  port,
  folder = dataFolder(),
}: {
  campaigns: readonly Readonly<{ path: string; name: string }>[];
  port: number;
  folder?: string;
}): Promise<Served> {
  const pool = new Pool();
  const desk = new Desk(folder, pool, new Cache(join(folder, 'cache')));
  for (const { path, name } of campaigns) desk.open(path, name);
  const problems = desk.openMade();
  tidyUploads(desk.uploads, desk.filesInUse());
  const jobs = new Jobs();
  const app = makeApp(desk, jobs, { page: join(HOME, 'dist/app') });
  const server = createAdaptorServer(app);
  const taken = await listen(server, port);
  return {
    address: `http://127.0.0.1:${taken}/`,
    desk,
    problems,
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
  const last = Math.min(first + PORTS_TRIED, PORT_MOST);
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
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EADDRINUSE' && port < last) continue;
      if (code !== 'EADDRINUSE' && code !== 'EACCES') throw error;
      const message =
        code === 'EACCES' ? `Port ${port} may not be opened by you.` : `Ports ${first} to ${last} are taken.`;
      throw new InputFault([{ code: 'no-port', message, expected: 'a free one above 1023' }]);
    }
  }
}
