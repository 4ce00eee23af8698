import { dirname } from 'node:path';
import { makeJob } from '../campaign/job.ts';
import { setInCampaign } from '../campaign/write.ts';
import { Draws } from '../engine/draws.ts';
import { weightsOfWeighings } from '../engine/links/dry-weights.ts';
import { LINKS } from '../engine/links/index.ts';
import { type Assessment, type Lever, LINK_NAMES, type LinkName } from '../engine/links/link.ts';
import { type JudgedChain, judgeChain } from '../engine/plan/chain.ts';
import { priceOf } from '../engine/plan/price.ts';
import type { Job } from '../job.ts';
import { Cancelled, InputFault, type Problem, sentence } from '../problem.ts';
import { type ChainSoFar, chainView, type LinkState, type TriedWay } from '../report/chain-view.ts';
import { dryDepth } from '../report/dry-depth.ts';
import type { ChainView, ProblemView } from '../report/views.ts';
import { wayWords } from '../report/way-words.ts';
import { writeQuantity } from '../units.ts';
import { assess } from './assess.ts';
import type { Cache } from './cache.ts';
import { type OpenedCampaign, openCampaign } from './library.ts';
import type { Pool } from './pool.ts';
import { type ReadPlate, readPlates } from './prints.ts';

export type Change = Readonly<{ path: string; value: string }>;

export type PlanWish = Readonly<{
  draws: number;
  seed: number;
  /** This link alone. */
  only?: LinkName | undefined;
  /** Changes tried on the campaign as it stands. */
  changes: readonly Change[];
  /** The same campaign without them, for comparison. */
  before?: Planned | undefined;
}>;

/** A plan as far as it was computed: what other plans are compared with, and what inputs are told from. */
export type Planned = Readonly<{
  job: Job;
  plates: readonly ReadPlate[];
  found: Readonly<Partial<Record<LinkName, Assessment>>>;
  judged: JudgedChain | null;
  view: ChainView;
}>;

type Wires = Readonly<{
  pool: Pool;
  cache: Cache;
  signal?: AbortSignal | undefined;
  /** The chain as it comes, the share of the work done, and what is being done. */
  onChain?(view: ChainView, share: number, doing: string): void;
}>;

/** Shares of the whole work, for progress: reading prints, the links, their single steps. */
const SHARE_PRINTS = 0.15;
const SHARE_LINKS = 0.45;

/** The job of a campaign with changes tried on it. @throws InputFault for a change that does not fit */
export function jobOf(opened: OpenedCampaign, changes: readonly Change[]): { job: Job; text: string } {
  if (changes.length === 0)
    return { job: makeJob(opened.campaign, opened.cards, dirname(opened.path)), text: opened.text };
  const text = changes.reduce((kept, { path, value }) => setInCampaign(kept, path, value), opened.text);
  const tried = openCampaign(opened.path, text);
  return { job: makeJob(tried.campaign, tried.cards, dirname(opened.path)), text };
}

/**
 * Computes the chain of a campaign: its prints, every link that is built, each link's single steps on the same draws.
 * @throws Cancelled when told to stop; what was computed until then went to `onChain`
 */
export async function planCampaign(opened: OpenedCampaign, wish: PlanWish, wires: Wires): Promise<Planned> {
  const { job } = jobOf(opened, wish.changes);
  const { pool, cache, signal, onChain } = wires;
  const links = LINKS.filter((link) => wish.only === undefined || link.name === wish.only);
  const range = { seed: wish.seed, from: 0, to: wish.draws };
  const draws = new Draws(job.entries, range);
  let weights: Float64Array = new Float64Array(wish.draws).fill(1);
  const found: Partial<Record<LinkName, Assessment>> = {};
  const states = Object.fromEntries(
    LINK_NAMES.map((name): [LinkName, LinkState] => [
      name,
      { state: links.some((link) => link.name === name) ? 'computing' : 'not computed yet' },
    ]),
  ) as Record<LinkName, LinkState>;
  const ways: Partial<Record<LinkName, TriedWay[]>> = {};
  const reads = Object.fromEntries(LINKS.map((link) => [link.name, link.reads(job)]));
  let plates: readonly ReadPlate[] = [];
  let judged: JudgedChain | null = null;
  let problems: ProblemView[] = [];

  const soFar = (state: ChainSoFar['state']): ChainSoFar => ({
    job,
    state,
    draws: wish.draws,
    seed: wish.seed,
    links: states,
    judged,
    before: wish.before?.judged ?? null,
    ways,
    trying: wish.changes.map(({ path, value }) => `${path}: ${value}`),
    dry: found.Dry ? dryDepth(job, found.Dry, weights) : null,
    problems,
  });
  // The view is made anew only when something in it changed, not at every tick of progress.
  let view: ChainView | null = null;
  const tell = (share: number, doing: string) => {
    view ??= chainView(soFar('computing'));
    onChain?.(view, share, doing);
  };
  const judge = () => {
    view = null;
    judged = judgeChain(found, draws, weights, printingTime(plates), reads);
  };

  try {
    tell(0, 'Reading the prints');
    plates = await readPlates(job, {
      pool,
      cache,
      signal,
      onProgress: (share) => tell(SHARE_PRINTS * share, 'Reading the prints'),
    });
    problems = plates.flatMap((plate) => plate.problems);
    view = null;
    for (const [k, link] of links.entries()) {
      const from = SHARE_PRINTS + (SHARE_LINKS * k) / links.length;
      tell(from, `Computing ${link.name}`);
      try {
        found[link.name] = await assess(job, link, range, {
          pool,
          cache,
          signal,
          onProgress: (share) => tell(from + (SHARE_LINKS * share) / links.length, `Computing ${link.name}`),
        });
        states[link.name] = { state: 'done' };
        if (link.name === 'Dry') weights = weightsAfter(job, found[link.name]!, weights);
      } catch (error) {
        if (error instanceof Cancelled) throw error;
        states[link.name] = { state: 'failed', sentence: failure(error) };
      }
      judge();
      tell(from + SHARE_LINKS / links.length, '');
    }
    await trySteps();
    return { job, plates, found, judged, view: chainView(soFar('done')) };
  } catch (error) {
    if (error instanceof Cancelled) onChain?.(chainView(soFar('stopped')), 1, '');
    throw error;
  }

  /** Every single step of every link that is there, on the same draws, the cheapest first. */
  async function trySteps(): Promise<void> {
    const steps = links
      .filter((link) => found[link.name])
      .flatMap((link) => link.levers(job).map((lever) => ({ link, lever, minutes: priceOf(lever, job) })))
      .sort((a, b) => a.minutes - b.minutes);
    const start = SHARE_PRINTS + SHARE_LINKS;
    for (const [k, { link, lever, minutes }] of steps.entries()) {
      tell(start + ((1 - start) * k) / steps.length, 'Trying single changes');
      const changes = writtenChanges(lever);
      const tried = jobOf(opened, [...wish.changes, ...changes]).job;
      const altered = { ...found };
      for (const touched of links.filter((other) => found[other.name]))
        altered[touched.name] = await assess(tried, touched, range, { pool, cache, signal });
      const chain = judgeChain(altered, new Draws(tried.entries, range), weights, printingTime(plates), {});
      const way: TriedWay = { id: wayId(lever), ...wayWords(lever, job), minutes, changes, judged: chain };
      ways[link.name] = [...(ways[link.name] ?? []), way];
      view = null;
    }
  }
}

/** Weighings of the drying reweight the draws; where no draw agrees with them, nothing is learned. */
function weightsAfter(job: Job, dry: Assessment, even: Float64Array): Float64Array {
  const told = weightsOfWeighings(job, dry);
  return told?.believable ? told.weights : even;
}

function wayId(lever: Lever): string {
  return `${lever.id}/${lever.changes.map((change) => change.value).join('/')}`;
}

function writtenChanges(lever: Lever): Change[] {
  return lever.changes.map(({ path, value, unit }) => ({
    path,
    value: typeof value === 'number' ? writeQuantity(value, unit) : value,
  }));
}

function printingTime(plates: readonly ReadPlate[]): number {
  return plates.reduce((sum, plate) => sum + (plate.print?.totals.timeS ?? 0), 0);
}

/** Why a link could not be computed, in one sentence; the details of a fault of ours go to the terminal. */
function failure(error: unknown): string {
  if (error instanceof InputFault)
    return error.problems.map((problem: Problem) => sentence(problem)).join(' ');
  process.stderr.write(`bonedry: a fault of ours: ${(error as Error).stack ?? error}\n`);
  return 'A fault of ours: this link could not be computed. The others stand.';
}
