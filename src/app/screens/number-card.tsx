import { useSignal } from '@preact/signals';
import type { InputView } from '../../server/api.ts';
import type { Fault } from '../api.ts';
import { SpreadStrip } from '../charts/spread-strip.tsx';
import { enter } from '../state.ts';

/** One number with its spread, its source, how to measure it, and a field to change it. */
export function NumberCard({ input }: { input: InputView }) {
  const text = useSignal('');
  const wrong = useSignal<readonly Fault[]>([]);
  const id = `value-${input.key.replace(/[^a-z0-9]+/gi, '-')}`;
  const { path } = input;
  const change = async () => {
    const value = text.value.trim();
    if (value === '' || path === null) return;
    wrong.value = await enter(`You set ${input.words} to ${value}.`, [{ path, value }]);
    if (wrong.value.length === 0) text.value = '';
  };
  const steps = stepsOf(input.measure);
  return (
    <div class="number-card">
      <div>
        <h2>Its spread</h2>
        {input.quantiles ? (
          <>
            <SpreadStrip
              quantiles={input.quantiles}
              finding={`${input.words}: ${input.value}, 9 in 10 between ${input.range}.`}
            />
            <p class="small">
              {input.value}, 9 in 10: {input.range}
            </p>
          </>
        ) : (
          <p class="small">
            {input.value}, {input.range}
          </p>
        )}
        <p class="small second">
          {input.shareWords && `${input.shareWords} of the spread of ${input.link}.`}
        </p>
      </div>
      <div>
        <h2>Where it comes from</h2>
        <p class="small">{input.source}</p>
        <p class="small second">Card: {input.card}</p>
        {steps.length > 0 && (
          <>
            <h2 class="measure">How to measure it</h2>
            {steps.length === 1 ? (
              <p class="small">{steps[0]}</p>
            ) : (
              <ol class="small steps">
                {steps.map((step) => (
                  <li key={step}>{step}</li>
                ))}
              </ol>
            )}
          </>
        )}
      </div>
      <div>
        <h2>Change it</h2>
        {path === null ? (
          <p class="small second">
            It stands on its card alone. A card of your own beside the campaign wins over it.
          </p>
        ) : (
          <form
            onSubmit={(event) => {
              event.preventDefault();
              void change();
            }}
          >
            <div class="field">
              <label for={id}>With its unit</label>
              <input
                id={id}
                type="text"
                autocomplete="off"
                value={text.value}
                aria-invalid={wrong.value.length > 0}
                aria-describedby={`${id}-hint`}
                onInput={(event) => {
                  text.value = event.currentTarget.value;
                }}
              />
            </div>
            <button type="submit" class="button">
              Set it
            </button>
            <div class="field after" id={`${id}-hint`}>
              {wrong.value.map(({ sentence }) => (
                <p class="wrong" key={sentence} role="alert">
                  {sentence}
                </p>
              ))}
              <p class="hint">
                Now {input.value}. With a spread: “22 C +- 2 C” or “20 .. 26 C”; “unknown” takes the card’s.
              </p>
            </div>
          </form>
        )}
      </div>
    </div>
  );
}

/** A measurement in steps, as the server wrote it: one sentence a step, or lines. */
export function stepsOf(measure: string | null): string[] {
  if (!measure) return [];
  return measure
    .split(/\n|(?<=[.])\s+(?=[A-Z])/)
    .map((step) => step.trim())
    .filter(Boolean);
}
