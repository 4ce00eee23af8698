import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, it } from 'vitest';

// Goal: the arrows between rooms point down, the engine is pure, and no test lies where no stage would run it.
// Method: read every import and compare with the table of docs/architecture.md; plant one bad line a room and see
// that the linter refuses it.

const HOME = join(import.meta.dirname, '../..');
const filesUnder = (place: string): string[] =>
  readdirSync(join(HOME, place), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(HOME, join(entry.parentPath, entry.name)));
const SOURCES = filesUnder('src').filter((file) => /\.tsx?$/.test(file) && !/\.test\.tsx?$/.test(file));

/** Rooms that a room may import from, beside itself. `job`, `units` and `problem` are single files. */
const MAY: Readonly<Record<string, readonly string[]>> = {
  units: [],
  problem: [],
  job: [],
  numerics: [],
  engine: ['numerics', 'job'],
  cards: ['units', 'problem', 'job'],
  campaign: ['units', 'problem', 'job', 'cards'],
  report: ['engine', 'numerics', 'units', 'problem', 'job', 'campaign'],
  work: ['engine', 'numerics', 'cards', 'campaign', 'problem', 'job', 'units', 'report'],
  server: ['engine', 'work', 'report', 'campaign', 'cards', 'units', 'problem', 'job'],
  cli: ['engine', 'work', 'report', 'campaign', 'cards', 'server', 'units', 'problem', 'job', 'make'],
  app: ['api', 'units'],
  api: ['report'],
};

function roomOf(file: string): string {
  if (file === 'src/server/api.ts') return 'api';
  if (file.startsWith('src/engine/numerics/')) return 'numerics';
  const [, room] = file.split('/');
  return room!.replace(/\.ts$/, '');
}

const importsOf = (file: string) =>
  [...readFileSync(join(HOME, file), 'utf8').matchAll(/(?:from|import)\s*\(?\s*'(\.[^']+)'/g)].map((match) =>
    relative(HOME, join(HOME, file, '..', match[1]!)),
  );

describe('rooms', () => {
  it('import only from rooms below', () => {
    const wrong = SOURCES.flatMap((file) => {
      const room = roomOf(file);
      return importsOf(file)
        .map(roomOf)
        .filter(
          (other) => other !== room && !MAY[room]?.includes(other) && !(room === 'server' && other === 'api'),
        )
        .map((other) => `${file} imports from ${other}`);
    });
    expect(SOURCES.length).toBeGreaterThan(20);
    expect(wrong).toEqual([]);
  });

  it('subjects of the engine do not import links, plan or kernels', () => {
    const above = /engine\/(links|plan|learn|results)\/|engine\/kernels\.ts/;
    const subjects = SOURCES.filter((file) => /src\/engine\/[a-z-]+\//.test(file) && !above.test(file));
    const wrong = subjects.flatMap((file) =>
      importsOf(file)
        .filter((other) => above.test(other))
        .map((other) => `${file} -> ${other}`),
    );
    expect(subjects.length).toBeGreaterThan(5);
    expect(wrong).toEqual([]);
  });

  it('the engine holds no clock, no Node and no unseeded chance', () => {
    const wrong = SOURCES.filter((file) => file.startsWith('src/engine/')).filter((file) =>
      /Math\.random|Date\.now|new Date\(|performance\.|\bprocess\.|from 'node:/.test(
        readFileSync(join(HOME, file), 'utf8'),
      ),
    );
    expect(wrong).toEqual([]);
  });

  // Planted beside real sources, so that the overrides of biome.json meet it as they meet ours.
  it.each([
    ['src/engine/moisture', "import { readFileSync } from 'node:fs';\nexport const x = readFileSync;\n"],
    ['src/engine/moisture', "import { sentence } from '../../problem.ts';\nexport const x = sentence;\n"],
    ['src/engine/numerics', "import type { Job } from '../../job.ts';\nexport type X = Job;\n"],
    ['src/engine/plan', 'export const x = () => Date.now();\n'],
    ['src/engine/plan', 'export const x = () => console.log(1);\n'],
    ['src/engine/plan', 'export const x = () => process.exit(1);\n'],
    ['src/campaign', "import { LINKS } from '../engine/links/index.ts';\nexport const x = LINKS;\n"],
    [
      'src/cards',
      "import { readFileSync } from 'node:fs';\nimport { Pool } from '../work/pool.ts';\nexport const x = [readFileSync, Pool];\n",
    ],
    ['src/report', "import { Pool } from '../work/pool.ts';\nexport const x = Pool;\n"],
    ['src/work', "import { app } from '../server/app.ts';\nexport const x = app;\n"],
    ['src/server', "import { page } from '../app/main.tsx';\nexport const x = page;\n"],
    ['src/app', "import { LINKS } from '../engine/links/index.ts';\nexport const x = LINKS;\n"],
  ])('a bad line planted in %s is refused by the linter', (room, text) => {
    const planted = join(HOME, room, 'planted-by-the-test-of-rooms.ts');
    try {
      writeFileSync(planted, text);
      const biome = join(HOME, 'node_modules/@biomejs/biome/bin/biome');
      const result = spawnSync(process.execPath, [biome, 'lint', planted], { cwd: HOME, encoding: 'utf8' });
      expect(result.status, result.stdout + result.stderr).not.toBe(0);
      expect(result.stdout + result.stderr).toMatch(/noRestricted(Imports|Globals)/);
    } finally {
      rmSync(planted, { force: true });
    }
  });
});

describe('tests', () => {
  it('lie where a stage runs them', () => {
    const known = [
      /^src\/.*\.test\.tsx?$/,
      /^tests\/(checks|verification|facts|store|edges|app)\/.*\.test\.ts$/,
      /^tests\/.*\.prove\.ts$/,
    ];
    const all = [
      ...filesUnder('src'),
      ...filesUnder('tests'),
      ...filesUnder('speed'),
      ...filesUnder('examples'),
    ];
    const tests = all.filter((file) => /\.(test|spec|prove)\.[cm]?[jt]sx?$/.test(file));
    expect(tests.filter((file) => !known.some((pattern) => pattern.test(file)))).toEqual([]);
    expect(tests.length).toBeGreaterThan(5);
  });

  it('one that fails beside a source turns the run red', () => {
    const folder = mkdtempSync(join(HOME, 'src/engine/plan/planted-'));
    try {
      writeFileSync(
        join(folder, 'planted.test.ts'),
        "import { expect, it } from 'vitest';\nit('fails', () => expect(1).toBe(2));\n",
      );
      const vitest = join(HOME, 'node_modules/vitest/vitest.mjs');
      const run = spawnSync(process.execPath, [vitest, 'run', '--project', 'unit', relative(HOME, folder)], {
        cwd: HOME,
        encoding: 'utf8',
        env: { ...process.env, VITEST: undefined, VITEST_WORKER_ID: undefined, VITEST_POOL_ID: undefined },
      });
      expect(run.status).not.toBe(0);
      expect(run.stdout).toContain('1 failed');
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
