import { existsSync, readdirSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { campaignFromAnswers } from '../campaign/answers.ts';
import { questionsFor } from '../campaign/questions.ts';
import { setInCampaign } from '../campaign/write.ts';
import { Draws } from '../engine/draws.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import { InputFault, type Problem } from '../problem.ts';
import { inputsView } from '../report/inputs-view.ts';
import { printView } from '../report/print-view.ts';
import { answersAsText, asAnswered, questionsView } from '../report/questions-view.ts';
import type { CampaignSummary, ChainView, InputsView, PrintView, QuestionView } from '../report/views.ts';
import { openAnswered, plateName, usualJob } from './bare.ts';
import { BarsDesk } from './bars-desk.ts';
import { barsFound, lyingOf } from './bars-found.ts';
import type { Cache } from './cache.ts';
import { gcodeCardOf } from './gcode-card.ts';
import { cardsFor, jobIn, type OpenedCampaign, openCampaign } from './library.ts';
import { type Change, type Planned, planCampaign, withChanges } from './plan.ts';
import { plateView } from './planned-print.ts';
import type { Pool } from './pool.ts';
import { readPlates, readPrint } from './prints.ts';
import { makeFolder, writeWhole } from './write-whole.ts';

/** Draws and seed where nobody says others. */
export const DRAWS = 256;
export const SEED = 7;

/** `onChain` hears of the chain as it comes, the share done, and what is being done. */
type PlanWires = Readonly<{
  signal: AbortSignal;
  onChain(view: ChainView, share: number, doing: string): void;
}>;

type OnDesk = {
  id: string;
  opened: OpenedCampaign;
  planned: Planned | null;
  /** Settles when the plan as it stands that is being computed has its first figures, or has failed. */
  running?: Promise<unknown>;
};

/** The campaigns that are open, and what a page may ask about them. Everything it keeps, it keeps in files. */
export class Desk {
  readonly uploads: string;
  /** Where files of curves wait for a yes. */
  readonly brought: string;
  readonly bars: BarsDesk;
  readonly #folder: string;
  readonly #pool: Pool;
  readonly #cache: Cache;
  readonly #campaigns = new Map<string, OnDesk>();
  /** Files brought in, by the person's name for them. */
  readonly #brought = new Map<string, { path: string; print: PrintSummary }>();

  constructor(folder: string, pool: Pool, cache: Cache) {
    this.#folder = folder;
    this.uploads = join(folder, 'uploads');
    this.brought = join(folder, 'brought');
    this.#pool = pool;
    this.#cache = cache;
    this.bars = new BarsDesk({
      pool,
      cache,
      wish: { draws: DRAWS, seed: SEED },
      opened: (id) => this.#get(id).opened,
      write: (id, changes) => {
        const campaign = this.#get(id);
        const { path, name, text } = campaign.opened;
        const next = openCampaign(
          path,
          name,
          changes.reduce((kept, change) => setInCampaign(kept, change.path, change.value), text),
        );
        writeWhole(path, next.text);
        campaign.opened = next;
      },
    });
  }

  /** Opens a campaign file. @param name as the person typed it. @throws InputFault */
  open(path: string, name = path): string {
    const opened = openCampaign(path, name);
    const id = this.#freeId(slug(opened.campaign.data.campaign));
    this.#campaigns.set(id, { id, opened, planned: null });
    return id;
  }

  /** Opens what was made here before, the newest first. @returns why some of them cannot be opened */
  openMade(): Problem[] {
    const folder = join(this.#folder, 'campaigns');
    const made = (existsSync(folder) ? readdirSync(folder) : [])
      .map((id) => ({ id, path: join(folder, id, 'campaign.yaml') }))
      .flatMap((one) => (existsSync(one.path) ? [{ ...one, time: statSync(one.path).mtimeMs }] : []))
      .sort((a, b) => b.time - a.time);
    return made.flatMap(({ id, path }) => {
      try {
        this.#campaigns.set(id, { id, opened: openCampaign(path), planned: null });
        return [];
      } catch (error) {
        if (!(error instanceof InputFault)) throw error;
        return error.problems;
      }
    });
  }

  list(): CampaignSummary[] {
    return [...this.#campaigns.values()].map(summaryOf);
  }

  /** Files that open campaigns are made of, and those brought in since the start. */
  filesInUse(): ReadonlySet<string> {
    const planned = [...this.#campaigns.values()].flatMap(({ opened }) => {
      const { folder, plates } = jobIn(opened);
      return plates.flatMap(({ print }) => (print?.kind === 'gcode' ? [resolve(folder, print.file)] : []));
    });
    return new Set([...planned, ...[...this.#brought.values()].map(({ path }) => path)]);
  }

  /** Makes a campaign from the answers to the eight questions and the files brought in before. @throws InputFault */
  make(files: readonly string[], answers: Readonly<Record<string, string>>): CampaignSummary {
    const prints = files.map((name) => {
      const brought = this.#brought.get(name);
      if (!brought)
        throw new InputFault([
          { code: 'no-file', message: `"${name}" was not read before.`, expected: 'a file brought in first' },
        ]);
      return brought;
    });
    const name = files[0] ?? 'campaign';
    const id = this.#freeId(slug(name));
    const text = campaignFromAnswers({
      campaign: name,
      plates: prints.map(({ path, print }, k) => ({
        name: plateName(k),
        gcode: path,
        bars: barsFound(print).flatMap((bar) => asAnswered(bar, files[k]!, answers) ?? []),
      })),
      fields: answersAsText(questionsFor(cardsFor(null)), answers),
    });
    const path = join(this.#folder, 'campaigns', id, 'campaign.yaml');
    const opened = openAnswered(path, text, (field) => field);
    makeFolder(dirname(path));
    writeWhole(path, text);
    // The newest is the one that opens first.
    const others = [...this.#campaigns];
    this.#campaigns.clear();
    this.#campaigns.set(id, { id, opened, planned: null });
    for (const [other, campaign] of others) this.#campaigns.set(other, campaign);
    return summaryOf(this.#campaigns.get(id)!);
  }

  /** Writes changes into the campaign file; all else in it stays. @throws InputFault and nothing is written */
  keep(id: string, changes: readonly Change[]): CampaignSummary {
    const campaign = this.#get(id);
    const past = changes.find(({ path }) => /^kit\.dryer\.(card|at|temperature)$/.test(path));
    if (past && jobIn(campaign.opened).drying.weighings.length > 0)
      throw new InputFault([
        {
          code: 'past',
          message: 'This drying was weighed: what it was set to cannot be changed afterwards.',
          where: { path: past.path },
          expected: 'the drying as it was; take its weighings back first where they were wrong',
        },
      ]);
    const kept = withChanges(campaign.opened, changes);
    writeWhole(kept.path, kept.text);
    campaign.opened = kept;
    // What is said of the test changes nothing in the plan.
    if (!changes.every(({ path }) => path.startsWith('test.'))) campaign.planned = null;
    return summaryOf(campaign);
  }

  /** Checks a wish for a plan; the answer starts the work. @throws InputFault for changes that do not fit */
  checkPlan(
    id: string,
    wish: { changes?: readonly Change[] | undefined; draws?: number | undefined; seed?: number | undefined },
  ) {
    const campaign = this.#get(id);
    const changes = wish.changes ?? [];
    withChanges(campaign.opened, changes);
    const rest = { draws: wish.draws ?? DRAWS, seed: wish.seed ?? SEED };
    return async (wires: PlanWires): Promise<Planned> => {
      const shared = { pool: this.#pool, cache: this.#cache, signal: wires.signal };
      const { opened } = campaign;
      const { planned } = campaign;
      if (changes.length === 0) {
        let figuresThere: () => void = () => {};
        const firstFigures = new Promise<void>((done) => {
          figuresThere = done;
        });
        const onJudged = (plan: Planned) => {
          if (campaign.opened === opened) campaign.planned = plan;
          figuresThere();
        };
        const running = planCampaign(
          opened,
          { ...rest, changes },
          { ...shared, onChain: wires.onChain, onJudged },
        );
        // Whoever waits asks only whether it has come so far; why it did not is told to whoever began it.
        campaign.running = Promise.race([running, firstFigures]).catch(() => undefined);
        const plan = await running;
        onJudged(plan);
        return plan;
      }
      const before = isOf(planned, rest)
        ? planned
        : await planCampaign(opened, { ...rest, changes: [] }, shared);
      return planCampaign(opened, { ...rest, changes, before }, { ...shared, onChain: wires.onChain });
    };
  }

  /** The plan of a campaign as it stands. @throws InputFault, Cancelled */
  plan(id: string, wires: PlanWires): Promise<Planned> {
    return this.checkPlan(id, {})(wires);
  }

  /** @throws InputFault where no plan was computed yet */
  async inputs(id: string): Promise<InputsView> {
    // A page may ask while the chain is still computed: its inputs come with it.
    if (!this.#get(id).planned) await this.#get(id).running;
    const { planned } = this.#get(id);
    if (!planned?.judged)
      throw new InputFault([
        {
          code: 'not-computed',
          message: 'The chain is not computed yet.',
          expected: 'the Chain page to be opened first',
        },
      ]);
    const { job, judged, view } = planned;
    return inputsView(job, judged, new Draws(job.entries, { seed: view.seed, from: 0, to: view.draws }));
  }

  async prints(id: string, signal: AbortSignal): Promise<PrintView[]> {
    const { planned, opened } = this.#get(id);
    const job = planned?.job ?? jobIn(opened);
    const plates =
      planned?.plates ?? (await readPlates(job, { pool: this.#pool, cache: this.#cache, signal }));
    return plates.flatMap((read) => plateView(job, read) ?? []);
  }

  /** The work of reading a file that was brought in; it is remembered by its name. */
  checkRead(path: string) {
    return async (wires: {
      signal: AbortSignal;
      onProgress(share: number, doing: string): void;
    }): Promise<PrintView> => {
      const name = basename(path);
      const job = usualJob();
      const print = await readPrint({ path, name }, gcodeCardOf(job), {
        pool: this.#pool,
        cache: this.#cache,
        signal: wires.signal,
        onProgress: (share) => wires.onProgress(share, `Reading ${name}`),
      });
      this.#brought.set(name, { path, print });
      return printView(print, {
        file: name,
        entries: job.entries,
        plate: null,
        planned: null,
        lying: lyingOf(print),
      });
    };
  }

  questions(files: readonly string[]): QuestionView[] {
    const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    return questionsView(
      questionsFor(cardsFor(null), zone),
      files.flatMap((name) => {
        const print = this.#brought.get(name)?.print;
        return print ? [{ file: name, bars: barsFound(print) }] : [];
      }),
    );
  }

  #get(id: string): OnDesk {
    const campaign = this.#campaigns.get(id);
    if (!campaign)
      throw new InputFault([{ code: 'no-campaign', message: `There is no campaign "${id}" open.` }]);
    // The file and the cards beside it are the truth: what was written there by other means since then counts.
    const { path, name } = campaign.opened;
    const now = openCampaign(path, name);
    if (!isSame(now, campaign.opened)) {
      campaign.opened = now;
      campaign.planned = null;
    }
    return campaign;
  }

  #freeId(wanted: string): string {
    let id = wanted;
    for (let k = 2; this.#campaigns.has(id) || existsSync(join(this.#folder, 'campaigns', id)); k++)
      id = `${wanted}-${k}`;
    return id;
  }
}

/** A plan may be compared with another where both stand on the same draws. */
function isOf(planned: Planned | null, { draws, seed }: { draws: number; seed: number }): planned is Planned {
  return planned !== null && planned.view.draws === draws && planned.view.seed === seed;
}

function isSame(a: OpenedCampaign, b: OpenedCampaign): boolean {
  return a.text === b.text && JSON.stringify(jobIn(a)) === JSON.stringify(jobIn(b));
}

function summaryOf({ id, opened }: OnDesk): CampaignSummary {
  const { data } = opened.campaign;
  const plates = data.plates ?? [];
  return {
    id,
    name: data.campaign,
    invented: data.invented ?? false,
    bars: plates.reduce((sum, plate) => sum + Object.keys(plate.bars ?? {}).length, 0),
    plates: plates.length,
    problems: [],
  };
}

function slug(text: string): string {
  return (
    text
      .toLowerCase()
      .replace(/\.[a-z0-9]+$/, '')
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 40) || 'campaign'
  );
}
