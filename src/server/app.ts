import { Readable } from 'node:stream';
import { serveStatic } from '@hono/node-server/serve-static';
import { createRoute, OpenAPIHono, z } from '@hono/zod-openapi';
import { streamSSE } from 'hono/streaming';
import { InputFault, type Problem } from '../problem.ts';
import * as views from '../report/views.ts';
import type { Desk } from '../work/desk.ts';
import { guard } from './guard.ts';
import type { Jobs } from './jobs.ts';
import { keepUpload, soundName } from './uploads.ts';

/** Seconds between two comments on an open event stream, so that nothing between takes it for dead. */
const COMMENT_EVERY_MS = 15_000;

const change = z.strictObject({ path: z.string().min(1), value: z.string() });
const planRequest = z.strictObject({
  changes: z.array(change).max(50).optional(),
  draws: z.int().min(16).max(4096).optional(),
  seed: z
    .int()
    .min(0)
    .max(2 ** 31)
    .optional(),
  against: z.string().optional(),
});
const newCampaign = z.strictObject({
  files: z.array(z.string()).max(20),
  answers: z.record(z.string(), z.string()),
});
const jobCreated = z.strictObject({ job: z.string() });
const jobState = z.strictObject({
  job: z.string(),
  kind: z.enum(['plan', 'read']),
  state: z.enum(['running', 'done', 'stopped', 'failed']),
  share: z.number(),
  doing: z.string(),
  chain: views.chain.nullable(),
  print: views.print.nullable(),
  problems: z.array(views.problemView),
});
const fault = z.strictObject({ code: z.string(), message: z.string(), where: z.any(), expected: z.any() });
const refusal = z.union([z.strictObject({ error: fault }), z.strictObject({ errors: z.array(fault) })]);

const json = <T extends z.ZodType>(schema: T, description: string) => ({
  content: { 'application/json': { schema } },
  description,
});
const refusals = { 400: json(refusal, 'refused'), 404: json(refusal, 'not there') };
const idParam = z.object({ id: z.string() });

/** The whole HTTP edge: a request goes in, a response comes out; no socket is needed to test it. */
export function makeApp(desk: Desk, jobs: Jobs, page: string) {
  const app = new OpenAPIHono({
    defaultHook: (result, c) => {
      if (result.success) return undefined;
      const problems = result.error.issues.map((issue) => ({
        code: 'wrong-request',
        message: issue.message,
        where: { path: issue.path.join('.') },
        expected: undefined,
      }));
      return c.json({ errors: problems }, 400);
    },
  });
  app.use('*', guard);
  app.onError((error, c) => {
    if (error instanceof InputFault) return c.json(refusedBody(error.problems), 400);
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
      request: { body: json(newCampaign, 'files read before, and the answers') },
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
        body: json(z.strictObject({ changes: z.array(change).max(50) }), 'kept changes'),
      },
      responses: { 200: json(views.campaignSummary, 'kept'), ...refusals },
    }),
    (c) => c.json(desk.keep(c.req.valid('param').id, c.req.valid('json').changes), 200),
  );
  app.openapi(
    createRoute({
      method: 'post',
      path: '/api/campaigns/{id}/plan',
      request: { params: idParam, body: json(planRequest, 'changes to try') },
      responses: { 202: json(jobCreated, 'a plan is being computed'), ...refusals },
    }),
    (c) => {
      const { id } = c.req.valid('param');
      const request = c.req.valid('json');
      const started = desk.checkPlan(id, request);
      const { job } = jobs.start('plan', ({ signal, update }) =>
        started({
          signal,
          onChain: (chain, share, doing) => update({ chain, share, doing }),
        }),
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
    (c) => c.json(desk.inputs(c.req.valid('param').id), 200),
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
    (c) => c.json(desk.questions((c.req.valid('query').files ?? '').split(',').filter(Boolean)), 200),
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
  app.get('/api/jobs/:id/events', (c) => {
    const id = c.req.param('id');
    if (!jobs.get(id)) return c.json(noJob(), 404);
    c.header('cache-control', 'no-store');
    return streamSSE(c, async (stream) => {
      await new Promise<void>((end) => {
        const comment = setInterval(() => void stream.write(': still here\n\n'), COMMENT_EVERY_MS);
        const unfollow = jobs.follow(id, (state) => {
          void stream.writeSSE({ event: 'state', data: JSON.stringify(state) }).then(() => {
            if (state.state !== 'running') finish();
          });
        });
        const finish = () => {
          clearInterval(comment);
          unfollow();
          end();
        };
        stream.onAbort(finish);
      });
    });
  });
  app.put('/api/files/:name', async (c) => {
    const name = soundName(c.req.param('name'));
    if (name === null || !c.req.raw.body)
      return c.json(refusedBody([{ code: 'wrong-name', message: 'This is no name for a file.' }]), 400);
    const path = await keepUpload(Readable.fromWeb(c.req.raw.body as never), name, desk.uploads);
    const read = desk.checkRead(path);
    const { job } = jobs.start('read', ({ signal, update }) =>
      read({ signal, onProgress: (share, doing) => update({ share, doing }) }).then((print) =>
        update({ print }),
      ),
    );
    return c.json({ job }, 202);
  });
  app.doc31('/api/openapi.json', { openapi: '3.1.0', info: { title: 'Bonedry', version: '1' } });
  app.all('/api/*', (c) =>
    c.json(refusedBody([{ code: 'no-address', message: 'There is no such address.' }]), 404),
  );
  app.use('*', serveStatic({ root: page }));
  app.get('*', serveStatic({ root: page, path: 'index.html' }));
  return app;
}

export type Api = ReturnType<typeof makeApp>;

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
