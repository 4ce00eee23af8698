import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { BarsView } from '../../server/api.ts';
import { reportAddress } from '../api.ts';
import { barsFaults, barsJob, barsView, fillIn, loadBars, stopBarsHere } from '../bars.ts';
import { Button, Headline, Progress, Trouble } from '../parts.tsx';
import { addressOf } from '../router.ts';
import { campaign } from '../state.ts';

/** The printable report, the same that the command writes, with its data beside it. */
export function Report() {
  const view = barsView.value;
  const job = barsJob.value;
  const id = campaign.value?.id;
  const made = useSignal(0);
  useEffect(() => {
    if (id !== undefined && barsJob.peek() === null) void loadBars();
  }, [id]);
  const isBroken = view !== null && view.series.length > 0;
  const running = job?.state === 'running' ? job : null;
  const isThere = isBroken && job?.state === 'done';
  const frame = useRef<HTMLIFrameElement>(null);
  return (
    <div class="report-page">
      <div class="lede">
        <div>
          <Headline>{headline(view, isThere)}</Headline>
          {isBroken && <p>It opens without a network; every number in it leads to its curve.</p>}
        </div>
        {isThere && id !== undefined && (
          <div class="buttons">
            {(['html', 'csv', 'json'] as const).map((what) => (
              <a key={what} class="button" href={reportAddress(id, what)} download={`${id}-report.${what}`}>
                {what === 'html' ? 'Save the page' : `Data as ${what.toUpperCase()}`}
              </a>
            ))}
            <Button kind="main" onPress={() => frame.current?.contentWindow?.print()}>
              Print
            </Button>
          </div>
        )}
      </div>
      <Trouble sentences={barsFaults.value}>
        <Button onPress={() => void loadBars()}>Compute again</Button>
      </Trouble>
      {running && (
        <div class="busy-line">
          <Progress share={running.share} words={running.doing || 'Reading curves'} />
          <Button onPress={() => void stopBarsHere()}>Stop here</Button>
        </div>
      )}
      {job?.state === 'stopped' && (
        <Trouble sentences={['Stopped. The report needs the water at the prints.']}>
          <Button onPress={() => void loadBars()}>Compute again</Button>
        </Trouble>
      )}
      {view && !isBroken && (
        <p class="note">
          The report is made of broken bars. <a href={addressOf('bars')}>Bring in curves</a> first.
        </p>
      )}
      {view && isBroken && view.blanks.length > 0 && (
        <Blanks
          blanks={view.blanks}
          onFilled={() => {
            made.value++;
          }}
        />
      )}
      {isThere && id !== undefined && (
        <Paper key={`${id} ${made.value}`} address={reportAddress(id, 'html')} frame={frame} />
      )}
    </div>
  );
}

function headline(view: BarsView | null, isThere: boolean): string {
  if (view === null) return 'Reading the curves of this campaign';
  if (view.series.length === 0) return 'There is nothing to report yet';
  if (!isThere) return 'The report waits for the water at the prints';
  const count = view.blanks.length;
  if (count === 0) return 'The report is complete';
  return count === 1
    ? 'One line of the report still needs you'
    : `${count} lines of the report still need you`;
}

/** The report in a frame as high as it is: the page scrolls, not the frame. */
function Paper({ address, frame }: { address: string; frame: { current: HTMLIFrameElement | null } }) {
  const height = useSignal(1200);
  const observer = useRef<ResizeObserver | null>(null);
  useEffect(() => () => observer.current?.disconnect(), []);
  const measure = () => {
    const root = frame.current?.contentDocument?.documentElement;
    if (!root) return;
    const measureRoot = () => {
      height.value = Math.ceil(root.getBoundingClientRect().height);
    };
    observer.current?.disconnect();
    observer.current = new ResizeObserver(measureRoot);
    observer.current.observe(root);
    measureRoot();
  };
  return (
    <iframe
      class="paper"
      title="The report"
      src={address}
      ref={frame}
      style={{ height: `${height.value}px` }}
      onLoad={measure}
    />
  );
}

/** What only a person can say; the report prints with ruled gaps until then. */
function Blanks({ blanks, onFilled }: { blanks: BarsView['blanks']; onFilled: () => void }) {
  return (
    <section class="card pad blanks" aria-labelledby="blanks-title">
      <h2 id="blanks-title">Only you can say</h2>
      <p class="small second">The report may be printed without it: a ruled gap stands there.</p>
      <ul>
        {blanks.map((blank) => (
          <Blank key={blank.path} blank={blank} onFilled={onFilled} />
        ))}
      </ul>
    </section>
  );
}

function Blank({ blank, onFilled }: { blank: BarsView['blanks'][number]; onFilled: () => void }) {
  const typed = useSignal('');
  const wrong = useSignal<readonly string[]>([]);
  const id = `blank-${blank.path.replace(/[^a-z]+/gi, '-')}`;
  const fill = async () => {
    if (typed.value.trim() === '') {
      wrong.value = [`Nothing is filled in. Expected, for example, ${blank.hint}.`];
      return;
    }
    wrong.value = await fillIn(blank.what, blank.path, typed.value);
    if (wrong.value.length > 0) return;
    onFilled();
  };
  return (
    <li>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void fill();
        }}
      >
        <div class="field">
          <label for={id}>{blank.what.charAt(0).toUpperCase() + blank.what.slice(1)}</label>
          <input
            id={id}
            type="text"
            autocomplete="off"
            placeholder={blank.hint}
            value={typed.value}
            aria-invalid={wrong.value.length > 0}
            aria-describedby={wrong.value.length > 0 ? `${id}-wrong` : undefined}
            onInput={(event) => {
              typed.value = event.currentTarget.value;
            }}
          />
          {wrong.value.map((words) => (
            <p class="wrong" id={`${id}-wrong`} key={words} role="alert">
              {words}
            </p>
          ))}
        </div>
        <button type="submit" class="button">
          Fill in
        </button>
      </form>
    </li>
  );
}
