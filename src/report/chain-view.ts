import { type Answer, LINK_NAMES, type LinkName } from '../engine/links/link.ts';
import { normalQuantile } from '../engine/numerics/normal.ts';
import { weightedQuantile } from '../engine/numerics/weighted-quantile.ts';
import type { JudgedChain, JudgedCheck, JudgedLink } from '../engine/plan/chain.ts';
import { wholeRuns } from '../engine/plan/verdict.ts';
import type { Entry, Job } from '../job.ts';
import { fromSi, showNumber, showRange, showShare, showShareChange, showUnit } from '../units.ts';
import { listed, neckWidth, QUESTIONS } from './link-words.ts';
import { makeStrip, spreadOf } from './strip.ts';
import type {
  ChainView,
  CheckView,
  DryDepth,
  FeedDepth,
  FeedPicture,
  LinkView,
  ProblemView,
  RunsView,
  StayDryDepth,
  StayDryPicture,
  WayView,
} from './views.ts';

/** How far a link has come. */
export type LinkState =
  | { state: 'not computed yet' }
  | { state: 'computing' }
  | { state: 'done' }
  | { state: 'failed'; sentence: string };

/** A change whose effect is computed: the chain with it, on the same draws. */
export type TriedWay = Readonly<{
  id: string;
  words: string;
  cost: string;
  minutes: number;
  changes: readonly Readonly<{ path: string; value: string }>[];
  judged: JudgedChain;
}>;

/** Everything the chain's view is made from; grows while the plan is computed. */
export type ChainSoFar = Readonly<{
  job: Job;
  state: ChainView['state'];
  draws: number;
  seed: number;
  links: Readonly<Record<LinkName, LinkState>>;
  judged: JudgedChain | null;
  /** The plan as it stands, while another is tried. */
  before: JudgedChain | null;
  ways: Readonly<Partial<Record<LinkName, readonly TriedWay[]>>>;
  trying: readonly string[];
  dry: DryDepth | null;
  stayDry: StayDryDepth | null;
  feed: FeedDepth | null;
  stayDryPicture: StayDryPicture | null;
  feedPicture: FeedPicture | null;
  problems: readonly ProblemView[];
}>;

/** An unknown carries the spread of its link from this share on: it is "leading". */
const LEADING_FROM = 0.05;
/** Shares from here on leave nothing to change. */
const SAFE_FROM = 0.95;
/** Ways offered at a link. */
const WAYS_MAX = 3;
/** Changes below a point are not told. */
const POINT = 0.01;

export function chainView(so: ChainSoFar): ChainView {
  const { job, judged } = so;
  const links = LINK_NAMES.map((name) => linkView(name, so));
  return {
    campaign: job.campaign,
    invented: job.invented,
    bars:
      job.plates.reduce((sum, plate) => sum + plate.bars.length, 0) || sumOf(job.groups.map((g) => g.bars)),
    plates: job.plates.length,
    state: so.state,
    headline: headline(so),
    sentence: sentenceUnder(so),
    scope: scopeOf(so),
    draws: so.draws,
    seed: so.seed,
    links,
    runs: judged ? runsView(judged) : null,
    trying: [...so.trying],
    problems: [...so.problems],
  };
}

const sumOf = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);

/** The answer in one sentence; the two answers are never mixed. */
export function headline({ judged, state, trying }: ChainSoFar): string {
  if (!judged || judged.order.length === 0)
    return state === 'failed' ? 'This plan could not be computed' : 'Computing the chain';
  const start = trying.length > 0 ? 'With this change' : 'As planned';
  const { comeOff, counts } = runsView(judged);
  return `${start}, ${comeOff} ${comeOff === 1 ? 'run' : 'runs'} in 20 ${verb(comeOff, 'come')} off the machine; ${counts} in 20 ${verb(counts, 'count')}`;
}

/** One run comes, two come. */
function verb(runs: number, many: string): string {
  return runs === 1 ? `${many}s` : many;
}

function sentenceUnder({ judged, job, ways }: ChainSoFar): string {
  if (!judged?.weakest) return '';
  const weakest = judged.links[judged.weakest]!;
  if (judged.comesOff >= job.want.comesOff && judged.counts >= job.want.counts)
    return 'The links computed so far reach both wanted chances; nothing is said of the others.';
  // The weakest link's own first change where it is enough; else the one of any link that makes most runs count.
  const own = worthwhile(ways[judged.weakest] ?? [], judged, job, judged.weakest)[0];
  const firsts = judged.order.flatMap((name) => worthwhile(ways[name] ?? [], judged, job, name).slice(0, 1));
  const best =
    own && reaches(own.judged, job)
      ? own
      : firsts.reduce<TriedWay | undefined>(
          (most, way) => (!most || way.judged.counts > most.judged.counts ? way : most),
          undefined,
        );
  const spoils = `${weakest.name} spoils most.`;
  if (!best) return spoils;
  const { comeOff, counts } = runsView(best.judged);
  return `${spoils} ${best.words}, and ${comeOff} in 20 ${verb(comeOff, 'come')} off, ${counts} in 20 ${verb(counts, 'count')}.`;
}

function reaches(judged: JudgedChain, job: Job): boolean {
  return judged.comesOff >= job.want.comesOff && judged.counts >= job.want.counts;
}

/** Which links the answers speak for: nothing is claimed for what is not computed. */
function scopeOf({ judged, links }: ChainSoFar): string {
  const missing = LINK_NAMES.filter((name) => links[name].state === 'not computed yet');
  const failed = LINK_NAMES.filter((name) => links[name].state === 'failed');
  const parts: string[] = [];
  if (judged && judged.order.length > 0 && missing.length > 0)
    parts.push(
      `This speaks for ${listed(judged.order)} and other mishaps alone: ${listed(missing)} are not computed yet.`,
    );
  if (failed.length > 0) parts.push(`${listed(failed)} could not be computed.`);
  return parts.join(' ');
}

function linkView(name: LinkName, so: ChainSoFar): LinkView {
  const state = so.links[name];
  const blank: LinkView = {
    name,
    question: QUESTIONS[name],
    state: state.state,
    failure: state.state === 'failed' ? state.sentence : null,
    weakest: false,
    assumed: false,
    assumedWords: null,
    share: '',
    shareValue: null,
    answers: '',
    ruling: null,
    checks: [],
    together: null,
    before: null,
    width: 1,
    cracked: false,
    nothingToChange: false,
    ways: [],
    leastKnown: null,
    dry: name === 'Dry' ? so.dry : null,
    stayDry: name === 'Stay dry' ? so.stayDry : null,
    feed: name === 'Feed' ? so.feed : null,
    stayDryPicture: name === 'Stay dry' ? so.stayDryPicture : null,
    feedPicture: name === 'Feed' ? so.feedPicture : null,
  };
  const link = so.judged?.links[name];
  if (!link) return blank;
  const before = so.before?.links[name];
  const spreads = new Map(before?.checks.map((judged) => [judged.check.name, spreadOfCheck(judged)]));
  const leading = link.drivers.filter((driver) => driver.share >= LEADING_FROM);
  const assumed = leading.map(({ key }) => so.job.entries[key]).filter((entry) => entry?.from === 'assumed');
  const ways = so.ways[name] ?? [];
  const quantile = normalQuantile(Math.min(Math.max(link.together, 1e-6), 1 - 1e-6));
  return {
    ...blank,
    weakest: so.judged!.weakest === name && link.together < SAFE_FROM,
    assumed: assumed.length > 0 || unsaidOf(name, so.job).length > 0,
    assumedWords: assumedWords(name, so.job, assumed as Entry[]),
    share: showShare(link.ruling.share),
    shareValue: link.ruling.share,
    answers: answersOf(link),
    ruling: checkView(name, link.ruling, spreads),
    checks: link.checks.map((judged) => checkView(name, judged, spreads)),
    together:
      Math.abs(link.together - link.ruling.share) > POINT
        ? `All ${link.checks.length} checks: ${showShare(link.together)}`
        : null,
    before: before && so.trying.length > 0 ? checkView(name, sameCheck(before, link.ruling), spreads) : null,
    width: neckWidth(quantile),
    cracked: link.together < 0.5,
    nothingToChange: link.together >= SAFE_FROM,
    ways: offered(ways, so.judged!, so.job, name),
    leastKnown: leastKnown(link, so.job),
  };
}

function sameCheck(link: JudgedLink, like: JudgedCheck): JudgedCheck {
  return link.checks.find(({ check }) => check.name === like.check.name) ?? link.ruling;
}

function spreadOfCheck(judged: JudgedCheck): number {
  return spreadOf(drawnOf('', judged));
}

function drawnOf(link: string, { check, predictive, share }: JudgedCheck) {
  const { unit, limit, side } = check;
  const size = fromSi(limit, unit);
  const places = Math.max(0, 2 - Math.ceil(Math.log10(Math.abs(size) + 1e-300)));
  const holds = Math.round(share * 20);
  return {
    predictive,
    limit,
    side,
    unit: fromSi(1, unit) === 0 ? 1 : (limit || 1) / (size || 1),
    print: (value: number) => showNumber(fromSi(value, unit), places),
    printLimit: (value: number) => showLimit(value, unit),
    finding: `${link}, ${check.quantity}: ${holds} of 20 runs hold the limit of ${showLimit(limit, unit)}.`,
  };
}

/** A limit is printed to two significant digits at least, so that it stands beside its values: 0.20, not 0.2. */
function showLimit(value: number, unit: string): string {
  const size = Math.abs(fromSi(value, unit));
  const places = size > 0 ? Math.max(0, 1 - Math.floor(Math.log10(size) + 1e-12)) : 0;
  return `${showNumber(fromSi(value, unit), places)}${showUnit(unit)}`;
}

/** A check is drawn once, however often the chain is told while single steps are tried. */
const drawn = new WeakMap<JudgedCheck, { spread: number | undefined; view: CheckView }>();

function checkView(link: string, judged: JudgedCheck, spreads: ReadonlyMap<string, number>): CheckView {
  const spread = spreads.get(judged.check.name);
  const before = drawn.get(judged);
  if (before && before.spread === spread) return before.view;
  const view = drawCheck(link, judged, spread);
  drawn.set(judged, { spread, view });
  return view;
}

function drawCheck(link: string, judged: JudgedCheck, spread: number | undefined): CheckView {
  const { check, predictive, share } = judged;
  const [low, median, high] = [0.05, 0.5, 0.95].map((p) =>
    weightedQuantile(check.values, predictive.weights, p),
  ) as [number, number, number];
  const shown = showRange({ median, low, high }, check.unit);
  return {
    name: check.name,
    answer: check.answer,
    share: showShare(share),
    shareValue: share,
    quantity: check.quantity,
    median: shown.median,
    range: shown.range,
    limit: `${check.side} ${showLimit(check.limit, check.unit)}`,
    strip: makeStrip({ ...drawnOf(link, judged), ...(spread === undefined ? {} : { spread }) }),
  };
}

function answersOf(link: JudgedLink): string {
  return (['comes off', 'counts'] as const)
    .flatMap((answer: Answer) => {
      const share = link.shares[answer];
      return share === null ? [] : [`${answer} ${showShare(share)}`];
    })
    .join(', ');
}

function assumedWords(name: LinkName, job: Job, entries: readonly Entry[]): string | null {
  const words = entries.map((entry) => plainName(entry.key));
  words.unshift(...unsaidOf(name, job));
  if (words.length === 0) return null;
  return `Assumed: nobody said ${listed(words)}. Until then the spread is wide.`;
}

/** What a link needs of the campaign beside numbers, and nobody said. */
function unsaidOf(name: LinkName, job: Job): string[] {
  if (name === 'Dry') return job.drying.assumed ? ['how long you dry it'] : [];
  if (name !== 'Stay dry') return [];
  const several = job.prints.length > 1;
  return [
    ...(several && job.betweenPrints === null ? ['where the strand is between prints'] : []),
    ...(several && !job.people?.there.length ? ['when people are there'] : []),
    ...(job.prints.some(({ from }) => from === 'assumed') ? ['how long a plate prints'] : []),
  ];
}

/** "water from the bag" from "spool.water from the bag"; a limit says that it is one. */
export function plainName(key: string): string {
  const name = key.slice(key.indexOf('.') + 1);
  return key === 'limits.strict' || key === 'limits.visible' ? `the ${name} limit` : name;
}

/** The number that carries most of the spread and can be measured; where none can, the one that carries most. */
function leastKnown(link: JudgedLink, job: Job): LinkView['leastKnown'] {
  const leading = link.drivers.filter((driver) => driver.share >= LEADING_FROM);
  const measurable = leading.find(({ key }) => measureWords(key) !== null);
  const chosen = measurable ?? leading[0];
  if (!chosen || !job.entries[chosen.key]) return null;
  return {
    input: plainName(chosen.key),
    share: `${showShare(chosen.share)} of this spread`,
    measure: measureWords(chosen.key) ?? 'Nothing you can measure in minutes narrows it.',
  };
}

/** How a number may be narrowed where a person can; null where no measurement of minutes does it. */
export function measureWords(key: string): string | null {
  return MEASURES[key] ?? null;
}
const MEASURES: Readonly<Record<string, string>> = {
  'spool.hours open': 'Say since when it lies open, or weigh the spool before and while it dries.',
  'spool.water from the bag': 'Weigh the spool before its drying and every two hours.',
  'room.humidity': 'Read a hygrometer beside the spool, 2 min.',
  'room.temperature': 'Read a thermometer beside the spool, 2 min.',
  'dryer.temperature': 'Put a probe beside the spool once it is warm, 5 min.',
  'printer.bed off by': 'Hold a probe to the sheet once it is hot, 5 min.',
  'chamber.settles at': 'Read the chamber with a kitchen probe after an hour, 5 min.',
  'dryer.air changes': 'Weigh the spool while it dries, 2 min each time.',
  'spool.net': 'Weigh the spool, 2 min.',
  'box.temperature': 'Put a probe beside the spool once it is warm, 5 min.',
  'box.air changes': 'Weigh the spool in the evening and in the morning, 2 min each time.',
  'box.volume': 'Measure the box with a ruler, 2 min.',
  'desiccant.dry mass': 'Weigh it right after it was dried, 2 min.',
  'desiccant.water in it at the start': 'Weigh it, dry it again and weigh it once more.',
  'path.length': 'Measure the tube with a tape, 2 min.',
  'path.tightest bend': 'Hold a coin, a cup and a plate against the tightest bend, 2 min.',
  'path.tube inside': "Read it from the tube's label, 1 min.",
  'path.drag of spool': 'Pull the strand with a luggage scale, 2 min.',
  'path.purge': 'Weigh what comes out before a print, 2 min.',
  'strand.diameter': 'Measure it with a caliper in three places, 2 min.',
  'strand.strain to break cold':
    'Bend cold pieces round pegs of 60, 40, 30, 25 and 20 mm, 10 min. Wear glasses.',
  'strand.set from winding': 'Cut off a metre, lay it down and measure the radius it keeps, 3 min.',
  'spool.flange thickness': 'Measure it with a caliper, 1 min.',
  'spool.hub radius': 'Measure it with a ruler, 1 min.',
  'spool.width of winding': 'Measure it with a ruler, 1 min.',
  'strand.fibre share': "Read it from the maker's data sheet.",
};

/**
 * Ways that help their link, those that reach the wanted chances first, the least effort first among them; where none
 * does, the one that helps most stands first.
 */
function worthwhile(
  ways: readonly TriedWay[],
  now: JudgedChain,
  job: Job,
  name: LinkName,
): readonly TriedWay[] {
  const together = (judged: JudgedChain) => judged.links[name]!.together;
  const helping = ways.filter((way) => together(way.judged) > together(now) + POINT);
  const byEffort = [...helping].sort((a, b) => a.minutes - b.minutes);
  const mending = byEffort.filter((way) => reaches(way.judged, job));
  if (mending.length > 0) return [...mending, ...byEffort.filter((way) => !mending.includes(way))];
  return byEffort.sort((a, b) => b.judged.counts - a.judged.counts || a.minutes - b.minutes);
}

function offered(ways: readonly TriedWay[], now: JudgedChain, job: Job, name: LinkName): WayView[] {
  return worthwhile(ways, now, job, name)
    .slice(0, WAYS_MAX)
    .map((way) => ({
      id: way.id,
      words: way.words,
      effect: effectOf(way, now, name),
      cost: way.cost,
      minutes: way.minutes,
      changes: way.changes.map((change) => ({ ...change })),
      mends: reaches(way.judged, job),
    }));
}

function effectOf(way: TriedWay, now: JudgedChain, name: LinkName): string {
  const before = now.links[name]!;
  const after = way.judged.links[name]!;
  const own = (['counts', 'comes off'] as const).flatMap((answer) => {
    const [from, to] = [before.shares[answer], after.shares[answer]];
    return from === null || to === null || Math.abs(to - from) < POINT
      ? []
      : [`${answer} ${showShareChange(from, to)}`];
  });
  const others = way.judged.order.flatMap((other) => {
    const [from, to] = [now.links[other], way.judged.links[other]];
    return other === name || !from || !to || Math.abs(to.together - from.together) < POINT
      ? []
      : [`${other}: ${showShareChange(from.together, to.together)}`];
  });
  return [...own, ...others].join(', ');
}

/** Twenty threads through the links, the lost ones first in the order of where they end. */
function runsView(judged: JudgedChain): RunsView {
  const names = [...judged.order, 'other mishaps'];
  const { lost, spoiled, counts } = judged.fates;
  const whole = wholeRuns([...lost, ...spoiled, counts], 20);
  const lostRuns = whole.slice(0, names.length);
  const spoiledRuns = whole.slice(names.length, 2 * names.length);
  const counting = whole.at(-1)!;
  const threads = [
    ...Array.from({ length: counting }, () => ({ lostAt: null, spoiledAt: null })),
    ...names.flatMap((name, l) =>
      Array.from({ length: spoiledRuns[l]! }, () => ({ lostAt: null, spoiledAt: name })),
    ),
    ...names.flatMap((name, l) =>
      Array.from({ length: lostRuns[l]! }, () => ({ lostAt: name, spoiledAt: null })),
    ),
  ];
  const told = (runs: readonly number[]) =>
    names.flatMap((link, l) => (runs[l]! > 0 ? [{ link, count: runs[l]! }] : []));
  return {
    threads,
    lost: told(lostRuns),
    spoiled: told(spoiledRuns),
    counts: counting,
    comeOff: counting + sumOf(spoiledRuns),
  };
}
