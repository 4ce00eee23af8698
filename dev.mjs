// Development: the page with its own server and proxy, the server's build watching, and the server restarting with it.
// Three children; ending this ends them all. Built-ins only.
import { spawn, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const home = dirname(fileURLToPath(import.meta.url));
const vite = join(home, 'node_modules/vite/bin/vite.js');
const server = join(home, 'dist/server/main.js');

const run = (...args) => spawn(process.execPath, args, { cwd: home, stdio: 'inherit' });

// The server must exist before Node can watch it.
if (!existsSync(server))
  spawnSync(process.execPath, [vite, 'build', '-c', 'vite.server.config.ts', '--logLevel', 'warn'], {
    cwd: home,
    stdio: 'inherit',
  });

const children = [
  run(vite),
  run(vite, 'build', '-c', 'vite.server.config.ts', '--watch', '--logLevel', 'warn'),
  run('--watch', server, '--example', ...process.argv.slice(2)),
];

let ending = false;
function end(status) {
  if (ending) return;
  ending = true;
  for (const child of children) child.kill();
  process.exitCode = status;
}
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => end(0));
for (const child of children) child.on('exit', (status) => end(status ?? 0));
