import { useSignal } from '@preact/signals';
import type { DryDepth } from '../../server/api.ts';
import { parseField } from '../../units.ts';
import type { Fault } from '../api.ts';
import { tried, tryOut } from '../state.ts';

type Lever = DryDepth['levers'][number];

/** The unit that a label names, as a campaign writes it; empty where it names none. */
function unitOf({ label }: Lever): string {
  return (/, (\S+)$/.exec(label)?.[1] ?? '').replace('°', '');
}

/** A bare number in a field whose label names its unit is in that unit. */
export function inUnit(lever: Lever, text: string): string {
  const number = unitOf(lever) === '' ? null : parseField(text);
  return number === null ? text.trim() : `${number} ${unitOf(lever)}`;
}

/** One lever as a field or a choice. A change is tried at once; what is refused is said under the field. */
export function LeverField({
  lever,
  planned,
  place = 'lever',
}: {
  lever: Lever;
  planned: readonly Lever[] | null;
  /** Where it stands, where the same lever may stand twice on a page. */
  place?: string;
}) {
  const wrong = useSignal<readonly Fault[]>([]);
  const typed = useSignal<string | null>(null);
  const id = `${place}-${lever.path.replace(/[^a-z0-9]+/gi, '-')}`;
  const stands = planned?.find((other) => other.path === lever.path)?.value ?? lever.value;
  const tries = tried.value?.parts
    .flatMap((part) => part.changes)
    .find((change) => change.path === lever.path);
  const inForce = tries?.value ?? stands;
  const change = async (text: string) => {
    const value = inUnit(lever, text);
    typed.value = text;
    if (value === '' || value === inForce) {
      typed.value = null;
      wrong.value = [];
      return;
    }
    const label = lever.choices?.find((choice) => choice.value === value)?.label ?? value;
    wrong.value = await tryOut(lever.path, `${lever.label.replace(/,.*$/, '')} ${label}`, [
      { path: lever.path, value },
    ]);
    if (wrong.value.length === 0) typed.value = null;
  };
  const says = [wrong.value.length > 0 ? `${id}-wrong` : '', lever.hint ? `${id}-hint` : ''].filter(Boolean);
  const shared = {
    id,
    'aria-invalid': wrong.value.length > 0,
    'aria-describedby': says.length > 0 ? says.join(' ') : undefined,
  };
  return (
    <div class="field">
      <label for={id}>{lever.label}</label>
      {lever.choices ? (
        <select {...shared} value={inForce} onChange={(event) => void change(event.currentTarget.value)}>
          {lever.choices.map((choice) => (
            <option key={choice.value} value={choice.value}>
              {choice.label}
            </option>
          ))}
        </select>
      ) : (
        <input
          {...shared}
          type="text"
          autocomplete="off"
          value={typed.value ?? inForce}
          onInput={(event) => {
            typed.value = event.currentTarget.value;
          }}
          onChange={(event) => void change(event.currentTarget.value)}
        />
      )}
      {wrong.value.map(({ sentence }) => (
        <p class="wrong" id={`${id}-wrong`} key={sentence} role="alert">
          {sentence}
        </p>
      ))}
      {tries && <p class="hint">As planned: {labelOf(lever, stands)}</p>}
      {lever.hint && (
        <p class="hint" id={`${id}-hint`}>
          {lever.hint}
        </p>
      )}
    </div>
  );
}

function labelOf(lever: Lever, value: string): string {
  return lever.choices?.find((choice) => choice.value === value)?.label ?? value;
}
