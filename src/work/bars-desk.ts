import { copyFileSync, existsSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { dirname, extname, join } from 'node:path';
import type { Layout } from '../engine/curves/reading.ts';
import type { FileResults } from '../engine/results/file-results.ts';
import { InputFault, type Problem } from '../problem.ts';
import type { BarsFound } from '../report/bars-found.ts';
import { barsView } from '../report/bars-view.ts';
import { readingView } from '../report/reading-view.ts';
import { reportCsv, reportJson } from '../report/report-data.ts';
import { reportPage } from '../report/report-page.ts';
import type { BarsView, ReadingView } from '../report/results-views.ts';
import {
  barsFound,
  curvesOf,
  NOT_PRINTED,
  printedOf,
  readCurveFiles,
  refuseStrangers,
  type WaterWish,
} from './bars.ts';
import type { Cache } from './cache.ts';
import { areKnown, type ColumnSaid, confirmedLayouts, corrected, rememberLayouts } from './layouts.ts';
import { jobIn, type OpenedCampaign } from './library.ts';
import { type Change, withChanges } from './plan.ts';
import type { Pool } from './pool.ts';
import { reportMade } from './report-files.ts';
import { makeFolder, unwritable } from './write-whole.ts';

/** What the campaigns on the desk lend to the work on their bars. */
type Wires = Readonly<{
  pool: Pool;
  cache: Cache;
  wish: WaterWish;
  /** A campaign as its file stands now. @throws InputFault where it is not open */
  opened(id: string): OpenedCampaign;
  /** Writes changes into its file; a value of null takes the key out. @throws InputFault and nothing is written */
  write(id: string, changes: readonly Changed[]): void;
}>;
export type Changed = Readonly<{ path: string; value: string | null }>;

/** A file of curves that waits for the person's yes. */
type Brought = {
  path: string;
  name: string;
  /** What the person said it is, in place of what was guessed. */
  layouts: readonly Layout[];
  /** Name in the file -> bar of the campaign. */
  called: Readonly<Record<string, string>>;
  found: FileResults | null;
};

export type BroughtView = { reading: ReadingView; campaignBars: string[] };
type Look = Readonly<{ view: BroughtView; problems: readonly Problem[] }>;

/** What a person says of a file: columns, decimal sign, and which bar a name in it means. */
export type Said = Readonly<{
  columns: readonly ColumnSaid[];
  decimal: '.' | ',' | null;
  called: Readonly<Record<string, string>>;
}>;

/** Share of the work of a campaign's bars that is reading their curves; the rest is the water at the prints. */
const READING = 0.2;

/** Broken bars of the campaigns on the desk: curves come in, bars are marked, the report is made. */
export class BarsDesk {
  readonly #wires: Wires;
  readonly #brought = new Map<string, Brought>();

  constructor(wires: Wires) {
    this.#wires = wires;
  }

  /** Reads and reduces the curves of a campaign. `onBars` hears first without, then with the water at the prints. */
  checkBars(id: string) {
    this.#wires.opened(id);
    return async (wires: {
      signal: AbortSignal;
      onBars(view: BarsView | null, share: number, doing: string): void;
    }): Promise<void> => {
      await this.#found(id, wires.signal, (found, share, doing) =>
        wires.onBars(found && barsView(found), share, doing),
      );
    };
  }

  /**
   * A look at a file that was brought in. Nothing of it is kept before the person says so.
   * @param path where it lies for the time being; it is taken away where it cannot be read
   */
  bring(id: string, path: string, name: string) {
    this.#wires.opened(id);
    const brought: Brought = { path, name, layouts: [], called: {}, found: null };
    return async (wires: { signal: AbortSignal; onProgress(share: number): void }): Promise<Look> => {
      try {
        const look = await this.#look(id, brought, wires);
        this.#brought.set(keyOf(id, name), brought);
        return look;
      } catch (error) {
        rmSync(dirname(path), { recursive: true, force: true });
        throw error;
      }
    };
  }

  /** The same file with what the person says of it. @throws InputFault on a column, role or unit that is not there */
  correct(id: string, name: string, said: Said) {
    const brought = this.#waiting(id, name);
    const layouts = corrected(brought.found!.reading.layouts, said.columns, said.decimal);
    const isSaid = said.columns.length > 0 || said.decimal !== null;
    return async (wires: { signal: AbortSignal; onProgress(share: number): void }): Promise<Look> => {
      const next: Brought = {
        ...brought,
        layouts: isSaid ? layouts : brought.layouts,
        called: { ...brought.called, ...said.called },
      };
      const look = await this.#look(id, next, wires);
      this.#brought.set(keyOf(id, name), next);
      return look;
    };
  }

  /**
   * The person has seen the file and says that it is right: its bytes go beside the campaign as they came, its name into
   * the campaign, its layout is remembered.
   * @throws InputFault and nothing is kept
   */
  async keep(id: string, name: string, signal: AbortSignal): Promise<void> {
    const brought = this.#waiting(id, name);
    const opened = this.#wires.opened(id);
    const job = jobIn(withChanges(opened, calledChanges(brought)));
    refuseStrangers(job, [...(await this.#stored(id, signal)), brought.found!]);
    const place = freePlace(join(dirname(opened.path), 'curves'), name, brought.path);
    const temporary = `${place.path}.${process.pid}.part`;
    try {
      if (!place.wasThere) {
        makeFolder(dirname(place.path));
        copyFileSync(brought.path, temporary);
        renameSync(temporary, place.path);
      }
      this.#wires.write(id, [
        ...calledChanges(brought),
        { path: 'test.curves.-', value: `curves/${place.name}` },
      ]);
    } catch (error) {
      rmSync(temporary, { force: true });
      if (!place.wasThere) rmSync(place.path, { force: true });
      throw unwritable(name, error);
    }
    rememberLayouts(brought.found!.reading.layouts);
    this.leave(id, name);
  }

  /** Forgets a file that was brought in. */
  leave(id: string, name: string): void {
    const brought = this.#brought.get(keyOf(id, name));
    if (!brought) return;
    this.#brought.delete(keyOf(id, name));
    rmSync(dirname(brought.path), { recursive: true, force: true });
  }

  /** Leaves a bar out, with a reason of the standard and a note, or counts it after all; its note then stays. */
  mark(id: string, bar: string, leftOut: Readonly<{ reason: string; note: string }> | null): void {
    const known = jobIn(this.#wires.opened(id)).plates.some(({ bars }) => bars.some((one) => one.id === bar));
    if (!known)
      throw new InputFault([{ code: 'no-bar', message: `There is no bar "${bar}" in this campaign.` }]);
    if (leftOut !== null && leftOut.note.trim() === '')
      throw new InputFault([
        {
          code: 'no-note',
          message: `${bar} is not left out without a note.`,
          where: { path: 'note' },
          expected: 'what was seen, and by whom',
        },
      ]);
    this.#wires.write(
      id,
      leftOut === null
        ? [{ path: `test.bars.${bar}.left out`, value: null }]
        : [
            { path: `test.bars.${bar}.left out`, value: leftOut.reason },
            { path: `test.bars.${bar}.note`, value: JSON.stringify(leftOut.note.trim()) },
          ],
    );
  }

  /** The report and its data, as one would write them. @throws InputFault where no bar is broken yet */
  async report(id: string, signal: AbortSignal): Promise<{ html: string; csv: string; json: string }> {
    const found = await this.#found(id, signal, () => {});
    const view = barsView(found);
    if (found.series.length === 0)
      throw new InputFault([
        { code: 'no-bars', message: 'No bar is broken yet.', expected: 'curves to be brought in first' },
      ]);
    const made = reportMade(`${id}-report.html`, this.#wires.wish);
    return {
      html: reportPage(found, view, made),
      csv: reportCsv(found),
      json: reportJson(found, view, made),
    };
  }

  async #found(
    id: string,
    signal: AbortSignal,
    onFound: (found: BarsFound | null, share: number, doing: string) => void,
  ): Promise<BarsFound> {
    const { pool, cache, wish } = this.#wires;
    const opened = this.#wires.opened(id);
    const job = jobIn(opened);
    const files = await readCurveFiles(job, curvesOf(job), confirmedLayouts(), {
      pool,
      signal,
      onProgress: (share) => onFound(null, READING * share, 'Reading curves'),
    });
    refuseStrangers(job, files);
    const dry = barsFound(job, files, NOT_PRINTED);
    if (dry.series.length === 0) {
      onFound(dry, 1, '');
      return dry;
    }
    onFound(dry, READING, 'Water at the prints');
    const printed = await printedOf(opened, wish, {
      pool,
      cache,
      signal,
      onProgress: (share) => onFound(dry, READING + (1 - READING) * share, 'Water at the prints'),
    });
    const found = barsFound(job, files, printed);
    onFound(found, 1, '');
    return found;
  }

  async #look(
    id: string,
    brought: Brought,
    { signal, onProgress }: { signal: AbortSignal; onProgress(share: number): void },
  ): Promise<Look> {
    const job = jobIn(withChanges(this.#wires.opened(id), calledChanges(brought)));
    const before = confirmedLayouts();
    const [found] = await readCurveFiles(job, [brought], [...brought.layouts, ...before], {
      pool: this.#wires.pool,
      signal,
      onProgress,
    });
    brought.found = found!;
    const isKnown = areKnown(found!.reading.layouts, before);
    return {
      view: {
        reading: readingView(found!, isKnown && brought.layouts.length === 0),
        campaignBars: job.plates.flatMap(({ bars }) => bars.map((bar) => bar.id)),
      },
      problems: await this.#strangersOf(id, job, found!, signal),
    };
  }

  async #strangersOf(
    id: string,
    job: ReturnType<typeof jobIn>,
    found: FileResults,
    signal: AbortSignal,
  ): Promise<readonly Problem[]> {
    try {
      refuseStrangers(job, [...(await this.#stored(id, signal)), found]);
      return [];
    } catch (error) {
      if (!(error instanceof InputFault)) throw error;
      return error.problems;
    }
  }

  /** Files that the campaign has already; those that cannot be read are told of where the bars are asked for. */
  async #stored(id: string, signal: AbortSignal): Promise<FileResults[]> {
    const job = jobIn(this.#wires.opened(id));
    try {
      return await readCurveFiles(job, curvesOf(job), confirmedLayouts(), { pool: this.#wires.pool, signal });
    } catch (error) {
      if (!(error instanceof InputFault)) throw error;
      return [];
    }
  }

  #waiting(id: string, name: string): Brought {
    const brought = this.#brought.get(keyOf(id, name));
    if (!brought)
      throw new InputFault([
        { code: 'no-file', message: `"${name}" was not read before.`, expected: 'a file brought in first' },
      ]);
    return brought;
  }
}

const keyOf = (id: string, name: string) => `${id}\n${name}`;

function calledChanges({ called }: Brought): Change[] {
  return Object.entries(called).map(([name, bar]) => ({
    path: `test.bars.${bar}.called`,
    value: JSON.stringify(name),
  }));
}

/** A name in the folder that no other file has, or that of the same bytes. */
function freePlace(folder: string, name: string, bytes: string) {
  const ending = extname(name);
  const stem = name.slice(0, name.length - ending.length);
  for (let k = 1; ; k++) {
    const wanted = k === 1 ? name : `${stem}-${k}${ending}`;
    const path = join(folder, wanted);
    if (!existsSync(path)) return { path, name: wanted, wasThere: false };
    // A file that lies there though the campaign does not name it is taken as it is, where it is the same.
    if (readFileSync(path).equals(readFileSync(bytes))) return { path, name: wanted, wasThere: true };
  }
}
