import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { makeJob } from '../src/campaign/job.ts';
import { readCampaign } from '../src/campaign/read.ts';
import { uniformStream } from '../src/engine/numerics/random.ts';
import { factsOf, testFacts } from '../src/engine/results/facts.ts';
import { fileResults } from '../src/engine/results/file-results.ts';
import { barsView } from '../src/report/bars-view.ts';
import { barsFound, NOT_PRINTED, readCurveFiles } from '../src/work/bars.ts';
import { cardsFor } from '../src/work/library.ts';
import { Pool } from '../src/work/pool.ts';

const PLATES = 8;
const BARS = 25;
const POINTS = 20_000;
const SEED = 7;
/** CPU of all threads [s]: on a machine that is shared, what the clock says is the others' too. */
const cpu = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};
const ms = (x: number) => `${x < 10 ? x.toFixed(2) : x.toFixed(0)} ms`;

/** Two hundred bars of two groups on eight mixed plates. */
function campaign(): string {
  const ids = (plate: number) =>
    Array.from({ length: BARS }, (_, k) => ({
      id: `P${plate}-${k}`,
      group: k % 2 === 0 ? 'flat' : 'upright',
    }));
  const plates = Array.from({ length: PLATES }, (_, plate) => plate);
  const all = plates.flatMap(ids);
  return `format: 1
campaign: Two hundred curves, invented
question: { compare: [upright, flat], measure: strength, smallest difference: "10 %" }
groups:
  - { name: flat, bar: 1B, orientation: flat, bars: 200 }
  - { name: upright, bar: 1B, orientation: upright, bars: 200 }
plates:
${plates
  .map(
    (plate) =>
      `  - { name: p${plate}, bars: { ${ids(plate)
        .map(({ id, group }) => `${id}: ${group}`)
        .join(', ')} } }`,
  )
  .join('\n')}
test:
  conditioning: dry as printed
  bars:
${all.map(({ id }) => `    ${id}: { width: "10.02, 10.04, 10.05 mm", thickness: "3.98, 3.99, 4.00 mm" }`).join('\n')}
`;
}

/** One export: twenty-five bars one below the other, each of twenty thousand readings with their noise. */
function exportOf(plate: number): Buffer {
  const uniform = uniformStream(SEED + plate);
  const rows = ['Bar;Time (s);Force (N);Extensometer (mm)'];
  for (let bar = 0; bar < BARS; bar++) {
    const strength = (bar % 2 === 0 ? 80 : 33) * (1 + 0.1 * (uniform() - 0.5));
    const ceiling = 1.35 * strength * 40;
    const stiffness = (bar % 2 === 0 ? 7000 : 3500) * 40;
    const strain = (ceiling / stiffness) * Math.log(1 / (1 - 1 / 1.35));
    for (let k = 0; k < POINTS; k++) {
      const at = (strain * k) / (POINTS - 4);
      const force = k > POINTS - 4 ? 3 : ceiling * (1 - Math.exp((-stiffness * at) / ceiling));
      rows.push(
        `P${plate}-${bar};${(0.002 * k).toFixed(3)};${(force + 1.6 * (uniform() - 0.5)).toFixed(1)};${(50 * at + 0.0006 * (uniform() - 0.5)).toFixed(4)}`,
      );
    }
  }
  return Buffer.from(`${rows.join('\n')}\n`);
}

/** Two hundred curves of 20 000 readings: from files to the view of the page, against a bare decode of the same bytes. */
export async function measure(): Promise<{
  title: string;
  rows: { what: string; value: string; note: string }[];
}> {
  const cards = cardsFor(null);
  const read = readCampaign(campaign(), { file: 'speed.yaml', cards });
  const job = makeJob(read.campaign!, cards);
  const folder = mkdtempSync(join(tmpdir(), 'bonedry-speed-'));
  const pool = new Pool();
  try {
    const exports = Array.from({ length: PLATES }, (_, plate) => exportOf(plate));
    const files = exports.map((bytes, plate) => {
      const name = `plate-${plate}.csv`;
      writeFileSync(join(folder, name), bytes);
      return { path: join(folder, name), name };
    });
    const bytes = exports.reduce((sum, one) => sum + one.length, 0);
    const facts = factsOf(job, new Map());
    const test = testFacts(job);
    const alone = (raw: Buffer, k: number) =>
      fileResults({ name: files[k]!.name, raw, hash: '' }, facts, test, { layouts: [], density: null });
    alone(exports[0]!, 0);

    const decoder = new TextDecoder();
    let letters = 0;
    let from = performance.now();
    for (const one of exports) letters += decoder.decode(one).length;
    const decode = performance.now() - from;
    from = performance.now();
    let spent = cpu();
    const one = exports.map(alone);
    const core = performance.now() - from;
    const coreCpu = cpu() - spent;
    from = performance.now();
    const hash = createHash('sha256');
    for (const raw of exports) hash.update(raw);
    hash.digest();
    const hashed = performance.now() - from;
    // The first reading starts the threads; a page has had them since it planned.
    await readCurveFiles(job, files.slice(0, 2), [], { pool });
    from = performance.now();
    spent = cpu();
    const found = await readCurveFiles(job, files, [], { pool });
    const reading = performance.now() - from;
    const view = barsView(barsFound(job, found, NOT_PRINTED));
    const text = JSON.stringify(view);
    const whole = performance.now() - from;
    const wholeCpu = cpu() - spent;
    if (letters !== bytes || view.bars.length !== PLATES * BARS || one.length !== PLATES)
      throw new Error('not every curve was read');
    return {
      title: 'Two hundred curves',
      rows: [
        {
          what: `a bare decode of ${Math.round(bytes / 1e6)} MB, ${((PLATES * BARS * POINTS) / 1e6).toFixed(0)} million readings`,
          value: ms(decode),
          note: `${(bytes / 1e3 / decode).toFixed(0)} MB/s, the yardstick`,
        },
        {
          what: 'reading and reducing, one core, against it',
          value: `1 : ${(core / decode).toFixed(1)}`,
          note: `${ms(core)}, ${(bytes / 1e3 / core).toFixed(0)} MB/s; ${coreCpu.toFixed(1)} s of CPU`,
        },
        { what: 'their SHA-256', value: ms(hashed), note: 'part of the next row' },
        { what: 'files to reduced bars, in threads', value: ms(reading), note: '' },
        {
          what: 'files to the whole view of the page',
          value: ms(whole),
          note: `${wholeCpu.toFixed(1)} s of CPU; goal 3 s with the screen; the page gets ${(text.length / 1e6).toFixed(1)} MB`,
        },
      ],
    };
  } finally {
    await pool.close();
    rmSync(folder, { recursive: true, force: true });
  }
}
