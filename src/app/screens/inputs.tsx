import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { InputView } from '../../server/api.ts';
import { Button, capital, Headline, Tag, Trouble } from '../parts.tsx';
import { compute, faults, inputs, loadInputs, outOfDate, planned } from '../state.ts';
import { NumberCard } from './number-card.tsx';

/** Width of the bar of a share of 100 %, px. */
const BAR = 130;

/** From so many inputs on, those that carry next to nothing of a link's spread are folded away at first. */
const FOLDED_FROM = 20;
/** Share of its link's spread under which an input is folded away, unless nobody said it. */
const LEAST_SHARE = 0.02;

/** Every input: its value, its spread, where it comes from, and how much of its link's doubt is due to it. */
export function Inputs() {
  const view = inputs.value;
  const opened = useSignal<string | null>(null);
  const all = useSignal(false);
  const folds = (view?.inputs.length ?? 0) >= FOLDED_FROM;
  useEffect(() => {
    if (view === null && planned.value?.state !== 'running') void loadInputs();
  }, [view, planned.value?.state]);
  const again = (
    <Button kind="main" onPress={() => void compute()}>
      Compute again
    </Button>
  );
  return (
    <>
      <div class="lede">
        <div>
          <Headline>{view?.headline ?? 'The inputs come with the first figures of the chain'}</Headline>
          {view?.sentence && <p>{view.sentence}</p>}
        </div>
        {view && folds && (
          <Button
            onPress={() => {
              all.value = !all.value;
            }}
          >
            {all.value ? 'Show those that matter' : `Show all ${view.inputs.length}`}
          </Button>
        )}
      </div>
      <div class="stack troubles">
        <Trouble sentences={faults.value.map(({ sentence }) => sentence)}>{again}</Trouble>
        {outOfDate.value && (
          <Trouble sentences={[`${outOfDate.value} All figures from it are from before.`]}>{again}</Trouble>
        )}
      </div>
      {view && (
        <>
          <div class="card">
            <table class="table fold">
              <thead>
                <tr>
                  <th scope="col">Input</th>
                  <th scope="col">Value</th>
                  <th scope="col">9 in 10</th>
                  <th scope="col">From</th>
                  <th scope="col">Share of the link’s spread</th>
                  <th scope="col">
                    <span class="hidden">Open its card</span>
                  </th>
                </tr>
              </thead>
              {byLink(folds && !all.value ? thatMatter(view.inputs) : view.inputs).map(([link, group]) => (
                <tbody key={link}>
                  <tr class="group">
                    <th scope="colgroup" colSpan={6}>
                      {link}
                    </th>
                  </tr>
                  {group.map((input, index) => (
                    <InputRow
                      key={input.key}
                      input={input}
                      first={index === group.findIndex(({ measure }) => measure !== null)}
                      open={opened.value === input.key}
                      onOpen={() => {
                        opened.value = opened.value === input.key ? null : input.key;
                      }}
                    />
                  ))}
                </tbody>
              ))}
            </table>
          </div>
          <p class="legend">
            {folds && !all.value && 'Left out here: inputs that carry under 2 % of their link’s spread. '}
            Yours: you said or measured it. Published: a named paper, standard or handbook stands on the card.
            Practice: common practice, no source. Assumed: nobody entered it; the card’s wide spread is used.
          </p>
        </>
      )}
    </>
  );
}

/** Those that carry some of the doubt or that nobody said. */
export function thatMatter(all: readonly InputView[]): readonly InputView[] {
  return all.filter((input) => (input.share ?? 0) >= LEAST_SHARE || input.from === 'Assumed');
}

/** Links in the order of the view; inside each the largest share first, those without one last. */
export function byLink(all: readonly InputView[]): readonly (readonly [string, readonly InputView[]])[] {
  const names = [...new Set(all.map((input) => input.link))];
  const share = (input: InputView) => input.share ?? -1;
  return names.map((name) => [
    name,
    all.filter((input) => input.link === name).sort((a, b) => share(b) - share(a)),
  ]);
}

function InputRow(props: { input: InputView; first: boolean; open: boolean; onOpen: () => void }) {
  const { input, first, open, onOpen } = props;
  const id = `card-${input.key.replace(/[^a-z0-9]+/gi, '-')}`;
  // Filled only for the one that matters most in its link, and only where something can be measured.
  const main = first && !open;
  const words = open ? 'Close' : main ? 'Measure' : 'Open';
  return (
    <>
      <tr data-row="input">
        <td class="wide first">{capital(input.words)}</td>
        <td>
          <b class="figure">{input.value}</b>
        </td>
        <td class="figure right-narrow">{input.range}</td>
        <td>
          <Tag>{input.from}</Tag>
        </td>
        <td>
          <span class="inputs-share">
            {input.share !== null && input.shareWords !== '' && (
              <svg width={BAR} height="12" viewBox={`0 0 ${BAR} 12`} aria-hidden="true">
                <rect class="share-bar" width={Math.max(input.share * BAR, 1)} height="12" />
              </svg>
            )}
            <span>{input.shareWords}</span>
          </span>
        </td>
        <td class="right">
          <button
            type="button"
            class={`button ${main ? 'main' : 'quiet'}`}
            aria-expanded={open}
            aria-controls={id}
            aria-label={`${words}: ${input.words}`}
            data-row-focus=""
            onClick={onOpen}
          >
            {words}
          </button>
        </td>
      </tr>
      {open && (
        <tr class="panel" id={id}>
          <td colSpan={6}>
            <NumberCard input={input} />
          </td>
        </tr>
      )}
    </>
  );
}
