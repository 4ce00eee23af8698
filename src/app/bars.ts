import { batch, computed, effect, signal } from '@preact/signals';
import type { BarsView, Brought, CurvesSaid, JobState } from '../server/api.ts';
import { api, follow, Refused, uploadCurves } from './api.ts';
import { campaign, said } from './state.ts';

/** Broken bars of the open campaign, and the files of curves on their way into it. */
export const barsJob = signal<JobState | null>(null);
/** The last figures: they stay while new ones are computed. */
export const barsView = signal<BarsView | null>(null);
export const barsFaults = signal<readonly string[]>([]);
/** The bar whose curve, place and plate are shown. */
export const openBar = signal<string | null>(null);

export type CurvesFile = Readonly<{
  file: File;
  sent: number;
  job: JobState | null;
  /** What it is taken for, once it was read. */
  brought: Brought | null;
  /** Sentences that say why it cannot be kept. */
  refused: readonly string[];
  kept: boolean;
}>;
/** In the order they came; they are looked at one after the other, since a layout confirmed helps the next. */
export const queue = signal<readonly CurvesFile[]>([]);
/** The file that is being read, or waits for a yes. */
export const current = computed(
  () => queue.value.find(({ kept, refused }) => !kept && refused.length === 0) ?? null,
);

let stopBars: (() => void) | null = null;
let of: string | null = null;

effect(() => {
  const id = campaign.value?.id ?? null;
  if (id === of) return;
  of = id;
  stopBars?.();
  batch(() => {
    barsJob.value = null;
    barsView.value = null;
    barsFaults.value = [];
    openBar.value = null;
    queue.value = [];
  });
});

/** Reads and reduces the curves of the campaign; the figures shown stay until newer ones come. */
export async function loadBars(): Promise<void> {
  const id = campaign.value?.id;
  if (id === undefined) return;
  stopBars?.();
  barsFaults.value = [];
  try {
    const { job } = await api.bars(id);
    stopBars = follow(job, (state) => {
      if (campaign.value?.id !== id) return;
      batch(() => {
        barsJob.value = state;
        if (state.bars) barsView.value = state.bars;
        if (state.state === 'failed') barsFaults.value = state.problems.map(({ sentence }) => sentence);
      });
    });
  } catch (fault) {
    barsFaults.value = sentencesOf(fault);
  }
}

export async function stopBarsHere(): Promise<void> {
  const job = barsJob.value;
  if (job?.state === 'running') await api.stop(job.job).catch(() => undefined);
}

/** @returns sentences that say why it was not done */
export async function markBar(
  bar: string,
  leftOut: { reason: string; note: string } | null,
): Promise<readonly string[]> {
  const id = campaign.value?.id;
  if (id === undefined) return [];
  try {
    await api.markBar(id, bar, leftOut);
    said.value = leftOut === null ? `${bar} counts after all.` : `${bar} is left out.`;
    await loadBars();
    return [];
  } catch (fault) {
    return sentencesOf(fault);
  }
}

/** Fills in what only a person can say. @returns sentences that say why it was not done */
export async function fillIn(what: string, path: string, value: string): Promise<readonly string[]> {
  if (of === null) return [];
  try {
    await api.change(of, [{ path, value }]);
    said.value = `Filled in: ${what}.`;
    await loadBars();
    return [];
  } catch (fault) {
    return sentencesOf(fault);
  }
}

/** Takes files that were dropped or picked. */
export function bringCurves(files: readonly File[]): void {
  const names = new Set(files.map(({ name }) => name));
  const fresh = files.map(
    (file): CurvesFile => ({ file, sent: 0, job: null, brought: null, refused: [], kept: false }),
  );
  const before = current.value;
  queue.value = [...queue.value.filter(({ file }) => !names.has(file.name)), ...fresh];
  if (before === null || names.has(before.file.name)) void lookAtNext();
}

/** Leaves the list of files that came in; what was kept stays kept. */
export function closeBringing(): void {
  for (const { file, kept, brought } of queue.value)
    if (!kept && brought && of !== null) void api.leaveCurves(of, file.name).catch(() => undefined);
  queue.value = [];
}

async function lookAtNext(): Promise<void> {
  const next = current.value;
  const id = campaign.value?.id;
  if (!next || id === undefined) return;
  const { file } = next;
  try {
    const { job } = await uploadCurves(id, file, (sent) => update(file, { sent }));
    update(file, { sent: 1 });
    followLook(file, job);
  } catch (fault) {
    refuse(file, sentencesOf(fault));
  }
}

function followLook(file: File, job: string): void {
  follow(job, (state) => {
    update(file, { job: state, ...(state.brought ? { brought: state.brought } : {}) });
    if (state.state === 'failed' || state.state === 'stopped') {
      const stops = state.problems.map(({ sentence }) => sentence);
      refuse(file, stops.length > 0 ? stops : [`Stopped. Nothing of ${file.name} was kept.`]);
    } else if (state.state === 'done' && isSettled(state)) void keepCurves(file);
  });
}

/** Its layout was confirmed before and nothing is odd about it: there is nothing to ask. */
function isSettled({ brought, problems }: JobState): boolean {
  const reading = brought?.reading;
  return reading?.known === true && reading.questions.length === 0 && problems.length === 0;
}

/** The file as the person says it is: read anew and shown again. */
export async function correctCurves(file: File, words: CurvesSaid): Promise<readonly string[]> {
  if (of === null) return [];
  try {
    const { job } = await api.curvesSaid(of, file.name, words);
    followLook(file, job);
    return [];
  } catch (fault) {
    return sentencesOf(fault);
  }
}

export async function keepCurves(file: File): Promise<void> {
  if (of === null) return;
  try {
    await api.keepCurves(of, file.name);
    update(file, { kept: true });
    said.value = `${file.name} is kept.`;
    if (current.value) await lookAtNext();
    else await loadBars();
  } catch (fault) {
    refuse(file, sentencesOf(fault));
  }
}

export function leaveCurves(file: File): void {
  if (of !== null) void api.leaveCurves(of, file.name).catch(() => undefined);
  const job = queue.value.find((one) => one.file === file)?.job;
  if (job?.state === 'running') void api.stop(job.job).catch(() => undefined);
  const wasCurrent = current.value?.file === file;
  queue.value = queue.value.filter((one) => one.file !== file);
  if (!wasCurrent) return;
  if (current.value) void lookAtNext();
  else if (queue.value.some(({ kept }) => kept)) void loadBars();
}

function refuse(file: File, refused: readonly string[]): void {
  update(file, { refused });
  if (current.value) void lookAtNext();
  else if (queue.value.some(({ kept }) => kept)) void loadBars();
}

function update(file: File, change: Partial<CurvesFile>): void {
  queue.value = queue.value.map((one) => (one.file === file ? { ...one, ...change } : one));
}

function sentencesOf(fault: unknown): readonly string[] {
  if (fault instanceof Refused) return fault.faults.map(({ sentence }) => sentence);
  throw fault;
}
