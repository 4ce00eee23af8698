import type { Context, Next } from 'hono';

/** Names under which the app may be asked for on this machine. */
const OWN_NAMES = new Set(['127.0.0.1', 'localhost', '[::1]']);

/**
 * Refuses requests that a foreign page could make in the person's browser: the Host must be ours (no rebinding of
 * names), and where an Origin is sent it must be the same.
 */
export async function guard(c: Context, next: Next): Promise<Response | undefined> {
  const host = c.req.header('host') ?? '';
  const name = host.replace(/:\d+$/, '');
  if (!OWN_NAMES.has(name))
    return refused(c, 'foreign-host', `Asked for as "${host}".`, 'localhost or 127.0.0.1');
  const origin = c.req.header('origin');
  if (origin !== undefined && origin !== `http://${host}`)
    return refused(c, 'foreign-origin', `Asked for by a page of "${origin}".`, `http://${host}`);
  await next();
  return undefined;
}

function refused(c: Context, code: string, message: string, expected: string): Response {
  return c.json({ error: { code, message: `${message} Expected ${expected}.`, expected } }, 403);
}
