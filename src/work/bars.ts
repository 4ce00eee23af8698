import { resolve } from 'node:path';
import { nearest } from '../cards/nearest.ts';
import type { Layout } from '../engine/curves/reading.ts';
import { weightsAfter } from '../engine/links/dry-weights.ts';
import { LINKS } from '../engine/links/index.ts';
import type { Assessment, LinkName } from '../engine/links/link.ts';
import type { BarFacts, BarResult } from '../engine/results/bar.ts';
import { factsOf, type PlateKnown, testFacts } from '../engine/results/facts.ts';
import type { FileResults } from '../engine/results/file-results.ts';
import { MEASURES } from '../engine/results/measures.ts';
import { printWater } from '../engine/results/print-water.ts';
import { type Asked, resultsOf } from '../engine/results/results.ts';
import type { Job } from '../job.ts';
import { Cancelled, InputFault, type Problem } from '../problem.ts';
import type { BarsFound } from '../report/bars-found.ts';
import { withPrints } from './asked-prints.ts';
import { assess } from './assess.ts';
import type { Cache } from './cache.ts';
import { jobIn, type OpenedCampaign } from './library.ts';
import type { Pool, Wish } from './pool.ts';
import { type ReadPlate, readPlates } from './prints.ts';

/** A file of curves: where it is, and how sentences call it. */
export type CurveFile = Readonly<{ path: string; name: string }>;

export type Wires = { pool: Pool; cache: Cache } & Wish;

/** Confidence of all intervals; smallest difference where nobody said one. */
const CONF = 0.95;
const SMALLEST = 0.1;

/** Draws and seed of the water at the prints, as for a plan. */
export type WaterWish = Readonly<{ draws: number; seed: number }>;

/**
 * Reads curve files against the campaign, each in a thread of its own, with the layouts confirmed before.
 * @throws InputFault with one sentence for every file that cannot be used; Cancelled
 */
export async function readCurveFiles(
  job: Job,
  files: readonly CurveFile[],
  layouts: readonly Layout[],
  { pool, signal, onProgress }: Pick<Wires, 'pool'> & Wish,
): Promise<FileResults[]> {
  const bars = factsOf(job, new Map());
  const test = testFacts(job);
  const density = job.entries['strand.density']?.value;
  const shares = new Float64Array(files.length);
  const read = await Promise.allSettled(
    files.map(({ path, name }, k) =>
      pool.run(
        {
          kind: 'curves',
          path,
          name,
          bars,
          test,
          layouts,
          density: typeof density === 'number' ? density : null,
        },
        {
          signal,
          onProgress: (share) => {
            shares[k] = share;
            onProgress?.(shares.reduce((a, b) => a + b, 0) / files.length);
          },
        },
      ),
    ),
  );
  const problems: Problem[] = [];
  for (const one of read) {
    if (one.status === 'fulfilled') continue;
    if (!(one.reason instanceof InputFault)) throw one.reason;
    problems.push(...one.reason.problems);
  }
  if (problems.length > 0) throw new InputFault(problems);
  return read.flatMap((one) => (one.status === 'fulfilled' ? [one.value] : []));
}

/** Names in the files that are no bar of the campaign, and bars that stand twice. @throws InputFault */
export function refuseStrangers(job: Job, files: readonly FileResults[]): void {
  const ids = factsOf(job, new Map()).map(({ bar }) => bar);
  const problems: Problem[] = [];
  const seen = new Map<string, string>();
  for (const { file, recorded } of files)
    for (const { name, bar, lineFirst } of recorded) {
      if (bar === null) {
        const near = nearest(name, ids);
        problems.push({
          code: 'unknown-bar',
          message: `"${name}" is not a bar of this campaign.`,
          where: { file, line: lineFirst },
          expected: `${near ? `"${near}"` : ids.length > 0 ? `one of ${ids.slice(0, 12).join(', ')}${ids.length > 12 ? ' ...' : ''}` : 'bars on its plates'}, or "called: ${name}" beside the bar it is, under "test.bars"`,
        });
      } else if (seen.has(bar))
        problems.push({
          code: 'bar-twice',
          message: `Bar ${bar} stands twice, here and in ${seen.get(bar)}.`,
          where: { file, line: lineFirst },
          expected: 'one curve for each bar',
        });
      else seen.set(bar, `${file}, line ${lineFirst}`);
    }
  if (problems.length > 0) throw new InputFault(problems);
}

/** The files that a campaign names under `test.curves`. */
export function curvesOf({ folder, test }: Job): CurveFile[] {
  return test.curves.map((name) => ({ path: resolve(folder, name), name }));
}

/** What the campaign asks of its bars. */
export function askedOf({ question }: Job): Asked {
  const measure = MEASURES.find((one) => one === question?.measure) ?? 'strength';
  return {
    compare: question?.compare ?? [],
    measure,
    smallest: question?.smallestDifference ?? SMALLEST,
    power: question?.power ?? 0.8,
    assumed: question?.smallestDifference == null,
  };
}

/** Plates of the campaign as they were printed, and the water of the strand in each. */
export type Printed = Pick<BarsFound, 'water' | 'waterless'> & Readonly<{ plates: readonly ReadPlate[] }>;
export const NOT_PRINTED: Printed = { plates: [], water: new Map(), waterless: 'not computed' };

/**
 * Reads the prints and computes the water of the strand in each, by the links Dry and Stay dry. What cannot be computed
 * is told; the bars stand without it.
 */
export async function printedOf(opened: OpenedCampaign, wish: WaterWish, wires: Wires): Promise<Printed> {
  const { pool, cache, signal, onProgress } = wires;
  const bare = jobIn(opened);
  const plates = await readPlates(bare, {
    pool,
    cache,
    signal,
    onProgress: (share) => onProgress?.(share / 4),
  });
  const job = withPrints(bare, plates);
  const range = { seed: wish.seed, from: 0, to: wish.draws };
  const found: Partial<Record<LinkName, Assessment>> = {};
  try {
    for (const [k, name] of (['Dry', 'Stay dry'] as const).entries()) {
      const link = LINKS.find((one) => one.name === name)!;
      found[name] = await assess(job, link, range, found, {
        pool,
        cache,
        signal,
        onProgress: (share) => onProgress?.(0.25 + 0.375 * (k + share)),
      });
    }
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    return { plates, water: new Map(), waterless: error.message };
  }
  if (signal?.aborted) throw new Cancelled();
  const weights = weightsAfter(job, found, new Float64Array(wish.draws).fill(1));
  return { plates, water: printWater(job, found['Stay dry']!, weights), waterless: null };
}

/**
 * Puts together what files, prints and campaign say of the bars.
 * @param files read by `readCurveFiles`, in the order of testing
 */
export function barsFound(job: Job, files: readonly FileResults[], printed: Printed): BarsFound {
  const test = testFacts(job);
  const asked = askedOf(job);
  const known = new Map(
    job.plates.map((plate): [string, PlateKnown] => [
      plate.name,
      {
        print: printed.plates.find((one) => one.plate.name === plate.name)?.print ?? null,
        water: printed.water.get(plate.name) ?? null,
      },
    ]),
  );
  const facts = factsOf(job, known);
  const results = files.flatMap((file) => file.results);
  const order = new Map(results.map(({ facts: { bar } }, k) => [bar, k + 1]));
  const byBar = new Map(results.map((result) => [result.facts.bar, result]));
  const rank = (group: string) => job.groups.findIndex(({ name }) => name === group);
  const inOrder = facts.toSorted((a, b) => rank(a.group) - rank(b.group));
  const bars = inOrder.flatMap((fact): BarResult[] => {
    const result = byBar.get(fact.bar);
    return result === undefined ? [] : [{ ...result, facts: ordered(fact, order.get(fact.bar)!) }];
  });
  const without = files.flatMap((file) => file.without);
  const curved = new Set([...byBar.keys(), ...without.map(({ bar }) => bar)]);
  return {
    job,
    test,
    asked,
    files,
    ...printed,
    series: resultsOf(bars, asked, test, CONF),
    untested: facts.filter(({ bar }) => !curved.has(bar)).map(({ bar }) => bar),
    without,
    conf: CONF,
  };
}

function ordered(facts: BarFacts, testOrder: number): BarFacts {
  return { ...facts, covariates: { ...facts.covariates, testOrder } };
}
