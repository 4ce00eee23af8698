import { useSignal } from '@preact/signals';
import { showShare } from '../../units.ts';
import { Button, ChooseFiles, Headline, Progress, Trouble } from '../parts.tsx';
import {
  answer,
  answers,
  type Bringing,
  barsOf,
  barsText,
  bring,
  busy,
  fieldText,
  files,
  leaveOut,
  questions,
  refuseFolder,
  trouble,
  usable,
} from '../reading.ts';
import { go } from '../router.ts';
import { campaigns, faults, open } from '../state.ts';
import { type Choosing, PrintCard } from './print-card.tsx';
import { Questions } from './questions.tsx';

/** G-code comes in: it is sent, read and drawn; then eight questions lead to the first chain. */
export function FirstRun() {
  const brought = files.value;
  return (
    <div class="bring">
      <div class="lede">
        <div>
          <Headline>{headline(brought)}</Headline>
          <p>
            Each file is one plate. It is read on this computer, never changed and never sent anywhere else.
          </p>
        </div>
      </div>
      <Trouble sentences={faults.value.map(({ sentence }) => sentence)} />
      <Drop slim={brought.length > 0} />
      {brought.map((file) => (
        <FileCard key={file.name} file={file} />
      ))}
      <Trouble sentences={trouble.value} />
      {questions.value && usable.value.length > 0 && <Questions asked={questions.value} />}
    </div>
  );
}

/** The page's sentence, from how far the files have come. */
export function headline(brought: readonly Bringing[]): string {
  const read = brought.filter((file) => file.print?.usable);
  const waiting = brought.filter((file) => file.refused.length === 0 && !file.print);
  if (waiting.length > 0)
    return waiting.length === 1 ? `Reading ${waiting[0]!.name}` : `Reading ${waiting.length} files`;
  if (brought.length === 0) return 'Bring the G-code you mean to run; the chain follows from it';
  if (read.length === 0) return 'Nothing here can be used yet';
  if (read.length === 1) return read[0]!.print!.headline;
  return `${read.length} files read; eight questions lead to the chain`;
}

function Drop({ slim }: { slim: boolean }) {
  const over = useSignal(false);
  const example = campaigns.value?.find((summary) => summary.invented);
  const take = (transfer: DataTransfer) => {
    const folders = new Set(
      [...transfer.items].flatMap((item) => {
        const entry = item.webkitGetAsEntry?.();
        return entry?.isDirectory ? [entry.name] : [];
      }),
    );
    for (const name of folders) refuseFolder(name);
    bring([...transfer.files].filter((file) => !folders.has(file.name)));
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping is an extra way; the button inside does the same
    <div
      class={`drop${slim ? ' slim' : ''}${over.value ? ' over' : ''}`}
      onDragOver={(event) => {
        event.preventDefault();
        over.value = true;
      }}
      onDragLeave={() => {
        over.value = false;
      }}
      onDrop={(event) => {
        event.preventDefault();
        over.value = false;
        if (event.dataTransfer) take(event.dataTransfer);
      }}
    >
      <div>
        <p>
          <b>{slim ? 'Drop the next plate here' : 'Drop G-code here'}</b>
        </p>
        {!slim && <p class="small second">One file for each plate, plain or in its container</p>}
      </div>
      <div class="buttons">
        <ChooseFiles kind={slim ? 'plain' : 'main'} onFiles={bring}>
          {slim ? 'Choose another file' : 'Choose files'}
        </ChooseFiles>
        {!slim && example && (
          <Button
            onPress={() => {
              open(example);
              go('chain');
            }}
          >
            Open the example
          </Button>
        )}
      </div>
    </div>
  );
}

function FileCard({ file }: { file: Bringing }) {
  const { name, sent, job, print, refused } = file;
  const several = files.value.length > 1; // One alone is the page's headline.
  return (
    <section class="card pad file-card" aria-label={name}>
      <div class="lede">
        <div>
          <h2>{name}</h2>
          {print && several && <p>{print.headline}</p>}
        </div>
        <Button kind="quiet" onPress={() => leaveOut(name)} label={`Leave out ${name}`}>
          Leave out
        </Button>
      </div>
      {refused.length > 0 && <Trouble sentences={refused} />}
      {!print && refused.length === 0 && (
        <Progress
          share={job ? job.share : sent}
          words={job ? job.doing : sent < 1 ? `Sent ${showShare(sent)}` : 'Waiting to be read'}
        />
      )}
      {print && <PrintCard print={print} choosing={print.usable ? choosingOf(name) : null} />}
    </section>
  );
}

/** Which bar is which is asked beside the drawing of the file, not in the list of questions. */
function choosingOf(file: string): Choosing {
  const field = questions.value
    ?.flatMap((question) => question.fields)
    .find((candidate) => candidate.kind === 'bars' && candidate.label === file);
  if (!field || busy.value) return null;
  const bars = barsOf(fieldText(field, answers.value));
  return {
    choices: field.choices,
    of: (number) => bars.get(number) ?? field.choices.at(-1)?.value ?? '',
    choose: (number, value) => answer(field.id, barsText(new Map(bars).set(number, value))),
  };
}
