import { makeJob } from '../../src/campaign/job.ts';
import { readCampaign } from '../../src/campaign/read.ts';
import { Draws } from '../../src/engine/draws.ts';
import { LINKS } from '../../src/engine/links/index.ts';
import type { Assessment, LinkName } from '../../src/engine/links/link.ts';
import { GRID, polymerOf, windingOf } from '../../src/engine/links/spool-params.ts';
import { waterOfShare } from '../../src/engine/moisture/polymer.ts';
import {
  fillState,
  layWinding,
  makeScratch,
  packState,
  stateWidth,
} from '../../src/engine/moisture/spool-state.ts';
import type { Job, Print } from '../../src/job.ts';
import { withPrints } from '../../src/work/asked-prints.ts';
import { narrow } from '../../src/work/assess.ts';
import { cardsFor } from '../../src/work/library.ts';

/** Scenes for facts and verification of the links from the box to the drive: campaigns as text, with the shipped cards. */

export const SEED = 7;
const HOUR = 3600;

/** A print as it would be read from a file: so many hours at a mean flow, 4.8 mm3/s unless said otherwise. */
export function print(plate: string, start: number, hours: number, flow = 4.8e-9): Print {
  return {
    plate,
    start: start * HOUR,
    time: hours * HOUR,
    mass: 1197 * flow * hours * HOUR,
    flow,
    from: 'file',
  };
}

/** The job of a campaign's text; its prints are those given, else what its plates ask for. @throws Error where the text is wrong */
export function jobOf(text: string, prints?: readonly Print[]): Job {
  const cards = cardsFor(null);
  const { campaign, problems } = readCampaign(`format: 1\ncampaign: a scene\n${text}`, {
    file: 'scene.yaml',
    cards,
  });
  if (!campaign) throw new Error(JSON.stringify(problems));
  const job = makeJob(campaign, cards);
  return prints
    ? { ...job, prints }
    : withPrints(
        job,
        job.plates.map((plate) => ({ plate, file: null, print: null, problems: [] })),
      );
}

export type Found = Partial<Record<LinkName, Assessment>>;

/** All links that are built, one after another on the same draws, each as narrow as in a worker. */
export function assessed(job: Job, draws: number, known: Found = {}): Found {
  const found: Found = { ...known };
  for (const link of LINKS) {
    if (found[link.name]) continue;
    const narrowed = narrow(job, link);
    const range = { seed: SEED, from: 0, to: draws };
    found[link.name] = link.assess(narrowed, new Draws(narrowed.entries, range), found, () => {});
  }
  return found;
}

/** Share of draws in which a check holds, without bias and scatter of the link. */
export function holds(found: Assessment, check: string): number {
  const { margin } = found.checks.find(({ name }) => name === check)!;
  return margin.filter((m) => m >= 1).length / margin.length;
}

export function median(values: ArrayLike<number>): number {
  const sorted = Array.from(values).sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

/**
 * What the link Dry would leave for spools with even water, drawn evenly between two shares: for facts that start from a
 * dried spool and say nothing of how it was dried.
 */
export function evenlyDried(job: Job, draws: number, from: number, to: number): Assessment {
  const columns = new Draws(job.entries, { seed: SEED, from: 0, to: draws });
  const share = columns.column('spool.water from the bag');
  const { law } = columns.entry('spool.water from the bag');
  if (law.kind !== 'even') throw new Error(`the law is ${law.kind}`);
  const width = stateWidth(GRID);
  const rows = new Float64Array(width * draws);
  const scratch = makeScratch(GRID);
  const water = new Float64Array(draws);
  for (let i = 0; i < draws; i++) {
    const room = columns.column('room.temperature')[i]!;
    const polymer = polymerOf(columns, i, room);
    layWinding(scratch, polymer, windingOf(columns, i, room));
    // The column of an unknown that plays no part here, stretched to the wanted shares.
    water[i] = from + ((to - from) * (share[i]! - law.low)) / (law.high - law.low);
    fillState(scratch, polymer, waterOfShare(water[i]!, polymer.fibreShare), room);
    packState(scratch.state, rows, i * width);
  }
  return {
    checks: [],
    traces: {},
    figures: { 'start water': water },
    carried: { 'dried spool': { width, rows } },
  };
}
