import { serveStatic } from '@hono/node-server/serve-static';
import { createRoute, OpenAPIHono, z } from '@hono/zod-openapi';
import { bodyLimit } from 'hono/body-limit';
import { HTTPException } from 'hono/http-exception';
import { type SSEStreamingApi, streamSSE } from 'hono/streaming';
import { Cancelled, InputFault, type Problem } from '../problem.ts';
import * as views from '../report/views.ts';
import type { Desk } from '../work/desk.ts';
import { schemaProblems } from '../work/schema-problems.ts';
import type { JobState } from './api.ts';
import { addBars, barsView, brought } from './bars.ts';
import { guard } from './guard.ts';
import type { Jobs } from './jobs.ts';
import { body, fileBody, idParam, jobCreated, json, refusals } from './shapes.ts';
import { takeUpload, tidyUploads, UPLOAD_BYTES_MAX } from './uploads.ts';

/** Between two comments on an open event stream, so that nothing between takes it for dead. */
const COMMENT_EVERY_MS = 15_000;
/** Between two states on an event stream: 20 a second are more than anyone sees. */
const STATE_EVERY_MS = 50;
/** Largest request in JSON: answers to eight questions, or changes. */
const JSON_BYTES_MAX = 1024 * 1024;

/** Status of a refusal where it is not 400. */
const STATUS: Readonly<Record<string, 404 | 413>> = {
  'no-campaign': 404,
  'too-large': 413,
};

const change = z.strictObject({ path: z.string().min(1), value: z.string() });
const planRequest = z.strictObject({
  changes: z.array(change).max(50).optional(),
  draws: z.int().min(16).max(4096).optional(),
  seed: z
    .int()
    .min(0)
    .max(2 ** 31)
    .optional(),
});
const newCampaign = z.strictObject({
  files: z.array(z.string()).max(20),
  answers: z.record(z.string(), z.string()),
});
const jobState = z.strictObject({
  job: z.string(),
  kind: z.enum(['plan', 'read', 'bars', 'curves']),
  state: z.enum(['running', 'done', 'stopped', 'failed']),
  share: z.number(),
  doing: z.string(),
  chain: views.chain.nullable(),
  print: views.print.nullable(),
  bars: barsView.nullable(),
  brought: brought.nullable(),
  problems: z.array(views.problemView),
});

/**
 * The whole HTTP edge: a request goes in, a response comes out; no socket is needed to test it.
 * @param page folder of the built page
 * @param uploadMost bytes of a file that are taken
 */
export function makeApp(
  desk: Desk,
  jobs: Jobs,
  { page, uploadMost = UPLOAD_BYTES_MAX }: { page: string; uploadMost?: number },
) {
  const app = new OpenAPIHono({
    defaultHook: (result, c) => {
      if (result.success) return undefined;
      const given = 'data' in result ? result.data : undefined;
      return c.json(refusedBody(schemaProblems(result.error, '', given)), 400);
    },
  });
  app.use('*', guard);
  app.use(
    '/api/campaigns/*',
    bodyLimit({
      maxSize: JSON_BYTES_MAX,
      onError: (c) =>
        c.json(refusedBody([{ code: 'too-large', message: 'This request is too large.' }]), 413),
    }),
  );
  app.onError((error, c) => {
    if (error instanceof InputFault)
      return c.json(refusedBody(error.problems), STATUS[error.problems[0]?.code ?? ''] ?? 400);
    // Whoever asked has gone: there is nobody to answer.
    if (error instanceof Cancelled) return new Response(null, { status: 499 });
    if (error instanceof HTTPException) return c.json(refusedBody([wrongForm(error.status)]), error.status);
    process.stderr.write(`bonedry: a fault of ours: ${error.stack ?? error}\n`);
    return c.json(
      { error: { code: 'fault', message: 'A fault of ours. What you entered is unharmed.' } },
      500,
    );
  });

  app.openapi(
    createRoute({
      method: 'get',
      path: '/api/campaigns',
      responses: { 200: json(z.array(views.campaignSummary), 'campaigns, the open one first') },
    }),
    (c) => c.json(desk.list(), 200),
  );
  app.openapi(
    createRoute({
      method: 'post',
      path: '/api/campaigns',
      request: { body: body(newCampaign, 'files read before, and the answers') },
      responses: { 201: json(views.campaignSummary, 'made'), ...refusals },
    }),
    (c) => {
      const { files, answers } = c.req.valid('json');
      return c.json(desk.make(files, answers), 201);
    },
  );
  app.openapi(
    createRoute({
      method: 'patch',
      path: '/api/campaigns/{id}',
      request: {
        params: idParam,
        body: body(z.strictObject({ changes: z.array(change).max(50) }), 'kept changes'),
      },
      responses: { 200: json(views.campaignSummary, 'kept'), ...refusals },
    }),
    (c) => c.json(desk.keep(c.req.valid('param').id, c.req.valid('json').changes), 200),
  );
  app.openapi(
    createRoute({
      method: 'post',
      path: '/api/campaigns/{id}/plan',
      request: { params: idParam, body: body(planRequest, 'changes to try') },
      responses: { 202: json(jobCreated, 'a plan is being computed'), ...refusals },
    }),
    (c) => {
      const { id } = c.req.valid('param');
      const request = c.req.valid('json');
      const start = desk.checkPlan(id, request);
      const { job } = jobs.start('plan', ({ signal, update }) =>
        start({ signal, onChain: (chain, share, doing) => update({ chain, share, doing }) }),
      );
      return c.json({ job }, 202);
    },
  );
  app.openapi(
    createRoute({
      method: 'get',
      path: '/api/campaigns/{id}/inputs',
      request: { params: idParam },
      responses: { 200: json(views.inputs, 'every input with its spread and source'), ...refusals },
    }),
    async (c) => c.json(await desk.inputs(c.req.valid('param').id), 200),
  );
  app.openapi(
    createRoute({
      method: 'get',
      path: '/api/campaigns/{id}/prints',
      request: { params: idParam },
      responses: {
        200: json(z.array(views.print), 'what the files of its plates ask of the kit'),
        ...refusals,
      },
    }),
    async (c) => c.json(await desk.prints(c.req.valid('param').id, c.req.raw.signal), 200),
  );
  app.openapi(
    createRoute({
      method: 'get',
      path: '/api/questions',
      request: { query: z.object({ files: z.string().optional() }) },
      responses: { 200: json(z.array(views.question), 'the eight questions') },
    }),
    (c) => c.json(desk.questions(listed(c.req.url, 'files')), 200),
  );
  app.openapi(
    createRoute({
      method: 'get',
      path: '/api/jobs/{id}',
      request: { params: idParam },
      responses: { 200: json(jobState, 'how far it is'), ...refusals },
    }),
    (c) => {
      const state = jobs.get(c.req.valid('param').id);
      return state ? c.json(state, 200) : c.json(noJob(), 404);
    },
  );
  app.openapi(
    createRoute({
      method: 'delete',
      path: '/api/jobs/{id}',
      request: { params: idParam },
      responses: { 202: json(jobCreated, 'told to stop'), ...refusals },
    }),
    (c) => {
      const { id } = c.req.valid('param');
      return jobs.stop(id) ? c.json({ job: id }, 202) : c.json(noJob(), 404);
    },
  );
  app.openapi(
    createRoute({
      method: 'get',
      path: '/api/jobs/{id}/events',
      request: { params: idParam },
      responses: {
        200: {
          content: { 'text/event-stream': { schema: jobState } },
          description: 'events named "state", each with the whole state, until the job has ended',
        },
        ...refusals,
      },
    }),
    (c) => {
      const { id } = c.req.valid('param');
      if (!jobs.get(id)) return c.json(noJob(), 404);
      const response = streamSSE(c, (stream) => sendStates(stream, (listener) => jobs.follow(id, listener)));
      response.headers.set('cache-control', 'no-store');
      return response;
    },
  );
  app.openapi(
    createRoute({
      method: 'put',
      path: '/api/files/{name}',
      request: {
        params: z.object({ name: z.string() }),
        body: fileBody('the file as it is'),
      },
      responses: { 202: json(jobCreated, 'the file is being read'), ...refusals },
    }),
    async (c) => {
      const { path } = await takeUpload(c.req.raw, c.req.valid('param').name, desk.uploads, uploadMost);
      tidyUploads(desk.uploads, desk.filesInUse());
      const read = desk.checkRead(path);
      const { job } = jobs.start('read', ({ signal, update }) =>
        read({ signal, onProgress: (share, doing) => update({ share, doing }) }).then((print) =>
          update({ print }),
        ),
      );
      return c.json({ job }, 202);
    },
  );
  addBars(app, desk, jobs);
  app.doc31('/api/openapi.json', { openapi: '3.1.0', info: { title: 'Bonedry', version: '1' } });
  app.all('/api/*', (c) =>
    c.json(refusedBody([{ code: 'no-address', message: 'There is no such address.' }]), 404),
  );
  app.use('*', serveStatic({ root: page }));
  app.get('*', serveStatic({ root: page, path: 'index.html' }));
  return app;
}

export type Api = ReturnType<typeof makeApp>;

/** Sends each state as it comes, the newest where they come faster than anyone sees, until the job has ended. */
async function sendStates(
  stream: SSEStreamingApi,
  follow: (listener: (state: JobState) => void) => () => void,
): Promise<void> {
  const waiting: { newest: JobState | null } = { newest: null };
  let wake = () => {};
  const unfollow = follow((state) => {
    waiting.newest = state;
    wake();
  });
  const comment = setInterval(() => void stream.write(': still here\n\n'), COMMENT_EVERY_MS);
  stream.onAbort(() => wake());
  try {
    for (let over = false; !over && !stream.aborted; ) {
      if (waiting.newest === null)
        await new Promise<void>((done) => {
          wake = done;
        });
      const state = waiting.newest;
      waiting.newest = null;
      if (state === null) continue;
      await stream.writeSSE({ event: 'state', data: JSON.stringify(state) });
      over = state.state !== 'running';
      if (!over) await stream.sleep(STATE_EVERY_MS);
    }
  } finally {
    clearInterval(comment);
    unfollow();
  }
}

/** The parts of a list in an address, split before it is decoded: a comma inside a name is written %2C there. */
function listed(url: string, name: string): string[] {
  const found = new RegExp(`[?&]${name}=([^&#]*)`).exec(url)?.[1] ?? '';
  return found
    .split(',')
    .filter((part) => part !== '')
    .map((part) => new URLSearchParams(`part=${part}`).get('part')!);
}

function wrongForm(status: number): Problem {
  return status === 415
    ? { code: 'wrong-type', message: 'This request is not JSON.', expected: 'content-type: application/json' }
    : { code: 'not-json', message: 'This request cannot be read.', expected: 'JSON' };
}

function refusedBody(problems: readonly Problem[]) {
  const faults = problems.map((problem) => ({
    code: problem.code,
    message: problem.message,
    where: problem.where,
    expected: problem.expected,
  }));
  return faults.length === 1 ? { error: faults[0]! } : { errors: faults };
}

function noJob() {
  return refusedBody([{ code: 'no-job', message: 'There is no such job any more. Compute again.' }]);
}
