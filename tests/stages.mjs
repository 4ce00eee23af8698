// Runs the stages of `npm test` and `npm run prove`: every stage even after a failed one, the seconds of each against
// its budget, and as last line "N passed, N failed, N skipped". Built-ins only.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const STAGES = {
  test: [
    { name: 'static', budget: 30, static: true },
    { name: 'unit and checks', budget: 180, projects: ['unit', 'checks', 'verification'] },
    { name: 'facts', budget: 300, projects: ['facts'] },
    { name: 'edges', budget: 90, projects: ['edges'] },
    { name: 'browser', budget: 120, projects: ['app'], browser: true },
  ],
  prove: [{ name: 'long proofs', budget: 3600, projects: ['prove'], browser: true }],
};

export async function stages({ home, what, words, build, say }) {
  const total = { passed: 0, failed: 0, skipped: 0 };
  const lines = [];
  const node = (args) =>
    spawnSync(process.execPath, args, { cwd: home, stdio: ['ignore', 2, 2] }).status ?? 1;
  const bin = (name, file) => join(home, 'node_modules', name, file);
  if (what === 'prove' && build() !== 0) total.failed++;
  for (const stage of STAGES[what]) {
    const began = Date.now();
    say(`\n== ${stage.name}`);
    const counts = stage.static ? staticStage() : testStage(stage);
    for (const key of Object.keys(total)) total[key] += counts[key];
    const seconds = (Date.now() - began) / 1000;
    const over = seconds > stage.budget ? '  over budget' : '';
    lines.push(
      `${stage.name.padEnd(16)} ${seconds.toFixed(1).padStart(7)} s of ${String(stage.budget).padStart(4)}   ` +
        `${counts.passed} passed, ${counts.failed} failed${over}`,
    );
  }
  process.stdout.write(`\n${lines.join('\n')}\n`);
  process.stdout.write(`${total.passed} passed, ${total.failed} failed, ${total.skipped} skipped\n`);
  return total.failed === 0 ? 0 : 1;

  function staticStage() {
    const counts = { passed: 0, failed: 0, skipped: 0 };
    const steps = [
      ['build', build],
      ['biome check', () => node([bin('@biomejs/biome', 'bin/biome'), 'check'])],
      ['types', () => node([bin('typescript', 'bin/tsc'), '-p', '.'])],
      ['types of the engine', () => node([bin('typescript', 'bin/tsc'), '-p', 'src/engine'])],
    ];
    for (const [name, step] of steps) {
      const ok = step() === 0;
      say(`${ok ? 'ok    ' : 'FAILED'} ${name}`);
      counts[ok ? 'passed' : 'failed']++;
    }
    return counts;
  }

  function testStage(stage) {
    if (stage.browser && !findChromium(say)) return { passed: 0, failed: 1, skipped: 0 };
    const folder = mkdtempSync(join(tmpdir(), 'bonedry-tests-'));
    const report = join(folder, 'report.json');
    const args = ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`, ...words];
    const status = node([
      bin('vitest', 'vitest.mjs'),
      ...args,
      ...stage.projects.flatMap((p) => ['--project', p]),
    ]);
    let counts = { passed: 0, failed: 0, skipped: 0 };
    if (existsSync(report)) {
      const result = JSON.parse(readFileSync(report, 'utf8'));
      counts = {
        passed: result.numPassedTests,
        failed: result.numFailedTests,
        skipped: result.numPendingTests + result.numTodoTests,
      };
    }
    rmSync(folder, { recursive: true, force: true });
    const ran = counts.passed + counts.failed > 0;
    // A stage that found no test, or whose file broke before its first test, has failed.
    if ((status !== 0 || !ran) && counts.failed === 0 && (ran || words.length === 0 || status > 1))
      counts.failed = 1;
    return counts;
  }
}

/** A Chromium for the browser tests: named by CHROMIUM, the system's, or on Debian as root the package. */
function findChromium(say) {
  const places = [
    process.env.CHROMIUM,
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome',
  ];
  const found = () => places.find((place) => place && existsSync(place));
  if (!found() && existsSync('/usr/bin/apt-get') && process.getuid?.() === 0) {
    say('Installing the Debian package chromium for the browser tests ...');
    const apt = (args) => spawnSync('apt-get', args, { stdio: ['ignore', 2, 2] }).status;
    apt(['update', '-qq']);
    apt(['install', '-y', '-qq', '--no-install-recommends', 'chromium', 'fonts-liberation']);
  }
  if (found()) {
    process.env.CHROMIUM = found();
    return true;
  }
  say('bonedry: no Chromium found for the browser tests. Install one, or name it in CHROMIUM.');
  return false;
}
