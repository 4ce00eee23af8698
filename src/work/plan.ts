import { setInCampaign } from '../campaign/write.ts';
import { Draws } from '../engine/draws.ts';
import { weightsAfter } from '../engine/links/dry-weights.ts';
import { LINKS } from '../engine/links/index.ts';
import { type Assessment, type Lever, LINK_NAMES, type Link, type LinkName } from '../engine/links/link.ts';
import { type JudgedChain, judgeChain } from '../engine/plan/chain.ts';
import { priceOf } from '../engine/plan/price.ts';
import type { Job } from '../job.ts';
import { Cancelled, InputFault, type Problem, sentence } from '../problem.ts';
import { type ChainSoFar, chainView, type LinkState, type TriedWay } from '../report/chain-view.ts';
import { dryDepth } from '../report/dry-depth.ts';
import { feedDepth } from '../report/feed-depth.ts';
import { feedPicture } from '../report/feed-picture.ts';
import { cutOffNote, faultList } from '../report/gcode-faults.ts';
import { problemView } from '../report/problem-view.ts';
import { stayDryDepth } from '../report/stay-dry-depth.ts';
import { stayDryPicture } from '../report/stay-dry-picture.ts';
import type { ChainView, ProblemView } from '../report/views.ts';
import { wayWords } from '../report/way-words.ts';
import { writeQuantity } from '../units.ts';
import { withPrints } from './asked-prints.ts';
import { assess, keyOf } from './assess.ts';
import { strayBars } from './bars-found.ts';
import type { Cache } from './cache.ts';
import { jobIn, type OpenedCampaign, openCampaign } from './library.ts';
import { plateView } from './planned-print.ts';
import type { Pool } from './pool.ts';
import { type ReadPlate, readPlates } from './prints.ts';

export type Change = Readonly<{ path: string; value: string }>;

export type PlanWish = Readonly<{
  draws: number;
  seed: number;
  /** Files that cannot be used end the plan at once; else what does not need them is computed all the same. */
  soundFiles?: boolean;
  /** This link alone, with those it starts from. */
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
  /** Of the draws, after what was weighed. */
  weights: Float64Array;
  view: ChainView;
}>;

type Wires = Readonly<{
  pool: Pool;
  cache: Cache;
  signal?: AbortSignal | undefined;
  /** The chain as it comes, the share of the work done, and what is being done. */
  onChain?(view: ChainView, share: number, doing: string): void;
  /** The plan with all its links, before any change was tried on it. */
  onJudged?(planned: Planned): void;
}>;

/** Shares of the whole work, for progress: reading prints, the links, their single steps. */
const SHARE_PRINTS = 0.15;
const SHARE_LINKS = 0.45;

/** The same campaign with changes tried on it; nothing is written. @throws InputFault for a change that does not fit */
export function withChanges(opened: OpenedCampaign, changes: readonly Change[]): OpenedCampaign {
  if (changes.length === 0) return opened;
  const text = changes.reduce((kept, { path, value }) => {
    try {
      return setInCampaign(kept, path, value);
    } catch {
      throw new InputFault([
        {
          code: 'wrong-change',
          message: `"${value}" cannot be put here.`,
          where: { file: opened.name, path },
          expected: 'what would be typed after the colon, each opened quote and bracket closed',
        },
      ]);
    }
  }, opened.text);
  return openCampaign(opened.path, opened.name, text);
}

/**
 * Computes the chain of a campaign: its prints, every link that is built, each link's single steps on the same draws.
 * @throws Cancelled when told to stop; what was computed until then went to `onChain`
 */
export async function planCampaign(opened: OpenedCampaign, wish: PlanWish, wires: Wires): Promise<Planned> {
  const campaign = withChanges(opened, wish.changes);
  let job = jobIn(campaign);
  const { pool, cache, signal, onChain } = wires;
  const links = wish.only === undefined ? LINKS : withBefore(wish.only);
  const range = { seed: wish.seed, from: 0, to: wish.draws };
  let draws = new Draws(job.entries, range);
  // What was weighed was weighed of the drying that was: a change being tried does not read it anew.
  const weighed = wish.before?.weights ?? null;
  let weights: Float64Array = weighed ?? new Float64Array(wish.draws).fill(1);
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
  let depths: Pick<ChainSoFar, 'dry' | 'stayDry' | 'feed' | 'stayDryPicture' | 'feedPicture'> = {
    dry: null,
    stayDry: null,
    feed: null,
    stayDryPicture: null,
    feedPicture: null,
  };

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
    ...depths,
    problems,
  });
  // The view is made anew only when something in it changed, not at every tick of progress.
  let view: ChainView | null = null;
  let told = 0;
  const tell = (share: number, doing: string) => {
    view ??= chainView(soFar('computing'));
    told = share;
    onChain?.(view, share, doing);
  };
  const judge = () => {
    view = null;
    judged = judgeChain(found, draws, weights, printingTime(plates), reads);
    const { Feed, 'Stay dry': stayDry } = found;
    depths = {
      dry: found.Dry ? dryDepth(job, found.Dry, weights) : null,
      stayDry: stayDry ? stayDryDepth(job, stayDry, weights) : null,
      feed: Feed ? feedDepth(job, Feed, weights, judged.links.Feed) : null,
      stayDryPicture: stayDry ? stayDryPicture(job, stayDry, weights) : null,
      feedPicture: Feed
        ? feedPicture({ job, found: Feed, judged: judged.links.Feed! }, campaign.text, feedOf(wish.before))
        : null,
    };
  };

  try {
    tell(0, 'Reading the prints');
    plates = await readPlates(job, {
      pool,
      cache,
      signal,
      onProgress: (share) => tell(SHARE_PRINTS * share, 'Reading the prints'),
    });
    if (wish.soundFiles) refuseUnsound(plates);
    problems = plates.flatMap((plate) => plateProblems(job, plate));
    job = withPrints(job, plates);
    draws = new Draws(job.entries, range);
    view = null;
    for (const [k, link] of links.entries()) {
      const from = SHARE_PRINTS + (SHARE_LINKS * k) / links.length;
      tell(from, `Computing ${link.name}`);
      try {
        refuseWithoutBefore(link, states);
        found[link.name] = await assess(job, link, range, found, {
          pool,
          cache,
          signal,
          onProgress: (share) => tell(from + (SHARE_LINKS * share) / links.length, `Computing ${link.name}`),
        });
        states[link.name] = { state: 'done' };
        if (!weighed) weights = weightsAfter(job, found, weights);
      } catch (error) {
        if (error instanceof Cancelled) throw error;
        states[link.name] = { state: 'failed', sentence: failure(error) };
      }
      judge();
      tell(from + SHARE_LINKS / links.length, '');
    }
    wires.onJudged?.({ job, plates, found, judged, weights, view: chainView(soFar('computing')) });
    await trySteps();
    view = chainView(soFar('done'));
    onChain?.(view, 1, '');
    return { job, plates, found, judged, weights, view };
  } catch (error) {
    if (error instanceof Cancelled) onChain?.(chainView(soFar('stopped')), told, '');
    throw error;
  }

  /** Every single step of every link that is there, on the same draws, the cheapest first. */
  async function trySteps(): Promise<void> {
    const steps = links
      .filter((link) => found[link.name])
      .flatMap((link) => link.levers(job).map((lever) => ({ link, lever, minutes: priceOf(lever, job) })))
      .sort((a, b) => a.minutes - b.minutes);
    const start = SHARE_PRINTS + SHARE_LINKS;
    // Most steps leave most links as they are, and some lead to the same place.
    const known = new Map(
      links.flatMap((link) => {
        const before = found[link.name];
        return before ? [[keyOf(job, link, range), before] as const] : [];
      }),
    );
    for (const [k, { link, lever, minutes }] of steps.entries()) {
      tell(start + ((1 - start) * k) / steps.length, 'Trying single changes');
      const changes = writtenChanges(lever);
      const tried = withPrints(jobIn(withStep(campaign, changes)), plates);
      const altered = { ...found };
      for (const touched of links.filter((other) => found[other.name])) {
        const key = keyOf(tried, touched, range);
        const is = known.get(key) ?? (await assess(tried, touched, range, altered, { pool, cache, signal }));
        known.set(key, is);
        altered[touched.name] = is;
      }
      const chain = judgeChain(altered, new Draws(tried.entries, range), weights, printingTime(plates), {});
      const way: TriedWay = { id: wayId(lever), ...wayWords(lever, job), minutes, changes, judged: chain };
      ways[link.name] = [...(ways[link.name] ?? []), way];
      view = null;
    }
  }
}

/** Feed of the plan as it stands, whose scale its pictures keep; null where there is none. */
function feedOf(before: Planned | undefined) {
  const found = before?.found.Feed;
  const judged = before?.judged?.links.Feed;
  return before && found && judged ? { job: before.job, found, judged } : null;
}

/** A link with all those it starts from, in job order. */
function withBefore(only: LinkName): readonly Link[] {
  const wanted = new Set<LinkName>([only]);
  for (const link of [...LINKS].reverse())
    if (wanted.has(link.name)) for (const name of link.after ?? []) wanted.add(name);
  return LINKS.filter((link) => wanted.has(link.name));
}

/** @throws InputFault where a link that this one starts from could not be computed */
function refuseWithoutBefore(link: Link, states: Readonly<Record<LinkName, LinkState>>): void {
  const lacking = (link.after ?? []).find((name) => states[name].state !== 'done');
  if (lacking !== undefined)
    throw new InputFault([
      {
        code: 'link-before',
        message: `${link.name} starts where ${lacking} ends, and ${lacking} could not be computed.`,
      },
    ]);
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

/** A step that does not fit is our fault, not the person's. */
function withStep(campaign: OpenedCampaign, changes: readonly Change[]): OpenedCampaign {
  try {
    return withChanges(campaign, changes);
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    throw new Error(`a step of ours is refused: ${error.message}`);
  }
}

/** @throws InputFault with every fault of every file that keeps it from being used */
function refuseUnsound(plates: readonly ReadPlate[]): void {
  const stops = plates.flatMap((read) => [
    ...read.problems,
    ...(read.print ? faultList(read.print).stops : []),
    ...strayBars(read).stops,
  ]);
  if (stops.length > 0) throw new InputFault(stops);
}

/** What is wrong with a plate's file, and where it says other than the plan: what it says wins. */
function plateProblems(job: Job, read: ReadPlate): ProblemView[] {
  const { file, print } = read;
  const view = plateView(job, read);
  const stray = strayBars(read);
  const unreadable = [...read.problems, ...stray.stops];
  const stops = view?.problems.filter((problem) => problem.level === 'stop') ?? [];
  const differences = (view?.against ?? [])
    .filter(({ answer }) => answer === 'different')
    .map(({ what, file: inFile, plan }) => ({
      sentence: `${file}, ${what}: the file says ${inFile}, the campaign ${plan}. The file is what will be printed.`,
      file,
      line: null,
      level: 'note' as const,
    }));
  const cutOff = print && cutOffNote(print);
  const notes = [...(cutOff ? [cutOff] : []), ...stray.notes];
  return [
    ...unreadable.map((problem) => problemView(problem, 'stop', file)),
    ...stops,
    ...notes.map((problem) => problemView(problem, 'note', file)),
    ...differences,
  ];
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
