import { useSignal } from '@preact/signals';
import type { BarsView, BarView, SeriesView } from '../../server/api.ts';
import { markBar } from '../bars.ts';
import { Button, Trouble } from '../parts.tsx';

/** Bars that do not count and bars that are asked about; nothing is dropped in silence, and all of it can be undone. */
export function LeftOut({
  series,
  view,
  onPick,
}: {
  series: SeriesView;
  view: BarsView;
  onPick: (bar: string) => void;
}) {
  const byName = new Map(view.bars.map((bar) => [bar.bar, bar]));
  return (
    <section class="card pad left-out" aria-label={`Left out and asked about, ${series.condition}`}>
      <h2>Left out, and asked about</h2>
      {series.leftOut.length === 0 && <p class="second">No bar is left out.</p>}
      <ul>
        {series.leftOut.map(({ bar, words, effect }) => (
          <li key={bar}>
            <p>
              <b>{bar}</b> {words.charAt(0).toLowerCase() + words.slice(1)}.{' '}
              <span class="second">{effect}</span>
            </p>
            <div class="buttons">
              <Button kind="quiet" onPress={() => onPick(bar)} label={`Show ${bar}`}>
                Show {bar}
              </Button>
              <CountAgain bar={bar} />
            </div>
          </li>
        ))}
        {series.asked.map(({ bar, words }) => {
          const is = byName.get(bar);
          return (
            <li key={`asked ${bar}`}>
              <p>
                <span class="tag">Asked</span> {words}
              </p>
              <div class="buttons">
                <Button kind="quiet" onPress={() => onPick(bar)} label={`Show ${bar}`}>
                  Show {bar}
                </Button>
                {is && <LeaveOut bar={is} reasons={view.reasons} />}
              </div>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

export function CountAgain({ bar }: { bar: string }) {
  const wrong = useSignal<readonly string[]>([]);
  return (
    <>
      <Button
        label={`Count it after all: ${bar}`}
        onPress={async () => {
          wrong.value = await markBar(bar, null);
        }}
      >
        Count it after all
      </Button>
      <Trouble sentences={wrong.value} />
    </>
  );
}

/** A reason of the standard and a note, then the bar is left out; its number stays on the page, drawn open. */
export function LeaveOut({ bar, reasons }: { bar: BarView; reasons: BarsView['reasons'] }) {
  const open = useSignal(false);
  const reason = useSignal('');
  const note = useSignal(bar.note);
  const wrong = useSignal<Readonly<{ reason?: string; note?: string; other: readonly string[] }>>({
    other: [],
  });
  const id = `leave-${bar.bar}`;
  if (!open.value)
    return (
      <Button
        label={`Leave out ${bar.bar}`}
        onPress={() => {
          open.value = true;
        }}
      >
        Leave out
      </Button>
    );
  const send = async () => {
    const lacks = {
      ...(reason.value === '' ? { reason: 'Choose what was seen; without a reason the bar stays.' } : {}),
      ...(note.value.trim() === '' ? { note: 'Say in a few words what was seen and by whom.' } : {}),
    };
    wrong.value = { ...lacks, other: [] };
    if (Object.keys(lacks).length > 0) {
      document.getElementById(`${id}-${lacks.reason ? 'reason' : 'note'}`)?.focus();
      return;
    }
    const other = await markBar(bar.bar, { reason: reason.value, note: note.value });
    wrong.value = { other };
    if (other.length === 0) open.value = false;
  };
  const { reason: noReason, note: noNote } = wrong.value;
  return (
    <form
      class="leave-out"
      aria-label={`Leave out ${bar.bar}`}
      onSubmit={(event) => {
        event.preventDefault();
        void send();
      }}
    >
      <p class="small second">
        “Its value is odd” is not a reason: such a bar stays in and is asked about. Look at the fracture face
        first.
      </p>
      <div class="field">
        <label for={`${id}-reason`}>Why {bar.bar} does not count</label>
        <select
          id={`${id}-reason`}
          value={reason.value}
          aria-invalid={noReason !== undefined}
          aria-describedby={noReason ? `${id}-reason-wrong` : undefined}
          // biome-ignore lint/a11y/noAutofocus: the form takes the place of the button that was pressed
          autoFocus
          onChange={(event) => {
            reason.value = event.currentTarget.value;
          }}
        >
          <option value="">what was seen?</option>
          {reasons.map(({ code, words }) => (
            <option key={code} value={code}>
              {words}
            </option>
          ))}
        </select>
        {noReason && (
          <p class="wrong" id={`${id}-reason-wrong`} role="alert">
            {noReason}
          </p>
        )}
      </div>
      <div class="field">
        <label for={`${id}-note`}>Note</label>
        <input
          id={`${id}-note`}
          type="text"
          autocomplete="off"
          value={note.value}
          aria-invalid={noNote !== undefined}
          aria-describedby={noNote ? `${id}-note-wrong` : undefined}
          onInput={(event) => {
            note.value = event.currentTarget.value;
          }}
        />
        {noNote && (
          <p class="wrong" id={`${id}-note-wrong`} role="alert">
            {noNote}
          </p>
        )}
      </div>
      <Trouble sentences={wrong.value.other} />
      <div class="buttons">
        <button type="submit" class="button main">
          Leave out {bar.bar}
        </button>
        <Button
          kind="quiet"
          onPress={() => {
            open.value = false;
          }}
        >
          Leave it in
        </Button>
      </div>
    </form>
  );
}
