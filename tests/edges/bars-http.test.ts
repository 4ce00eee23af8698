import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { barsView } from '../../src/report/results-views.ts';
import type { JobState } from '../../src/server/api.ts';
import { makeApp } from '../../src/server/app.ts';
import { brought } from '../../src/server/bars.ts';
import { Jobs } from '../../src/server/jobs.ts';
import { Cache } from '../../src/work/cache.ts';
import { Desk } from '../../src/work/desk.ts';
import { Pool } from '../../src/work/pool.ts';
import { barsCampaign, CURVES, PLATES } from './bars-scene.ts';
import { HOME, makeRoom, put } from './scene.ts';

// Goal: curves wait for a yes, bars are marked in the file, the report comes with its data, and what is wrong is refused
// in words with nothing written. Method: requests go straight into the app, on the invented campaign of 25 bars.

const OWN = { host: 'localhost:8460' };
let room: string;
let pool: Pool;
let jobs: Jobs;
let app: ReturnType<typeof makeApp>;
let id: string;

beforeAll(() => {
  room = makeRoom();
  put(room, 'campaign.yaml', barsCampaign().replace(/ {2}curves: .*\n/, ''));
  pool = new Pool(2);
  const desk = new Desk(join(room, 'home'), pool, new Cache(join(room, 'home/cache')));
  id = desk.open(join(room, 'campaign.yaml'), 'campaign.yaml');
  jobs = new Jobs();
  app = makeApp(desk, jobs, { page: join(HOME, 'dist/app') });
});
afterAll(() => pool.close());

async function ask(method: string, path: string, body?: unknown): Promise<{ status: number; text: string }> {
  const isRaw = body instanceof Uint8Array;
  const response = await app.request(path, {
    method,
    headers: { ...OWN, ...(body !== undefined && !isRaw ? { 'content-type': 'application/json' } : {}) },
    ...(body === undefined ? {} : { body: (isRaw ? body : JSON.stringify(body)) as never }),
  });
  return { status: response.status, text: await response.text() };
}
async function done(answer: Promise<{ status: number; text: string }>): Promise<JobState> {
  const { status, text } = await answer;
  expect(status).toBe(202);
  const { job } = JSON.parse(text) as { job: string };
  await expect.poll(() => jobs.get(job)!.state, { timeout: 50_000 }).not.toBe('running');
  return jobs.get(job)!;
}
const curves = (plate: number) => readFileSync(join(CURVES, PLATES[plate]!));
const campaign = () => readFileSync(join(room, 'campaign.yaml'), 'utf8');
const SAID = { columns: [], decimal: null, called: {} };

describe('curves over HTTP', () => {
  it('are looked at in the shapes of their types, and nothing is kept before a yes', async () => {
    const before = campaign();
    const look = await done(ask('PUT', `/api/curves/${id}/plate-1.csv`, curves(0)));
    expect(look).toMatchObject({ kind: 'curves', state: 'done', problems: [] });
    expect(brought.parse(look.brought).reading).toMatchObject({ file: 'plate-1.csv', known: false });
    expect(look.brought!.campaignBars).toContain('U01');
    expect(campaign()).toBe(before);
    expect(existsSync(join(room, 'curves'))).toBe(false);
  });

  it('with an answer that does not fit are refused, and stand as they stood', async () => {
    const wrong = { columns: [{ column: 5, role: 'strain', unit: 'furlong' }], decimal: null, called: {} };
    const { status, text } = await ask('POST', `/api/curves/${id}/plate-1.csv`, wrong);
    expect({ status, text }).toMatchObject({ status: 400, text: expect.stringContaining('furlong') });
    const again = await done(ask('POST', `/api/curves/${id}/plate-1.csv`, SAID));
    expect(again.brought!.reading.columns[4]!.role).toBe('extension');
  });

  it('are kept byte for byte after a yes, named in the file, and a file of the same name stands beside', async () => {
    for (const plate of [0, 1, 2, 3]) {
      await done(ask('PUT', `/api/curves/${id}/export.csv`, curves(plate)));
      expect(await ask('PUT', `/api/curves/${id}/export.csv/kept`)).toMatchObject({ status: 200 });
    }
    expect(readdirSync(join(room, 'curves')).sort()).toEqual(
      ['', '-2', '-3', '-4'].map((k) => `export${k}.csv`).sort(),
    );
    expect(readFileSync(join(room, 'curves/export-3.csv')).equals(curves(2))).toBe(true);
    expect(campaign()).toContain('curves/export-4.csv');
    expect(campaign()).toContain('# Sensor brackets of a river-monitoring group, invented.');
    expect(readdirSync(join(room, 'home/brought'))).not.toContain('export.csv');
    expect(await ask('PUT', `/api/curves/${id}/export.csv/kept`)).toMatchObject({ status: 400 });
  });

  it('that hold a bar twice cannot be kept, whatever the page thinks', async () => {
    const look = await done(ask('PUT', `/api/curves/${id}/twice.csv`, curves(0)));
    expect(look.brought!.reading.known).toBe(true);
    expect(look.problems[0]!.sentence).toContain('stands twice');
    const before = campaign();
    expect(await ask('PUT', `/api/curves/${id}/twice.csv/kept`)).toMatchObject({ status: 400 });
    expect(campaign()).toBe(before);
    expect(readdirSync(join(room, 'curves'))).toHaveLength(4);
    expect(await ask('DELETE', `/api/curves/${id}/twice.csv`)).toMatchObject({ status: 200 });
  });

  it('of a campaign that is not there, or under no name, are refused', async () => {
    expect(await ask('PUT', '/api/curves/nobody/a.csv', curves(0))).toMatchObject({ status: 404 });
    expect(await ask('PUT', `/api/curves/${id}/${encodeURIComponent('..')}`, curves(0))).toMatchObject({
      status: expect.toBeOneOf([400, 404]),
    });
    expect(await ask('POST', '/api/campaigns/nobody/bars')).toMatchObject({ status: 404 });
  });
});

describe('bars over HTTP', () => {
  it('come as their view, with the answer', async () => {
    const job = await done(ask('POST', `/api/campaigns/${id}/bars`));
    expect(job.state).toBe('done');
    const view = barsView.parse(job.bars);
    // ratio and interval of the campaign's truth, 0.383 (0.308 to 0.477)
    expect(view.headline.replace(/\s/g, ' ')).toContain('Upright keeps 38 % (31 to 48) of flat');
    expect(view.reasons.map(({ code }) => code)).toContain('broke at grip');
  });

  it.each([
    ['a bar that is not there', 'Q9', { reason: 'slipped', note: 'seen' }, /no bar "Q9"/],
    ['no note', 'F01', { reason: 'slipped', note: ' ' }, /without a note/],
    ['a reason that is none', 'F01', { reason: 'odd value', note: 'seen' }, /a reason to leave a bar out/],
  ])('are not left out with %s, and nothing is written', async (_, bar, leftOut, words) => {
    const before = campaign();
    const { status, text } = await ask('PUT', `/api/campaigns/${id}/bars/${bar}`, { leftOut });
    expect(status).toBe(400);
    expect(JSON.parse(text).error.message + JSON.parse(text).error.expected).toMatch(words);
    expect(campaign()).toBe(before);
  });

  it('are left out and counted again in that line of the file alone; the note stays', async () => {
    const lines = () => campaign().split('\n');
    const before = lines();
    const leftOut = { reason: 'slipped', note: 'jaw marks: 2 mm, "left" side' };
    expect(await ask('PUT', `/api/campaigns/${id}/bars/F01`, { leftOut })).toMatchObject({ status: 200 });
    const changed = lines().filter((line, k) => line !== before[k]);
    expect(changed).toHaveLength(1);
    expect(changed[0]).toMatch(/F01: .*left out: slipped/);
    expect(await ask('PUT', `/api/campaigns/${id}/bars/F01`, { leftOut: null })).toMatchObject({
      status: 200,
    });
    const back = lines().filter((line, k) => line !== before[k]);
    expect(back).toHaveLength(1);
    expect(back[0]).not.toContain('left out');
    expect(back[0]).toContain('jaw marks');
  });

  it('make a report with a line a bar beside it', async () => {
    const page = await ask('GET', `/api/campaigns/${id}/report.html`);
    expect(page).toMatchObject({ status: 200, text: expect.stringMatching(/^<!doctype html>/) });
    const csv = await ask('GET', `/api/campaigns/${id}/report.csv`);
    expect(csv.text.trim().split('\n')).toHaveLength(26);
    const json = JSON.parse((await ask('GET', `/api/campaigns/${id}/report.json`)).text);
    expect(json.files.map(({ sha256 }: { sha256: string }) => sha256)).toHaveLength(4);
    expect(await ask('GET', '/api/campaigns/nobody/report.html')).toMatchObject({ status: 404 });
  });
});
