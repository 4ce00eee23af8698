import { once } from 'node:events';
import { mkdirSync, readdirSync, watch } from 'node:fs';
import { createConnection } from 'node:net';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { type Served, serveApp } from '../../src/server/serve.ts';
import { bonedry, makeScene } from './scene.ts';

// Goal: the app through a real socket: live events, uploads as a stream, an end that waits for nobody. Method: the
// server in this process on a free port of loopback.

let room: string;
let app: Served;
let host: string;
const told: string[] = [];
const open = () =>
  serveApp({
    campaigns: [{ path: join(room, 'campaign.yaml'), name: 'campaign.yaml' }],
    port: 0,
    folder: join(room, 'home'),
  });
beforeAll(async () => {
  room = makeScene();
  app = await open();
  host = new URL(app.address).host;
  vi.spyOn(process.stderr, 'write').mockImplementation((words) => told.push(String(words)) > 0);
});
afterEach(() => expect(told.splice(0).filter((words) => words.includes('fault of ours'))).toEqual([]));
afterAll(async () => {
  vi.restoreAllMocks();
  await app.close();
});

const plan = async (at: Served, request: object): Promise<string> => {
  const response = await fetch(`${at.address}api/campaigns/one-bar/plan`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(request),
  });
  return ((await response.json()) as { job: string }).job;
};

/** A request as bytes, and all that comes back until the server closes or `enough` is there. */
async function raw(head: string, enough: RegExp): Promise<string> {
  const socket = createConnection(Number(new URL(app.address).port), '127.0.0.1');
  await once(socket, 'connect');
  socket.write(head.replaceAll('\n', '\r\n'));
  let heard = '';
  for await (const piece of socket) {
    heard += String(piece);
    if (enough.test(heard)) break;
  }
  socket.destroy();
  return heard;
}

describe('through a socket', () => {
  it('listens on loopback alone', () => {
    expect(app.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
  });

  it('events come one by one while the plan is computed', async () => {
    const job = await plan(app, { draws: 32 });
    const response = await fetch(`${app.address}api/jobs/${job}/events`);
    let pieces = 0;
    let text = '';
    for await (const piece of response.body!) {
      pieces++;
      text += new TextDecoder().decode(piece);
    }
    expect(pieces).toBeGreaterThan(2);
    const states = [...text.matchAll(/"state":"(running|done)","share"/g)].map((match) => match[1]);
    expect(states.at(-1)).toBe('done');
    expect(states.indexOf('done')).toBe(states.length - 1);
  });

  it('a second app finds the next port', async () => {
    const port = Number(new URL(app.address).port);
    const second = await serveApp({ campaigns: [], port, folder: join(room, 'second') });
    expect(Number(new URL(second.address).port)).toBeGreaterThan(port);
    await second.close();
  });

  it('a file is refused by its announced length, before any of it is sent', async () => {
    const answer = await raw(
      `PUT /api/files/large.gcode HTTP/1.1\nHost: ${host}\nContent-Length: 99000000000\n\n`,
      /too large/,
    );
    expect(answer).toMatch(/^HTTP\/1\.1 413 /);
  });

  it('a foreign host is refused', async () => {
    const answer = await raw('GET /api/campaigns HTTP/1.1\nHost: river.example\n\n', /foreign-host/);
    expect(answer).toMatch(/^HTTP\/1\.1 403 /);
  });

  it('an upload that breaks off leaves nothing and no word of a fault', async () => {
    const folder = join(room, 'home/uploads');
    mkdirSync(folder, { recursive: true });
    const incoming = () => readdirSync(folder).some((name) => name.startsWith('incoming-'));
    const begun = watchUntil(folder, incoming);
    const socket = createConnection(Number(new URL(app.address).port), '127.0.0.1');
    await once(socket, 'connect');
    socket.write(
      `PUT /api/files/cut.gcode HTTP/1.1\r\nHost: ${host}\r\nContent-Length: 1000000\r\n\r\nG1 X1\n`,
    );
    await begun;
    const over = watchUntil(folder, () => !incoming());
    socket.destroy();
    await over;
    expect(readdirSync(folder)).toEqual([]);
  });

  it('a hundred megabytes go through in pieces', async () => {
    const piece = new TextEncoder().encode('; a line of a comment that is passed over\n'.repeat(25_000));
    const count = Math.ceil(100_000_000 / piece.length);
    let sent = 0;
    let most = 0;
    const before = process.memoryUsage().rss;
    const body = new ReadableStream({
      pull(controller) {
        most = Math.max(most, process.memoryUsage().rss - before);
        if (sent++ < count) controller.enqueue(piece);
        else controller.close();
      },
    });
    const response = await fetch(`${app.address}api/files/long.gcode`, {
      method: 'PUT',
      body,
      duplex: 'half',
    } as RequestInit);
    expect(response.status).toBe(202);
    // Both ends of the socket lie in this process; held whole at one of them it would be 100 MB and more.
    expect(most).toBeLessThan(90_000_000);
    const { job } = (await response.json()) as { job: string };
    await (await fetch(`${app.address}api/jobs/${job}/events`)).text();
  });
});

describe('closing', () => {
  it('under an open event stream and a plan at work takes less than a second', async () => {
    const other = await open();
    const job = await plan(other, { draws: 4096, seed: 99 });
    const response = await fetch(`${other.address}api/jobs/${job}/events`);
    const reader = response.body!.getReader();
    await reader.read();
    const began = performance.now();
    await other.close();
    expect(performance.now() - began).toBeLessThan(1000);
    await expect(reader.read().then(() => reader.read().then(() => reader.read()))).rejects.toThrow();
  });

  it('by Ctrl-C ends bonedry serve with 0', async () => {
    const stopper = new AbortController();
    const serving = bonedry(room, ['serve', 'campaign.yaml', '--port', '0'], {
      stopper,
      onOut: (text) => {
        const address = /Bonedry is at (\S+)/.exec(text)?.[1];
        if (address) void fetch(`${address}api/campaigns`).then(() => stopper.abort());
      },
    });
    expect(await serving).toMatchObject({ status: 0, err: '' });
  });

  it('before it has begun ends it as well', async () => {
    const stopper = new AbortController();
    stopper.abort();
    expect((await bonedry(room, ['serve', '--port', '0'], { stopper })).status).toBe(0);
  });
});

/** Waits for a folder to be as it should, looked at whenever something in it changes. */
function watchUntil(folder: string, is: () => boolean): Promise<void> {
  return new Promise((done) => {
    const watcher = watch(folder, look);
    function look() {
      if (!is()) return;
      watcher.close();
      done();
    }
    look();
  });
}
