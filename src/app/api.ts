import { signal } from '@preact/signals';
import type {
  Answers,
  CampaignSummary,
  Change,
  CurvesSaid,
  InputsView,
  JobCreated,
  JobState,
  PlanRequest,
  PrintView,
  QuestionView,
} from '../server/api.ts';

/** A request that was refused, with every sentence that says why. `path` names the field it is about. */
export class Refused extends Error {
  readonly faults: readonly Fault[];

  constructor(faults: readonly Fault[]) {
    super(faults.map((fault) => fault.sentence).join(' '));
    this.faults = faults;
  }
}
/** `words`: the same without its place, where a field that has a label says it. */
export type Fault = Readonly<{ sentence: string; path: string | null; words?: string }>;

/** Since when the server has not answered, in ms since 1970; null while it does. */
export const silentSince = signal<number | null>(null);

type Complaint = {
  message: string;
  expected?: string;
  where?: { file?: string; line?: number; column?: number; path?: string };
};

/** The sentence of a refusal: what, where, what was expected. */
export function faultOf({ message, expected, where }: Complaint): Fault {
  const place = [where?.file, where?.line === undefined ? undefined : `line ${where.line}`, where?.path]
    .filter((part) => part !== undefined && part !== '')
    .join(', ');
  const words = expected ? `${message} Expected ${expected}.` : message;
  return { sentence: place ? `${place}: ${words}` : words, path: where?.path ?? null, words };
}

export function faultsOf(body: unknown, status: number): Fault[] {
  const { error, errors } = (body ?? {}) as { error?: Complaint; errors?: Complaint[] };
  const complaints = [...(errors ?? []), ...(error ? [error] : [])];
  if (complaints.length > 0) return complaints.map(faultOf);
  return [
    { sentence: `Bonedry answered with status ${status} and no words. What is shown stays.`, path: null },
  ];
}

async function call<T>(method: string, path: string, body?: unknown): Promise<T> {
  let response: Response;
  try {
    response = await fetch(`/api${path}`, {
      method,
      ...(body === undefined
        ? {}
        : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
    });
  } catch {
    silentSince.value ??= Date.now();
    throw new Refused([
      { sentence: 'Bonedry does not answer. Is it still running on this computer?', path: null },
    ]);
  }
  silentSince.value = null;
  const answer: unknown = response.status === 204 ? null : await response.json().catch(() => null);
  if (!response.ok) throw new Refused(faultsOf(answer, response.status));
  return answer as T;
}

const named = encodeURIComponent;
const curvesPath = (campaign: string, file: string) => `/curves/${named(campaign)}/${named(file)}`;
/** Where the report of a campaign stands, or its data. */
export const reportAddress = (campaign: string, what: 'html' | 'csv' | 'json') =>
  `/api/campaigns/${named(campaign)}/report.${what}`;

export const api = {
  campaigns: () => call<CampaignSummary[]>('GET', '/campaigns'),
  create: (files: readonly string[], answers: Answers) =>
    call<CampaignSummary>('POST', '/campaigns', { files, answers }),
  change: (campaign: string, changes: readonly Change[]) =>
    call<CampaignSummary>('PATCH', `/campaigns/${named(campaign)}`, { changes }),
  plan: (campaign: string, request: PlanRequest) =>
    call<JobCreated>('POST', `/campaigns/${named(campaign)}/plan`, request),
  inputs: (campaign: string) => call<InputsView>('GET', `/campaigns/${named(campaign)}/inputs`),
  prints: (campaign: string) => call<PrintView[]>('GET', `/campaigns/${named(campaign)}/prints`),
  bars: (campaign: string) => call<JobCreated>('POST', `/campaigns/${named(campaign)}/bars`),
  markBar: (campaign: string, bar: string, leftOut: { reason: string; note: string } | null) =>
    call<unknown>('PUT', `/campaigns/${named(campaign)}/bars/${named(bar)}`, { leftOut }),
  curvesSaid: (campaign: string, file: string, said: CurvesSaid) =>
    call<JobCreated>('POST', curvesPath(campaign, file), said),
  keepCurves: (campaign: string, file: string) => call<unknown>('PUT', `${curvesPath(campaign, file)}/kept`),
  leaveCurves: (campaign: string, file: string) => call<unknown>('DELETE', curvesPath(campaign, file)),
  questions: (files: readonly string[]) =>
    call<QuestionView[]>('GET', `/questions?files=${files.map(named).join(',')}`),
  job: (job: string) => call<JobState>('GET', `/jobs/${named(job)}`),
  stop: (job: string) => call<JobCreated>('DELETE', `/jobs/${named(job)}`),
};

/** Sends a file of curves to be looked at. */
export function uploadCurves(campaign: string, file: File, onShare: (share: number) => void) {
  return upload(file, onShare, curvesPath(campaign, file.name));
}

/** Sends a file as it is; `fetch` tells no upload progress, so this is the one place with XMLHttpRequest. */
export function upload(
  file: File,
  onShare: (share: number) => void,
  path = `/files/${named(file.name)}`,
): Promise<JobCreated> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('PUT', `/api${path}`);
    request.responseType = 'json';
    request.upload.onprogress = (event) => {
      if (event.lengthComputable && event.total > 0) onShare(event.loaded / event.total);
    };
    request.onload = () => {
      if (request.status >= 200 && request.status < 300) resolve(request.response as JobCreated);
      else reject(new Refused(faultsOf(request.response, request.status)));
    };
    request.onerror = () =>
      reject(
        new Refused([
          {
            sentence: `${file.name} could not be sent. Is it a folder, or has it moved, or has Bonedry stopped?`,
            path: null,
          },
        ]),
      );
    request.send(file);
  });
}

/**
 * Follows a job until it ends: each state it sends, over server-sent events. The browser connects anew by itself;
 * meanwhile `silentSince` says that there is no contact.
 * @returns a function that stops listening (not the job)
 */
export function follow(job: string, onState: (state: JobState) => void): () => void {
  const events = new EventSource(`/api/jobs/${named(job)}/events`);
  let over = false;
  const close = () => {
    over = true;
    events.close();
  };
  const take = (state: JobState) => {
    if (over) return;
    if (state.state !== 'running') close();
    onState(state);
  };
  events.addEventListener('state', (event) =>
    take(JSON.parse((event as MessageEvent<string>).data) as JobState),
  );
  events.onopen = () => {
    silentSince.value = null;
  };
  events.onerror = () => {
    if (over) return;
    if (events.readyState !== EventSource.CLOSED) {
      silentSince.value ??= Date.now();
      return;
    }
    // Refused for good: the job may be over, or lost with a restart. Asking once tells which.
    api.job(job).then(take, (fault: unknown) => {
      if (over) return;
      close();
      onState(lostJob(job, fault));
    });
  };
  return close;
}

function lostJob(job: string, fault: unknown): JobState {
  const faults = fault instanceof Refused ? fault.faults : [{ sentence: String(fault), path: null }];
  return {
    job,
    kind: 'plan',
    state: 'failed',
    share: 0,
    doing: '',
    chain: null,
    print: null,
    bars: null,
    brought: null,
    problems: faults.map(({ sentence }) => ({ sentence, file: null, line: null, level: 'stop' as const })),
  };
}
