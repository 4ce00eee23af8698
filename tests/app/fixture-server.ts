import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { extname, join } from 'node:path';
import type { CampaignSummary, ChainView, Change, JobState, PrintView } from '../../src/server/api.ts';
import { begun } from '../../src/server/jobs.ts';
import * as fixtures from './fixtures.ts';

/**
 * Serves the built page and views from fixtures, in the shapes of the API: for states that are hard to reach with
 * real figures. What a request changes is kept, so that a whole path can be walked.
 */
const PAGE = join(import.meta.dirname, '../../dist/app');
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
};

export const EXAMPLE: CampaignSummary = {
  id: 'example',
  name: 'Sensor bracket, invented example',
  invented: true,
  bars: 30,
  plates: 4,
  problems: [],
};

/** Made once: a test changes what the server holds, never the views themselves. */
const DRY = fixtures.dryChain();
const TRIED = fixtures.triedChain(16, 'Dry 16 h, not 8 h');

export class FixtureServer {
  campaigns: CampaignSummary[] = [EXAMPLE];
  /** The plan as it stands, and what a plan with changes becomes. */
  chain: ChainView = DRY;
  tried: (changes: readonly Change[]) => ChainView = () => TRIED;
  prints: PrintView[] = [
    fixtures.flatPrint('flat-six.gcode', 'A'),
    fixtures.uprightPrint('upright-twelve.gcode', 'B'),
  ];
  /** What reading a file gives. */
  read: (name: string) => Partial<JobState> = (name) => ({
    state: 'done',
    share: 1,
    print: fixtures.flatPrint(name),
  });
  /** Held: plan jobs stay running in this state until released or stopped. */
  held: Partial<JobState> | null = null;
  /** The next request to plan with changes, or to keep, is refused with this. */
  refuse: { message: string; expected: string; where: { path: string } } | null = null;
  /** Requests in order, for tests that ask what was sent. */
  readonly asked: string[] = [];
  readonly kept: Change[][] = [];
  address = '';

  readonly #jobs = new Map<string, JobState>();
  readonly #listeners = new Map<string, Set<ServerResponse>>();
  readonly #server: Server;

  constructor() {
    this.#server = createServer((request, response) => {
      this.#answer(request, response).catch((fault) => {
        response.writeHead(500).end(String(fault));
      });
    });
  }

  async listen(): Promise<this> {
    await new Promise<void>((done) => this.#server.listen(0, '127.0.0.1', done));
    const at = this.#server.address();
    this.address = `http://127.0.0.1:${typeof at === 'object' && at ? at.port : 0}`;
    return this;
  }

  async close(): Promise<void> {
    this.#server.closeAllConnections();
    await new Promise((done) => this.#server.close(done));
  }

  /** Sends a running job's next state to those who follow it. */
  tell(job: string, change: Partial<JobState>): void {
    const state = { ...this.#jobs.get(job)!, ...change };
    this.#jobs.set(job, state);
    for (const response of this.#listeners.get(job) ?? []) writeState(response, state);
  }

  lastJob(): string {
    return [...this.#jobs.keys()].at(-1)!;
  }

  #start(kind: JobState['kind'], change: Partial<JobState>): string {
    const job = String(this.#jobs.size + 1);
    this.#jobs.set(job, { ...begun(job, kind), ...change });
    return job;
  }

  async #answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(request.url ?? '/', this.address);
    const asked = `${request.method} ${url.pathname}`;
    if (!url.pathname.startsWith('/api/')) return serveFile(url.pathname, response);
    this.asked.push(asked);
    const [, , what = '', id = '', more = ''] = url.pathname.split('/').map(decodeURIComponent);
    const body = await readBody(request);
    const send = (value: unknown, status = 200) => {
      response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(value));
    };
    if (asked === 'GET /api/campaigns') return send(this.campaigns);
    if (asked === 'POST /api/campaigns') {
      const summary = { ...EXAMPLE, id: 'own', name: 'flat-six', invented: false, bars: 6, plates: 1 };
      this.campaigns = [summary, ...this.campaigns];
      return send(summary, 201);
    }
    if (what === 'campaigns' && request.method === 'PATCH') {
      if (this.refuse) return send({ error: { code: 'wrong', ...this.refuse } }, 400);
      this.kept.push((JSON.parse(body) as { changes: Change[] }).changes);
      return send(this.campaigns.find((campaign) => campaign.id === id));
    }
    if (what === 'campaigns' && more === 'plan') return this.#plan(JSON.parse(body || '{}'), send);
    if (what === 'campaigns' && more === 'inputs') return send(fixtures.inputsView());
    if (what === 'campaigns' && more === 'prints') return send(this.prints);
    if (what === 'questions')
      return send(fixtures.questionViews((url.searchParams.get('files') ?? '').split(',')));
    if (what === 'files') return send({ job: this.#start('read', this.read(id)) }, 202);
    const job = this.#jobs.get(id);
    if (what === 'jobs' && !job)
      return send(
        { error: { code: 'no-job', message: 'There is no such job any more. Compute again.' } },
        404,
      );
    if (what === 'jobs' && request.method === 'DELETE') {
      this.tell(id, {
        state: 'stopped',
        doing: 'Stopped at 64 of 256 runs. Figures are good to ± 6 points.',
      });
      return send({ job: id }, 202);
    }
    if (what === 'jobs' && more === 'events') return this.#events(id, response);
    if (what === 'jobs') return send(job);
    send({ error: { code: 'no-address', message: `There is no ${asked}.` } }, 404);
  }

  #plan(wish: { changes?: Change[] }, send: (value: unknown, status?: number) => void): void {
    const changes = wish.changes ?? [];
    if (this.refuse && changes.length > 0) {
      send({ error: { code: 'wrong', ...this.refuse } }, 400);
      return;
    }
    const chain = changes.length > 0 ? this.tried(changes) : this.chain;
    const done: Partial<JobState> = { state: 'done', share: 1, chain };
    send({ job: this.#start('plan', this.held ?? done) }, 202);
  }

  #events(job: string, response: ServerResponse): void {
    response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    const listeners = this.#listeners.get(job) ?? new Set();
    listeners.add(response);
    this.#listeners.set(job, listeners);
    response.on('close', () => listeners.delete(response));
    writeState(response, this.#jobs.get(job)!);
  }
}

function writeState(response: ServerResponse, state: JobState): void {
  response.write(`event: state\ndata: ${JSON.stringify(state)}\n\n`);
}

async function readBody(request: IncomingMessage): Promise<string> {
  const pieces: Buffer[] = [];
  for await (const piece of request) pieces.push(piece as Buffer);
  return Buffer.concat(pieces).toString('utf8');
}

async function serveFile(path: string, response: ServerResponse): Promise<void> {
  const name = path === '/' ? '/index.html' : path;
  try {
    const content = await readFile(join(PAGE, name));
    response
      .writeHead(200, { 'content-type': TYPES[extname(name)] ?? 'application/octet-stream' })
      .end(content);
  } catch {
    response.writeHead(404).end();
  }
}
