import {
  chmodSync,
  existsSync,
  lstatSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { z } from 'zod';
import * as views from '../../src/report/views.ts';
import type { JobState } from '../../src/server/api.ts';
import { makeApp } from '../../src/server/app.ts';
import { Jobs } from '../../src/server/jobs.ts';
import { Cache } from '../../src/work/cache.ts';
import { Desk } from '../../src/work/desk.ts';
import { Pool } from '../../src/work/pool.ts';
import { printBytes } from '../facts/named-prints.ts';
import { campaignText, filesIn, HOME, makeScene, put } from './scene.ts';

// Goal: every address answers in the shapes of its types, refuses what is wrong in words and with the right status, and
// lets no foreign page and no trick in a name through. Method: requests go straight into the app, without a socket.

const OWN = { host: 'localhost:8460' };
const FEW = { draws: 16 };
const UPLOAD_MOST = 2_000_000;
let room: string;
let pool: Pool;
let desk: Desk;
let jobs: Jobs;
let app: ReturnType<typeof makeApp>;
let id: string;

beforeAll(() => {
  room = makeScene();
  pool = new Pool(2);
  desk = new Desk(join(room, 'home'), pool, new Cache(join(room, 'home/cache')));
  id = desk.open(join(room, 'campaign.yaml'), 'campaign.yaml');
  jobs = new Jobs();
  app = makeApp(desk, jobs, { page: join(HOME, 'dist/app'), uploadMost: UPLOAD_MOST });
});
afterAll(() => pool.close());

// biome-ignore lint/suspicious/noExplicitAny: bodies of every shape, looked into by each test
type Answer = { status: number; body: any };

async function ask(method: string, path: string, body?: unknown, headers: object = {}): Promise<Answer> {
  const isRaw = typeof body === 'string' || body instanceof Uint8Array;
  const response = await app.request(path, {
    method,
    headers: {
      ...OWN,
      ...(body !== undefined && !isRaw ? { 'content-type': 'application/json' } : {}),
      ...headers,
    },
    ...(body === undefined ? {} : { body: (isRaw ? body : JSON.stringify(body)) as never }),
  });
  return { status: response.status, body: await response.json() };
}

/** All states of a job as they are sent, to the last. */
async function follow(job: string): Promise<JobState[]> {
  const response = await app.request(`/api/jobs/${job}/events`, { headers: OWN });
  expect(response.status).toBe(200);
  expect(response.headers.get('content-type')).toContain('text/event-stream');
  expect(response.headers.get('cache-control')).toBe('no-store');
  const text = await response.text();
  return text
    .split('\n\n')
    .filter((event) => event.startsWith('event: state\n'))
    .map((event) => JSON.parse(/^data: (.*)$/m.exec(event)![1]!) as JobState);
}

async function planned(request: object = FEW): Promise<JobState> {
  const { status, body } = await ask('POST', `/api/campaigns/${id}/plan`, request);
  expect(status, JSON.stringify(body)).toBe(202);
  return (await follow(body.job)).at(-1)!;
}

async function brought(name: string, content: Uint8Array = printBytes('flat-one.gcode')): Promise<JobState> {
  const { status, body } = await ask('PUT', `/api/files/${encodeURIComponent(name)}`, content);
  expect(status, JSON.stringify(body)).toBe(202);
  return (await follow(body.job)).at(-1)!;
}

/** A body that is as its type says, to the last key. */
function fits<T>(schema: z.ZodType<T>, body: unknown): T {
  const parsed = schema.safeParse(body);
  expect(parsed.error?.issues ?? []).toEqual([]);
  return body as T;
}

describe('campaigns', () => {
  it('are listed', async () => {
    const { status, body } = await ask('GET', '/api/campaigns');
    expect(status).toBe(200);
    const [first] = fits(views.campaignSummary.array(), body);
    expect(first).toEqual({ id, name: 'One bar', invented: false, bars: 1, plates: 1, problems: [] });
  });

  it('have their prints read, beside what the plan says', async () => {
    const { status, body } = await ask('GET', `/api/campaigns/${id}/prints`);
    expect(status).toBe(200);
    const [print] = fits(views.print.array(), body);
    expect(print).toMatchObject({ file: 'prints/flat-one.gcode', plate: 'A', bars: '1' });
    expect(print!.against).toHaveLength(10);
  });

  it.each([
    ['GET', '/inputs', undefined],
    ['GET', '/prints', undefined],
    ['POST', '/plan', {}],
    ['PATCH', '', { changes: [] }],
  ])('that are not there: %s %s is 404', async (method, path, body) => {
    const answer = await ask(method, `/api/campaigns/nothing${path}`, body);
    expect(answer).toEqual({
      status: 404,
      body: { error: { code: 'no-campaign', message: 'There is no campaign "nothing" open.' } },
    });
  });
});

describe('a plan', () => {
  it('is followed to its end: states in order, the last with the whole chain', async () => {
    const { body } = await ask('POST', `/api/campaigns/${id}/plan`, { draws: 32 });
    const states = await follow(body.job);
    expect(states.length).toBeGreaterThan(2);
    expect(states.map(({ state }) => state)).toEqual([...states.slice(1).map(() => 'running'), 'done']);
    const shares = states.map(({ share }) => share);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    const last = states.at(-1)!;
    expect(last).toMatchObject({ job: body.job, kind: 'plan', share: 1, problems: [] });
    expect(fits(views.chain, last.chain)).toMatchObject({ state: 'done', draws: 32, campaign: 'One bar' });
    expect((await ask('GET', `/api/jobs/${body.job}`)).body).toEqual(last);
  });

  it('tells two followers, and one who comes late, the same end', async () => {
    const { body } = await ask('POST', `/api/campaigns/${id}/plan`, { draws: 32, seed: 11 });
    const [one, two] = await Promise.all([follow(body.job), follow(body.job)]);
    const late = await follow(body.job);
    expect(two.at(-1)).toEqual(one.at(-1));
    expect(late).toEqual([one.at(-1)]);
  });

  it('is stopped half way and keeps the chain that it has', async () => {
    const { body } = await ask('POST', `/api/campaigns/${id}/plan`, { draws: 1024, seed: 12 });
    const stopped = new Promise<void>((done) => {
      const unfollow = jobs.follow(body.job, (state) => {
        if (state.share < 0.16) return;
        done(ask('DELETE', `/api/jobs/${body.job}`).then(({ status }) => expect(status).toBe(202)));
        queueMicrotask(() => unfollow());
      });
    });
    const [states] = await Promise.all([follow(body.job), stopped]);
    const last = states.at(-1)!;
    expect(last).toMatchObject({ state: 'stopped', problems: [] });
    expect(last.share).toBeLessThan(1);
    expect(fits(views.chain, last.chain)).toMatchObject({ state: 'stopped' });
  });

  it('fills the inputs; before it there are none', async () => {
    const other = desk.open(join(room, 'campaign.yaml'), 'campaign.yaml');
    const before = await ask('GET', `/api/campaigns/${other}/inputs`);
    expect(before).toMatchObject({ status: 400, body: { error: { code: 'not-computed' } } });
    const asked: Promise<Answer>[] = [];
    const { body: started } = await ask('POST', `/api/campaigns/${other}/plan`, { ...FEW, seed: 21 });
    const unfollow = jobs.follow(started.job, ({ doing }) => {
      // The changes are still being tried: the inputs need not wait for them.
      if (doing !== 'Trying single changes' || asked.length > 0) return;
      asked.push(ask('GET', `/api/campaigns/${other}/inputs`));
    });
    await follow(started.job);
    unfollow();
    const { status, body } = (await asked[0])!;
    expect(status).toBe(200);
    expect(fits(views.inputs, body).inputs.length).toBeGreaterThan(20);
  });

  it('with changes is compared with the plan as it stands', async () => {
    await planned();
    const changes = [{ path: 'kit.dryer.for', value: '4 h' }];
    const { chain } = await planned({ ...FEW, changes });
    const dry = chain!.links[0]!;
    expect(chain!.trying).toEqual(['kit.dryer.for: 4 h']);
    expect(dry.before).not.toBeNull();
    expect(dry.before!.median).not.toBe(dry.ruling!.median);
    expect(chain!.headline).toMatch(/^With this change, /);
    expect(readFileSync(join(room, 'campaign.yaml'), 'utf8')).toBe(campaignText());
  });

  it.each([
    [{ path: 'kit.dryer.for', value: '4' }, /kit\.dryer\.for.*|4/, 'kit.dryer.for'],
    [{ path: 'kit.dryer.fro', value: '4 h' }, /"fro" is not a key known here/, 'kit.dryer.fro'],
    [{ path: 'kit.dryer.for', value: '"4 h' }, /""4 h" cannot be put here/, 'kit.dryer.for'],
    [{ path: 'campaign.name.more', value: 'x' }, /cannot be put here|is not a/, 'campaign'],
    [{ path: 'constructor.polluted', value: 'x' }, /"x" cannot be put here/, 'constructor'],
  ])(
    'with a change that does not fit, %j, is refused and nothing is written',
    async (change, words, path) => {
      const before = readFileSync(join(room, 'campaign.yaml'), 'utf8');
      for (const [method, address, request] of [
        ['POST', `/api/campaigns/${id}/plan`, { ...FEW, changes: [change] }],
        ['PATCH', `/api/campaigns/${id}`, { changes: [change] }],
      ] as const) {
        const { status, body } = await ask(method, address, request);
        expect(status, JSON.stringify(body)).toBe(400);
        const errors = body.errors ?? [body.error];
        expect(errors.map((one: { message: string }) => one.message).join(' ')).toMatch(words);
        expect(errors[0].where.path).toContain(path);
      }
      expect(readFileSync(join(room, 'campaign.yaml'), 'utf8')).toBe(before);
      expect(({} as { polluted?: string }).polluted).toBeUndefined();
    },
  );

  it('with a change of what all objects share changes nothing', async () => {
    const changes = [{ path: '__proto__.polluted', value: 'x' }];
    await ask('PATCH', `/api/campaigns/${id}`, { changes });
    expect(readFileSync(join(room, 'campaign.yaml'), 'utf8')).toBe(campaignText());
    expect(({} as { polluted?: string }).polluted).toBeUndefined();
  });

  it('reads the file again where it was edited by other means', async () => {
    const path = join(room, 'campaign.yaml');
    const text = readFileSync(path, 'utf8');
    writeFileSync(path, text.replace('One bar', 'One bar, edited'));
    expect((await planned()).chain!.campaign).toBe('One bar, edited');
    writeFileSync(path, 'format: 1\n');
    const { status, body } = await ask('POST', `/api/campaigns/${id}/plan`, FEW);
    expect(status).toBe(400);
    expect(body.error.where.file).toBe('campaign.yaml');
    writeFileSync(path, text);
    expect((await planned()).chain!.campaign).toBe('One bar');
  });

  it('shows in its problems what is wrong with a file, and computes what does not need it', async () => {
    put(room, 'broken.yaml', campaignText().replace('prints/flat-one.gcode', 'nothere.gcode'));
    const broken = desk.open(join(room, 'broken.yaml'), 'broken.yaml');
    const { body } = await ask('POST', `/api/campaigns/${broken}/plan`, FEW);
    const { state, chain } = (await follow(body.job)).at(-1)!;
    expect(state).toBe('done');
    expect(chain!.problems).toEqual([
      {
        sentence: 'nothere.gcode: There is no such file. Expected the name of a file that is there.',
        file: 'nothere.gcode',
        line: null,
        level: 'stop',
      },
    ]);
    expect(chain!.links[0]!.state).toBe('done');
  });
});

describe('keeping a change', () => {
  it('writes that line of the file alone; comments stay', async () => {
    put(room, 'kept.yaml', campaignText());
    const kept = desk.open(join(room, 'kept.yaml'), 'kept.yaml');
    const { status, body } = await ask('PATCH', `/api/campaigns/${kept}`, {
      changes: [{ path: 'kit.dryer.for', value: '4 h' }],
    });
    expect(status).toBe(200);
    fits(views.campaignSummary, body);
    const [before, after] = [campaignText(), readFileSync(join(room, 'kept.yaml'), 'utf8')].map((text) =>
      text.split('\n'),
    ) as [string[], string[]];
    expect(after).toHaveLength(before.length);
    expect(after.filter((line, k) => line !== before[k])).toEqual([
      '  dryer: { card: fan-oven, at: "80 C", for: "4 h" } # the oven in the shed',
    ]);
  });

  it('leaves a link a link, and who may read the file as it was', async () => {
    put(room, 'elsewhere/real.yaml', campaignText());
    chmodSync(join(room, 'elsewhere/real.yaml'), 0o640);
    symlinkSync('elsewhere/real.yaml', join(room, 'linked.yaml'));
    const linked = desk.open(join(room, 'linked.yaml'), 'linked.yaml');
    const { status } = await ask('PATCH', `/api/campaigns/${linked}`, {
      changes: [{ path: 'kit.dryer.for', value: '4 h' }],
    });
    expect(status).toBe(200);
    expect(lstatSync(join(room, 'linked.yaml')).isSymbolicLink()).toBe(true);
    expect(readFileSync(join(room, 'elsewhere/real.yaml'), 'utf8')).toContain('for: "4 h"');
    expect(statSync(join(room, 'elsewhere/real.yaml')).mode & 0o777).toBe(0o640);
    expect(filesIn(room).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('keeps what was edited by other means since the campaign was opened', async () => {
    put(room, 'both.yaml', campaignText());
    const both = desk.open(join(room, 'both.yaml'), 'both.yaml');
    put(room, 'both.yaml', campaignText().replace('the grey one', 'the black one'));
    await ask('PATCH', `/api/campaigns/${both}`, { changes: [{ path: 'kit.dryer.for', value: '4 h' }] });
    const text = readFileSync(join(room, 'both.yaml'), 'utf8');
    expect(text).toContain('the black one');
    expect(text).toContain('for: "4 h"');
  });
});

describe('files brought in', () => {
  it('are read, and asked about with their bars put in', async () => {
    const state = await brought('flat-one.gcode');
    expect(state).toMatchObject({ kind: 'read', state: 'done', share: 1 });
    expect(fits(views.print, state.print)).toMatchObject({ file: 'flat-one.gcode', bars: '1', usable: true });
    const { body } = await ask('GET', '/api/questions?files=flat-one.gcode');
    const questions = fits(views.question.array(), body);
    expect(questions).toHaveLength(8);
    expect(questions[0]!.fields).toMatchObject([
      { id: 'bars.flat-one.gcode', label: 'flat-one.gcode', kind: 'bars', value: '1 flat' },
    ]);
  });

  it('may have a comma in their names', async () => {
    await brought('one, two.gcode');
    const { body } = await ask('GET', '/api/questions?files=one%2C%20two.gcode,flat-one.gcode');
    expect(body[0].fields.map((field: { label: string }) => field.label)).toEqual([
      'one, two.gcode',
      'flat-one.gcode',
    ]);
  });

  it('become a campaign with the answers, which stands first and is there again after a restart', async () => {
    await brought('flat-one.gcode');
    const answers = {
      'dryer.card': 'fan-oven',
      'dryer.at': '80 C',
      'dryer.for': '2 h',
      'dryer.most': '100 C',
    };
    const { status, body } = await ask('POST', '/api/campaigns', { files: ['flat-one.gcode'], answers });
    expect(status).toBe(201);
    const made = fits(views.campaignSummary, body);
    expect(made).toMatchObject({ name: 'flat-one.gcode', bars: 1, plates: 1 });
    expect((await ask('GET', '/api/campaigns')).body[0]).toEqual(made);
    const text = readFileSync(join(room, 'home/campaigns', made.id, 'campaign.yaml'), 'utf8');
    expect(text).toContain('dryer: { card: fan-oven, at: "80 C", for: "2 h" }');

    const { body: job } = await ask('POST', `/api/campaigns/${made.id}/plan`, FEW);
    const { chain } = (await follow(job.job)).at(-1)!;
    expect(chain!.links[0]).toMatchObject({ state: 'done', assumed: true });

    const later = new Desk(join(room, 'home'), pool, new Cache(null));
    expect(later.openMade()).toEqual([]);
    expect(later.list().map((one) => one.id)).toContain(made.id);
  });

  it('whose answers do not fit are refused by the field, and nothing is written', async () => {
    await brought('flat-one.gcode');
    const before = readdirSync(join(room, 'home/campaigns'));
    const answers = { 'dryer.at': '80', 'dryer.for': 'long' };
    const { status, body } = await ask('POST', '/api/campaigns', { files: ['flat-one.gcode'], answers });
    expect(status).toBe(400);
    expect(body.errors.map((one: { where: object }) => one.where)).toEqual([
      { path: 'dryer.at' },
      { path: 'dryer.for' },
    ]);
    expect(readdirSync(join(room, 'home/campaigns'))).toEqual(before);
  });

  it('that were not brought in make no campaign', async () => {
    const { status, body } = await ask('POST', '/api/campaigns', { files: ['other.gcode'], answers: {} });
    expect(status).toBe(400);
    expect(body.error).toMatchObject({ code: 'no-file', message: '"other.gcode" was not read before.' });
  });

  it('that are no G-code end their job in a sentence', async () => {
    const state = await brought(
      'photo.gcode',
      Uint8Array.from({ length: 999 }, (_, k) => (k * 37) % 256),
    );
    expect(state.state).toBe('failed');
    expect(state.problems.map(({ sentence }) => sentence)).toEqual([
      'photo.gcode is binary, neither plain G-code nor a zip that holds it: export it as plain G-code.',
    ]);
    const empty = await brought('nothing.gcode', new Uint8Array());
    expect(empty.problems[0]!.sentence).toContain('nothing.gcode is empty');
  });

  it.each([
    ['..', '%2e%2e'],
    ['a folder above', '..%2f..%2fescaped.gcode'],
    ['an absolute path', '%2fetc%2fescaped.gcode'],
    ['a path of another system', 'C:%5Cescaped.gcode'],
    ['a NUL', 'esc%00aped.gcode'],
  ])('with %s for a name stay in their folder or are refused', async (_, name) => {
    const response = await app.request(`/api/files/${name}`, {
      method: 'PUT',
      headers: OWN,
      body: printBytes('flat-one.gcode') as never,
    });
    if (response.status === 202) await follow(((await response.json()) as { job: string }).job);
    else expect([400, 404]).toContain(response.status);
    for (const file of filesIn(room).filter((one) => one.includes('escaped')))
      expect(file).toMatch(/^home\/uploads\/[0-9a-f]{32}\/escaped\.gcode$/);
    expect(existsSync('/etc/escaped.gcode')).toBe(false);
  });

  it.each(['.hidden', '%20', `${'x'.repeat(300)}.gcode`, '%E6%A3%92'.repeat(90)])(
    'called %s are refused',
    async (name) => {
      const { status, body } = await ask('PUT', `/api/files/${name}`, 'G1 X1');
      expect({ status, code: body.error.code }).toEqual({ status: 400, code: 'wrong-name' });
    },
  );

  it('that are too large are refused with 413, told beforehand or not, and leave nothing', async () => {
    const before = filesIn(join(room, 'home/uploads'));
    const large = new Uint8Array(UPLOAD_MOST + 1).fill(59);
    const told = await ask('PUT', '/api/files/large.gcode', large, {
      'content-length': String(large.length),
    });
    const streamed = await app.request('/api/files/large.gcode', {
      method: 'PUT',
      headers: OWN,
      body: new Blob([large]).stream(),
      duplex: 'half',
    } as RequestInit);
    expect(told).toEqual({
      status: 413,
      body: {
        error: {
          code: 'too-large',
          message: 'This file is too large.',
          where: { file: 'large.gcode' },
          expected: 'at most 2 MB',
        },
      },
    });
    expect(streamed.status).toBe(413);
    expect(filesIn(join(room, 'home/uploads'))).toEqual(before);
  });

  it('that break off leave nothing', async () => {
    const before = filesIn(join(room, 'home/uploads'));
    const body = new ReadableStream({
      start: (controller) => controller.enqueue(new TextEncoder().encode('G1 X1\n')),
      pull: (controller) => controller.error(new Error('the line was cut')),
    });
    const response = await app.request('/api/files/cut.gcode', {
      method: 'PUT',
      headers: OWN,
      body,
      duplex: 'half',
    } as RequestInit);
    expect(response.status).toBe(400);
    expect(await response.json()).toMatchObject({ error: { code: 'cut-off' } });
    expect(filesIn(join(room, 'home/uploads'))).toEqual(before);
  });
});

describe('requests', () => {
  it.each([
    ['GET', '/api/jobs/1'],
    ['GET', '/api/jobs/1/events'],
    ['DELETE', '/api/jobs/1'],
  ])('for a job that is not there: %s %s is 404', async (method, path) => {
    const { status, body } = await ask(method, path);
    expect({ status, code: body.error.code }).toEqual({ status: 404, code: 'no-job' });
  });

  it('for an address that is not there are 404', async () => {
    for (const path of ['/api/nothing', '/api/campaigns/x/y/z'])
      expect(await ask('GET', path)).toMatchObject({ status: 404, body: { error: { code: 'no-address' } } });
  });

  it.each([
    ['no JSON', '{"changes": [', { 'content-type': 'application/json' }, 400, 'This request cannot be read.'],
    ['another type', 'draws=16', { 'content-type': 'text/plain' }, 415, 'This request is not JSON.'],
    ['a key too many', { drawz: 16 }, {}, 400, '"drawz" is not known here.'],
    ['a number that is none', { draws: 'many' }, {}, 400, '"many" does not fit.'],
    ['too many draws', { draws: 99999 }, {}, 400, '99999 does not fit.'],
    ['no end', { against: 'x'.repeat(2_000_000) }, {}, 413, 'This request is too large.'],
  ])('with %s are refused in words', async (_, body, headers, status, message) => {
    const answer = await ask('POST', `/api/campaigns/${id}/plan`, body, headers);
    const [first] = answer.body.errors ?? [answer.body.error];
    expect({ status: answer.status, message: first.message }).toEqual({ status, message });
  });

  it('with nothing in them are refused where something is needed', async () => {
    const { status, body } = await ask('POST', '/api/campaigns', {});
    expect(status).toBe(400);
    expect(body.errors).toMatchObject([
      { message: 'This is missing.', where: { path: 'files' } },
      { message: 'This is missing.', where: { path: 'answers' } },
    ]);
  });

  it.each([
    ['a foreign Host', { host: 'river.example:8460' }, 'foreign-host'],
    ['a Host that only begins like ours', { host: 'localhost.river.example' }, 'foreign-host'],
    ['no Host', { host: '' }, 'foreign-host'],
    ['a foreign Origin', { origin: 'http://river.example' }, 'foreign-origin'],
    ['an Origin of another port', { origin: 'http://localhost:9999' }, 'foreign-origin'],
    ['an Origin that hides', { origin: 'null' }, 'foreign-origin'],
  ])('with %s are refused', async (_, headers, code) => {
    for (const [method, path] of [
      ['GET', '/api/campaigns'],
      ['GET', '/'],
      ['DELETE', '/api/jobs/1'],
    ] as const)
      expect(await ask(method, path, undefined, headers)).toMatchObject({
        status: 403,
        body: { error: { code } },
      });
  });

  it('of our own page are answered', async () => {
    const { status } = await ask('GET', '/api/campaigns', undefined, { origin: 'http://localhost:8460' });
    expect(status).toBe(200);
  });

  it('for the page give it, also for its inner addresses, and nothing beside it', async () => {
    for (const path of ['/', '/inputs', '/prints/a']) {
      const response = await app.request(path, { headers: OWN });
      expect(response.status).toBe(200);
      expect(await response.text()).toContain('<title>');
    }
    for (const path of ['/..%2f..%2fpackage.json', '/%2e%2e/%2e%2e/package.json', '/../../package.json']) {
      const response = await app.request(path, { headers: OWN });
      expect(await response.text()).not.toContain('"devDependencies"');
    }
  });
});

describe('the OpenAPI document', () => {
  it('describes every address of the API with what it takes and gives', async () => {
    const { status, body } = await ask('GET', '/api/openapi.json');
    expect(status).toBe(200);
    expect(body.openapi).toBe('3.1.0');
    const source = readFileSync(join(HOME, 'src/server/api.ts'), 'utf8');
    const addresses = [...source.matchAll(/^ \* {3}(GET|POST|PATCH|PUT|DELETE) +(\/api\S*)/gm)].map(
      ([, method, path]) => `${method} ${path!.replace(/\?.*/, '').replace(/:(\w+)/g, '{$1}')}`,
    );
    const described = Object.entries(body.paths as Record<string, object>).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => `${method.toUpperCase()} ${path}`),
    );
    expect(described.sort()).toEqual(addresses.sort());
  });

  it('says the schemas that check the requests', async () => {
    const { body } = await ask('GET', '/api/openapi.json');
    const plan = body.paths['/api/campaigns/{id}/plan'].post;
    expect(plan.requestBody).toMatchObject({
      required: true,
      content: {
        'application/json': {
          schema: {
            type: 'object',
            additionalProperties: false,
            properties: { draws: { type: 'integer', minimum: 16, maximum: 4096 } },
          },
        },
      },
    });
    const state = body.paths['/api/jobs/{id}'].get.responses['200'].content['application/json'].schema;
    expect(Object.keys(state.properties)).toEqual(
      expect.arrayContaining(['job', 'state', 'share', 'chain', 'print', 'problems']),
    );
  });
});
