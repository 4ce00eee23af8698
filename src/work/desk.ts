import { existsSync, mkdirSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { campaignFromAnswers } from '../campaign/answers.ts';
import { makeJob } from '../campaign/job.ts';
import { questionsFor } from '../campaign/questions.ts';
import { setInCampaign } from '../campaign/write.ts';
import { Draws } from '../engine/draws.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import { InputFault } from '../problem.ts';
import { inputsView } from '../report/inputs-view.ts';
import { printView } from '../report/print-view.ts';
import { answersAsText, asAnswered, questionsView } from '../report/questions-view.ts';
import type { CampaignSummary, ChainView, InputsView, PrintView, QuestionView } from '../report/views.ts';
import { plateName, usualJob } from './bare.ts';
import { barsFound } from './bars-found.ts';
import type { Cache } from './cache.ts';
import { gcodeCardOf } from './gcode-card.ts';
import { cardsFor, type OpenedCampaign, openCampaign } from './library.ts';
import { type Change, jobOf, type Planned, planCampaign } from './plan.ts';
import { plannedPrint } from './planned-print.ts';
import type { Pool } from './pool.ts';
import { type ReadPlate, readPlates, readPrint } from './prints.ts';
import { writeWhole } from './write-whole.ts';

/** Draws and seed where nobody says others. */
export const DRAWS = 256;
export const SEED = 7;

type OnDesk = { id: string; opened: OpenedCampaign; planned: Planned | null };

/** The campaigns that are open, and what a page may ask about them. Everything it keeps, it keeps in files. */
export class Desk {
  readonly uploads: string;
  readonly #folder: string;
  readonly #pool: Pool;
  readonly #cache: Cache;
  readonly #campaigns = new Map<string, OnDesk>();
  /** Files brought in, by the person's name for them. */
  readonly #brought = new Map<string, { path: string; print: PrintSummary | null }>();

  constructor(folder: string, pool: Pool, cache: Cache) {
    this.#folder = folder;
    this.uploads = join(folder, 'uploads');
    this.#pool = pool;
    this.#cache = cache;
  }

  /** Opens a campaign file. @throws InputFault */
  open(path: string): string {
    const opened = openCampaign(path);
    const id = this.#freeId(slug(opened.campaign.data.campaign));
    this.#campaigns.set(id, { id, opened, planned: null });
    return id;
  }

  list(): CampaignSummary[] {
    return [...this.#campaigns.values()].map(summaryOf);
  }

  /** Makes a campaign from the answers to the eight questions and the files brought in before. @throws InputFault */
  make(files: readonly string[], answers: Readonly<Record<string, string>>): CampaignSummary {
    const prints = files.map((name) => {
      const brought = this.#brought.get(name);
      if (!brought?.print)
        throw new InputFault([
          { code: 'no-file', message: `"${name}" was not read before.`, expected: 'a file brought in first' },
        ]);
      return { path: brought.path, print: brought.print };
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
    const opened = openCampaign(path, text);
    mkdirSync(dirname(path), { recursive: true });
    writeWhole(path, text);
    // The newest is the one that opens first.
    const others = [...this.#campaigns];
    this.#campaigns.clear();
    this.#campaigns.set(id, { id, opened, planned: null });
    for (const [other, campaign] of others) this.#campaigns.set(other, campaign);
    return summaryOf(this.#campaigns.get(id)!);
  }

  /** Writes tried changes into the campaign file; its comments stay. @throws InputFault and nothing is written */
  keep(id: string, changes: readonly Change[]): CampaignSummary {
    const campaign = this.#get(id);
    const { path, text } = campaign.opened;
    const kept = changes.reduce((so, change) => setInCampaign(so, change.path, change.value), text);
    campaign.opened = openCampaign(path, kept);
    writeWhole(path, kept);
    campaign.planned = null;
    return summaryOf(campaign);
  }

  /** Checks a wish for a plan; the answer starts the work. @throws InputFault for changes that do not fit */
  checkPlan(
    id: string,
    wish: { changes?: readonly Change[] | undefined; draws?: number | undefined; seed?: number | undefined },
  ) {
    const campaign = this.#get(id);
    const changes = wish.changes ?? [];
    jobOf(campaign.opened, changes);
    const rest = { draws: wish.draws ?? DRAWS, seed: wish.seed ?? SEED };
    return async (wires: {
      signal: AbortSignal;
      onChain(view: ChainView, share: number, doing: string): void;
    }): Promise<void> => {
      const shared = { pool: this.#pool, cache: this.#cache, signal: wires.signal };
      const { opened } = campaign;
      if (changes.length === 0) {
        const planned = await planCampaign(
          opened,
          { ...rest, changes },
          { ...shared, onChain: wires.onChain },
        );
        if (campaign.opened === opened) campaign.planned = planned;
        wires.onChain(planned.view, 1, '');
        return;
      }
      const before = campaign.planned ?? (await planCampaign(opened, { ...rest, changes: [] }, shared));
      const tried = await planCampaign(
        opened,
        { ...rest, changes, before },
        { ...shared, onChain: wires.onChain },
      );
      wires.onChain(tried.view, 1, '');
    };
  }

  /** @throws InputFault where no plan was computed yet */
  inputs(id: string): InputsView {
    const { planned, opened } = this.#get(id);
    const job = planned?.job ?? makeJob(opened.campaign, opened.cards, dirname(opened.path));
    if (!planned?.judged)
      throw new InputFault([
        {
          code: 'not-computed',
          message: 'The chain is not computed yet.',
          expected: 'the Chain page to be opened first',
        },
      ]);
    const draws = new Draws(job.entries, { seed: planned.view.seed, from: 0, to: planned.view.draws });
    return inputsView(job, planned.judged, draws);
  }

  async prints(id: string, signal: AbortSignal): Promise<PrintView[]> {
    const { planned, opened } = this.#get(id);
    const job = planned?.job ?? makeJob(opened.campaign, opened.cards, dirname(opened.path));
    const plates: readonly ReadPlate[] =
      planned?.plates ?? (await readPlates(job, { pool: this.#pool, cache: this.#cache, signal }));
    return plates.flatMap((read) =>
      read.print
        ? [
            printView(read.print, {
              file: read.file!,
              entries: job.entries,
              plate: read.plate.name,
              planned: plannedPrint(job, read.plate),
            }),
          ]
        : [],
    );
  }

  /** The work of reading a file that was brought in; it is remembered by its name. */
  checkRead(path: string) {
    return async (wires: {
      signal: AbortSignal;
      onProgress(share: number, doing: string): void;
    }): Promise<PrintView> => {
      const print = await readPrint(path, gcodeCardOf(usualJob()), undefined, {
        pool: this.#pool,
        cache: this.#cache,
        signal: wires.signal,
        onProgress: (share) => wires.onProgress(share, `Reading ${basename(path)}`),
      });
      this.#brought.set(basename(path), { path, print });
      return printView(print, {
        file: basename(path),
        entries: usualJob().entries,
        plate: null,
        planned: null,
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
    return campaign;
  }

  #freeId(wanted: string): string {
    let id = wanted;
    for (let k = 2; this.#campaigns.has(id) || existsSync(join(this.#folder, 'campaigns', id)); k++)
      id = `${wanted}-${k}`;
    return id;
  }
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
