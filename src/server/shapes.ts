import { z } from '@hono/zod-openapi';

/** Shapes that several addresses share. */
export const jobCreated = z.strictObject({ job: z.string() });
export const idParam = z.object({ id: z.string() });

const fault = z.strictObject({ code: z.string(), message: z.string(), where: z.any(), expected: z.any() });
const refusal = z.union([z.strictObject({ error: fault }), z.strictObject({ errors: z.array(fault) })]);

export const json = <T extends z.ZodType>(schema: T, description: string) => ({
  content: { 'application/json': { schema } },
  description,
});
export const body = <T extends z.ZodType>(schema: T, description: string) => ({
  ...json(schema, description),
  required: true,
});
/** A file as it is, in the body of a request. */
export const fileBody = (description: string) => ({
  content: { 'application/octet-stream': { schema: { type: 'string' as const, format: 'binary' } } },
  description,
});
export const refusals = {
  400: json(refusal, 'refused'),
  404: json(refusal, 'not there'),
  413: json(refusal, 'too large'),
};
