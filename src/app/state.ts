import { batch, computed, signal } from '@preact/signals';
import type {
  CampaignSummary,
  ChainView,
  Change,
  InputsView,
  JobState,
  LinkView,
  PrintView,
} from '../server/api.ts';
import { api, type Fault, follow, Refused } from './api.ts';

/** Everything the pages show, as plain values; what follows from them is computed, never kept twice. */
export const campaigns = signal<readonly CampaignSummary[] | null>(null);
export const campaign = signal<CampaignSummary | null>(null);
/** The plan as it stands: the job that computed it. */
export const planned = signal<JobState | null>(null);
/** The last chain of this campaign that had figures: shown in grey until newer ones come. */
export const earlier = signal<ChainView | null>(null);
/** What is being tried against the plan as it stands. */
export type Tried = Readonly<{
  changes: readonly Change[];
  /** What is tried, in words; `id` is that of the way or lever. */
  parts: readonly Readonly<{ id: string; words: string; changes: readonly Change[] }>[];
  state: JobState | null;
}>;
export const tried = signal<Tried | null>(null);
export const faults = signal<readonly Fault[]>([]);
/** Said when a number was changed and the figures are from before. */
export const outOfDate = signal<string | null>(null);
export const inputs = signal<InputsView | null>(null);
export const prints = signal<readonly PrintView[] | null>(null);
/** The last thing done, said politely to those who listen. */
export const said = signal('');

/** The chain on the screen: the one being tried once it has begun, else the plan as it stands. */
export const chain = computed<ChainView | null>(
  () => tried.value?.state?.chain ?? planned.value?.chain ?? earlier.value,
);
/** The job that is running now, if one is. */
export const running = computed<JobState | null>(() => {
  const job = tried.value ? tried.value.state : planned.value;
  return job?.state === 'running' ? job : null;
});

/** A link as the screen shows it: its own figures, or those from before in grey until its own are there. */
export type ShownLink = Readonly<{
  link: LinkView;
  figures: LinkView | null;
  fresh: boolean;
  planned: LinkView | null;
}>;

export function shownLinks(now: ChainView, before: ChainView | null, stands: ChainView | null): ShownLink[] {
  return now.links.map((link, index) => {
    const old = before?.links[index] ?? null;
    const own = link.ruling ? link : null;
    const waits = link.state === 'computing';
    return {
      link,
      figures: own ?? (waits && old?.ruling ? old : null),
      fresh: own !== null && !waits,
      planned: stands?.links[index] ?? null,
    };
  });
}

export const links = computed<ShownLink[]>(() => {
  const now = chain.value;
  if (!now) return [];
  const stands = tried.value ? (planned.value?.chain ?? earlier.value) : null;
  // A change may be tried before the plan has ended for the first time: its figures so far are then those from before.
  return shownLinks(now, earlier.value ?? stands, stands);
});

let stopPlan: (() => void) | null = null;
let stopTry: (() => void) | null = null;

export async function start(): Promise<void> {
  await attempt(async () => {
    campaigns.value = await api.campaigns();
    const first = campaigns.value[0];
    if (first && !campaign.value) open(first);
  });
}

/** Opens a campaign; its chain is computed at once. */
export function open(summary: CampaignSummary): void {
  stopPlan?.();
  stopTry?.();
  batch(() => {
    campaign.value = summary;
    planned.value = null;
    earlier.value = null;
    tried.value = null;
    outOfDate.value = null;
    inputs.value = null;
    prints.value = null;
    faults.value = [];
  });
  void compute();
}

/** A campaign that was just made stands first in the list and is opened. */
export function openNew(summary: CampaignSummary): void {
  campaigns.value = [summary, ...(campaigns.value ?? []).filter((other) => other.id !== summary.id)];
  open(summary);
}

/** Computes the plan as it stands; figures from before stay in grey until new ones come. */
export async function compute(): Promise<void> {
  const summary = campaign.value;
  if (!summary) return;
  stopPlan?.();
  await attempt(async () => {
    const { job } = await api.plan(summary.id, {});
    stopPlan = follow(job, (state) => {
      if (campaign.value?.id !== summary.id) return;
      batch(() => {
        planned.value = state;
        if (state.state === 'done' || state.state === 'stopped') {
          if (state.chain) earlier.value = state.chain;
          outOfDate.value = null;
          inputs.value = null;
          prints.value = null;
        }
      });
    });
  });
}

/** Tries changes on top of those already tried. Later changes of one place win. */
export async function tryOut(
  id: string,
  words: string,
  changes: readonly Change[],
): Promise<readonly Fault[]> {
  const others = (tried.value?.parts ?? []).filter(
    (part) =>
      part.id !== id && !part.changes.some((old) => changes.some((next) => samePlace(next.path, old.path))),
  );
  return tryParts([...others, { id, words, changes }]);
}

/** True where one change writes what the other does, or a part of it. */
function samePlace(a: string, b: string): boolean {
  return a === b || a.startsWith(`${b}.`) || b.startsWith(`${a}.`);
}

/** Stops the plan that is being tried and listens to it no more: nobody waits for its figures. */
function leaveTry(): void {
  const state = tried.value?.state;
  if (state?.state === 'running') void api.stop(state.job).catch(() => undefined);
  stopTry?.();
  stopTry = null;
}

async function tryParts(parts: Tried['parts']): Promise<readonly Fault[]> {
  const summary = campaign.value;
  if (!summary || !planned.value) return [];
  leaveTry();
  const changes = parts.flatMap((part) => part.changes);
  const before = tried.value;
  tried.value = { changes, parts, state: before?.state ?? null };
  try {
    const { job } = await api.plan(summary.id, { changes: [...changes] });
    stopTry = follow(job, (state) => {
      if (tried.value?.parts !== parts) return;
      tried.value = { changes, parts, state };
      if (state.state === 'done' && state.chain) said.value = state.chain.headline;
    });
    return [];
  } catch (fault) {
    tried.value = before;
    return faultsIn(fault);
  }
}

/** Puts one thing back, or all of them. */
export async function putBack(id?: string): Promise<void> {
  const now = tried.value;
  if (!now) return;
  const left = id === undefined ? [] : now.parts.filter((part) => part.id !== id);
  leaveTry();
  if (left.length === 0) {
    tried.value = null;
    said.value = 'Put back. The plan is as it was.';
    return;
  }
  const wrong = await tryParts(left);
  if (wrong.length > 0) faults.value = wrong;
}

/** Writes what is tried into the campaign file; the plan as it stands is then computed anew. */
export async function keep(): Promise<void> {
  const [summary, now] = [campaign.value, tried.value];
  if (!summary || !now) return;
  await attempt(async () => {
    const next = await api.change(summary.id, now.changes);
    stopTry?.();
    batch(() => {
      campaign.value = next;
      campaigns.value = (campaigns.value ?? []).map((other) => (other.id === next.id ? next : other));
      earlier.value = now.state?.chain ?? earlier.value;
      planned.value = null;
      tried.value = null;
      said.value = `Kept: ${now.parts.map((part) => part.words).join('; ')}.`;
    });
    await compute();
  });
}

/** Changes one number for good; all figures from it are out of date until computed again. */
export async function enter(words: string, changes: readonly Change[]): Promise<readonly Fault[]> {
  const summary = campaign.value;
  if (!summary) return [];
  try {
    const next = await api.change(summary.id, changes);
    batch(() => {
      campaign.value = next;
      outOfDate.value = words;
      said.value = words;
    });
    return [];
  } catch (fault) {
    return faultsIn(fault);
  }
}

/** Stops what runs; a chain stopped half way keeps what it has. */
export async function stopHere(): Promise<void> {
  const job = running.value;
  if (job) await attempt(async () => void (await api.stop(job.job)));
}

export async function loadInputs(): Promise<void> {
  const summary = campaign.value;
  if (!summary) return;
  await attempt(async () => {
    const view = await api.inputs(summary.id);
    if (campaign.value?.id === summary.id) inputs.value = view;
  });
}

export async function loadPrints(): Promise<void> {
  const summary = campaign.value;
  if (!summary) return;
  await attempt(async () => {
    const views = await api.prints(summary.id);
    if (campaign.value?.id === summary.id) prints.value = views;
  });
}

async function attempt(work: () => Promise<void>): Promise<void> {
  faults.value = [];
  try {
    await work();
  } catch (fault) {
    faults.value = faultsIn(fault);
  }
}

function faultsIn(fault: unknown): readonly Fault[] {
  if (fault instanceof Refused) return fault.faults;
  throw fault;
}
