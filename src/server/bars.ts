import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { problemView } from '../report/problem-view.ts';
import { barsView, readingView } from '../report/results-views.ts';
import type { Desk } from '../work/desk.ts';
import type { Jobs } from './jobs.ts';
import { body, fileBody, idParam, jobCreated, json, refusals } from './shapes.ts';
import { takeUpload } from './uploads.ts';

/** A file of curves of some million readings is about this size; more is a mistake. */
const CURVES_BYTES_MAX = 200 * 1024 * 1024;

/** What a job on curves adds to its state. */
export const brought = z.strictObject({ reading: readingView, campaignBars: z.array(z.string()) });
export { barsView };

const nothing = z.strictObject({ kept: z.boolean() });
const fileParam = z.object({ id: z.string(), name: z.string() });
const said = z.strictObject({
  columns: z
    .array(z.strictObject({ column: z.int(), role: z.string(), unit: z.string().nullable() }))
    .max(200),
  decimal: z.enum(['.', ',']).nullable(),
  /** Name in the file -> bar of the campaign. */
  called: z.record(z.string(), z.string()),
});
const leftOut = z.strictObject({
  leftOut: z.strictObject({ reason: z.string(), note: z.string() }).nullable(),
});

/** Addresses of broken bars: curves come in and wait for a yes, bars are marked, the report is made. */
export function addBars(app: OpenAPIHono, desk: Desk, jobs: Jobs): void {
  const { bars } = desk;
  const started = { 202: json(jobCreated, 'it has begun'), ...refusals };
  const kept = { 200: json(nothing, 'written into the campaign'), ...refusals };

  app.openapi(
    createRoute({
      method: 'post',
      path: '/api/campaigns/{id}/bars',
      request: { params: idParam },
      responses: started,
    }),
    (c) => {
      const start = bars.checkBars(c.req.valid('param').id);
      const { job } = jobs.start('bars', ({ signal, update }) =>
        start({
          signal,
          onBars: (view, share, doing) => update({ share, doing, ...(view ? { bars: view } : {}) }),
        }),
      );
      return c.json({ job }, 202);
    },
  );
  app.openapi(
    createRoute({
      method: 'put',
      path: '/api/campaigns/{id}/bars/{bar}',
      request: {
        params: z.object({ id: z.string(), bar: z.string() }),
        body: body(leftOut, 'a reason of the standard with a note, or null: it counts after all'),
      },
      responses: kept,
    }),
    (c) => {
      const { id, bar } = c.req.valid('param');
      bars.mark(id, bar, c.req.valid('json').leftOut);
      return c.json({ kept: true }, 200);
    },
  );
  app.openapi(
    createRoute({
      method: 'put',
      path: '/api/curves/{id}/{name}',
      request: {
        params: fileParam,
        body: fileBody('a file of the test machine as it is; nothing of it is kept before a yes'),
      },
      responses: started,
    }),
    async (c) => {
      const { id, name: given } = c.req.valid('param');
      const { path, name } = await takeUpload(c.req.raw, given, desk.brought, CURVES_BYTES_MAX);
      return c.json({ job: looking(name, bars.bring(id, path, name)) }, 202);
    },
  );
  app.openapi(
    createRoute({
      method: 'post',
      path: '/api/curves/{id}/{name}',
      request: { params: fileParam, body: body(said, 'what the person says of its columns and bars') },
      responses: started,
    }),
    (c) => {
      const { id, name } = c.req.valid('param');
      return c.json({ job: looking(name, bars.correct(id, name, c.req.valid('json'))) }, 202);
    },
  );
  app.openapi(
    createRoute({
      method: 'put',
      path: '/api/curves/{id}/{name}/kept',
      request: { params: fileParam },
      responses: kept,
    }),
    async (c) => {
      const { id, name } = c.req.valid('param');
      await bars.keep(id, name, c.req.raw.signal);
      return c.json({ kept: true }, 200);
    },
  );
  app.openapi(
    createRoute({
      method: 'delete',
      path: '/api/curves/{id}/{name}',
      request: { params: fileParam },
      responses: { 200: json(nothing, 'forgotten'), ...refusals },
    }),
    (c) => {
      const { id, name } = c.req.valid('param');
      bars.leave(id, name);
      return c.json({ kept: false }, 200);
    },
  );
  for (const [what, type] of [
    ['html', 'text/html; charset=utf-8'],
    ['csv', 'text/csv; charset=utf-8'],
    ['json', 'application/json'],
  ] as const)
    app.openapi(
      createRoute({
        method: 'get',
        path: `/api/campaigns/{id}/report.${what}`,
        request: { params: idParam },
        responses: {
          200: { content: { [type]: { schema: z.string() } }, description: 'the report, or its data' },
          ...refusals,
        },
      }),
      async (c) => {
        const { id } = c.req.valid('param');
        const made = await bars.report(id, c.req.raw.signal);
        return c.body(made[what], 200, {
          'content-type': type,
          'cache-control': 'no-store',
        });
      },
    );

  function looking(name: string, look: ReturnType<Desk['bars']['bring']>): string {
    return jobs.start('curves', ({ signal, update }) =>
      look({ signal, onProgress: (share) => update({ share, doing: `Reading ${name}` }) }).then(
        ({ view, problems }) =>
          update({ brought: view, problems: problems.map((problem) => problemView(problem, 'stop')) }),
      ),
    ).job;
  }
}
