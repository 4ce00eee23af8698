import { computed, signal } from '@preact/signals';
import type { Answers, JobState, PrintView, QuestionView } from '../server/api.ts';
import { api, follow, Refused, upload } from './api.ts';

/** Files being brought in: sent, then read; and the eight questions that follow from them. */
export type Bringing = Readonly<{
  name: string;
  /** Share sent, 0..1; 1 from when the server has it all. */
  sent: number;
  job: JobState | null;
  print: PrintView | null;
  /** Sentences that say why it cannot be used. */
  refused: readonly string[];
}>;

export const files = signal<readonly Bringing[]>([]);
export const questions = signal<readonly QuestionView[] | null>(null);
export const answers = signal<Answers>({});
/** Sentences that say why the questions could not be had or the answers not be taken. */
export const trouble = signal<readonly string[]>([]);

export const usable = computed(() => files.value.filter((file) => file.print?.usable));
export const busy = computed(() => files.value.some((file) => file.refused.length === 0 && !file.print));

function update(name: string, change: Partial<Bringing>): void {
  files.value = files.value.map((file) => (file.name === name ? { ...file, ...change } : file));
}

/** Takes files that were dropped or picked; one of the same name takes the place of the earlier. */
export function bring(brought: readonly File[]): void {
  for (const file of brought) {
    const fresh: Bringing = { name: file.name, sent: 0, job: null, print: null, refused: [] };
    files.value = [...files.value.filter((other) => other.name !== file.name), fresh];
    void sendAndRead(file);
  }
}

export function refuseFolder(name: string): void {
  const words = `${name} is a folder. Expected a G-code file.`;
  files.value = [
    ...files.value.filter((other) => other.name !== name),
    { name, sent: 0, job: null, print: null, refused: [words] },
  ];
}

export function leaveOut(name: string): void {
  const file = files.value.find((other) => other.name === name);
  if (file?.job?.state === 'running') void api.stop(file.job.job).catch(() => undefined);
  files.value = files.value.filter((other) => other.name !== name);
  void ask();
}

async function sendAndRead(file: File): Promise<void> {
  try {
    const { job } = await upload(file, (sent) => update(file.name, { sent }));
    update(file.name, { sent: 1 });
    follow(job, (state) => {
      const stops = state.problems
        .filter((problem) => problem.level === 'stop')
        .map((problem) => problem.sentence);
      update(file.name, {
        job: state,
        print: state.print,
        refused:
          state.state === 'failed' || state.state === 'stopped'
            ? stops.length > 0
              ? stops
              : [
                  state.state === 'stopped'
                    ? `Stopped. ${file.name} was not read.`
                    : `${file.name} could not be read.`,
                ]
            : [],
      });
      if (state.state === 'done') void ask();
    });
  } catch (fault) {
    if (!(fault instanceof Refused)) throw fault;
    update(file.name, { refused: fault.faults.map(({ sentence }) => sentence) });
  }
}

/** Asks for the eight questions once every file is read; answers already given stay. */
async function ask(): Promise<void> {
  if (busy.value) return;
  const names = usable.value.map((file) => file.name);
  if (names.length === 0) {
    questions.value = null;
    return;
  }
  try {
    trouble.value = [];
    questions.value = await api.questions(names);
  } catch (fault) {
    if (!(fault instanceof Refused)) throw fault;
    trouble.value = fault.faults.map(({ sentence }) => sentence);
  }
}

/** Text of a field as it stands: what was answered, else what was pre-filled. */
export function fieldText(field: QuestionView['fields'][number], given: Answers): string {
  return given[field.id] ?? field.value;
}

/** True where no field of the question says anything. */
export function isUnknown(question: QuestionView, given: Answers): boolean {
  return question.fields.every((field) => ['', 'unknown'].includes(fieldText(field, given).trim()));
}

export function answer(id: string, text: string): void {
  answers.value = { ...answers.value, [id]: text };
}

export function answerUnknown(question: QuestionView, unknown: boolean): void {
  const next = { ...answers.value };
  for (const field of question.fields) {
    if (unknown) next[field.id] = 'unknown';
    else delete next[field.id];
  }
  answers.value = next;
}

/** Every field's text for the server; what nobody answered is left out, so the card's wide spread stands in. */
export function allAnswers(asked: readonly QuestionView[], given: Answers): Answers {
  return Object.fromEntries(
    asked.flatMap((question) =>
      question.fields.flatMap((field) => {
        const text = fieldText(field, given).trim();
        return text === '' || text === 'unknown' ? [] : [[field.id, text]];
      }),
    ),
  );
}

/** "1 flat, 2 no bar": what each part on a drawing is, as the field for bars carries it. */
export function barsOf(text: string): Map<number, string> {
  const bars = new Map<number, string>();
  for (const item of text.split(',')) {
    const match = /^\s*(\d+)\s+(.+?)\s*$/.exec(item);
    if (match) bars.set(Number(match[1]), match[2]!);
  }
  return bars;
}

export function barsText(bars: ReadonlyMap<number, string>): string {
  return [...bars].map(([number, what]) => `${number} ${what}`).join(', ');
}

export function startOver(): void {
  files.value = [];
  questions.value = null;
  answers.value = {};
  trouble.value = [];
}
