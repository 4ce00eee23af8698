// One entry for a fresh clone: installs where needed, builds where needed, then starts, tests, proves, measures
// or runs a command. Built-ins only, since nothing is installed when it begins. Words go to standard error.
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const home = dirname(fileURLToPath(import.meta.url));
const [what = 'start', ...rest] = process.argv.slice(2);
const say = (text) => process.stderr.write(`${text}\n`);

const [major, minor] = process.versions.node.split('.').map(Number);
if (!((major === 20 && minor >= 19) || major > 22 || (major === 22 && minor >= 12))) {
  say(`bonedry: this is Node ${process.versions.node}. Expected 20.19 or later, or 22.12 or later.`);
  process.exit(2);
}

function run(command, args, options = {}) {
  const result = spawnSync(command, args, { cwd: home, stdio: ['ignore', 2, 2], ...options });
  return result.status ?? 1;
}

/** `npm ci`, once for each lock file, Node and platform. The stamp is written last, so a broken install is repeated. */
function install() {
  const lock = readFileSync(join(home, 'package-lock.json'));
  const stamp = createHash('sha256')
    .update(lock)
    .update(process.version)
    .update(process.platform)
    .digest('hex');
  const stampFile = join(home, 'node_modules', '.stamp');
  if (existsSync(stampFile) && readFileSync(stampFile, 'utf8') === stamp) return;
  say('Installing (once, about a minute) ...');
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm';
  if (
    run(npm, ['ci', '--no-audit', '--no-fund', '--loglevel=error'], {
      shell: process.platform === 'win32',
    }) !== 0
  ) {
    say(
      'bonedry: npm ci failed. It needs the npm registry once; look at its words above, then run this again.',
    );
    process.exit(3);
  }
  mkdirSync(dirname(stampFile), { recursive: true });
  writeFileSync(stampFile, stamp);
}

function newestUnder(place) {
  const path = join(home, place);
  if (!existsSync(path)) return 0;
  const info = statSync(path);
  if (!info.isDirectory()) return /\.test\.tsx?$/.test(place) ? 0 : info.mtimeMs;
  return Math.max(0, ...readdirSync(path).map((name) => newestUnder(join(place, name))));
}

function bin(packageName, file) {
  return join(home, 'node_modules', packageName, file);
}

/** Page and server, when a source is newer than the last build. */
function build() {
  const made = join(home, 'dist', 'server', 'main.js');
  const sources = [
    'src',
    'speed',
    'examples',
    'index.html',
    'package.json',
    'vite.config.ts',
    'vite.server.config.ts',
  ];
  if (existsSync(made) && Math.max(...sources.map(newestUnder)) <= statSync(made).mtimeMs) return 0;
  say('Building ...');
  const vite = bin('vite', 'bin/vite.js');
  for (const config of ['vite.config.ts', 'vite.server.config.ts']) {
    const status = run(process.execPath, [vite, 'build', '-c', config, '--logLevel', 'warn']);
    if (status !== 0) return status;
  }
  return 0;
}

function buildOrLeave() {
  if (build() !== 0) {
    say('bonedry: the build failed; look at its words above.');
    process.exit(3);
  }
}

/** Hands over to a Node program: its exit status is ours, and signals reach it. */
function hand(file, args) {
  const child = spawn(process.execPath, [file, ...args], { stdio: 'inherit' });
  for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => child.kill(signal));
  child.on('exit', (status, signal) => process.exit(status ?? (signal === 'SIGINT' ? 130 : 3)));
}

install();
if (what === 'start') {
  buildOrLeave();
  hand(join(home, 'dist/server/main.js'), ['--example', ...rest]);
} else if (what === 'bonedry') {
  buildOrLeave();
  hand(join(home, 'dist/server/cli.js'), rest);
} else if (what === 'speed') {
  buildOrLeave();
  hand(join(home, 'dist/server/speed.js'), rest);
} else if (what === 'test' || what === 'prove') {
  const { stages } = await import('./tests/stages.mjs');
  process.exit(await stages({ home, what, words: rest, build, say }));
} else {
  say(`bonedry: "${what}" is not known here. Expected start, test, prove, speed or bonedry.`);
  process.exit(2);
}
