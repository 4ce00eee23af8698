import { useSignal } from '@preact/signals';
import type { DryDepth } from '../../server/api.ts';
import type { Fault } from '../api.ts';
import { WaterOverTime } from '../charts/water-over-time.tsx';
import { Caution, WideTable } from '../parts.tsx';
import { tried, tryOut } from '../state.ts';

type Lever = DryDepth['levers'][number];

/** The drying of the spool: water over time, hours needed, what the scale should show, levers that recompute. */
export function DryInDepth({ dry, planned }: { dry: DryDepth; planned: DryDepth | null }) {
  return (
    <div class="depth">
      <div class="side">
        <div class="first">
          <h3>Water in the winding while it dries</h3>
          <div class="needed">
            {dry.needed.map((sentence) => (
              <p key={sentence}>{sentence}</p>
            ))}
          </div>
          <WaterOverTime dry={dry} planned={planned} />
        </div>
        {dry.scale.length > 0 && <Scale dry={dry} />}
        {dry.advice.length > 0 && (
          <div>
            <h3>What helps</h3>
            <ul class="advice">
              {dry.advice.map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </div>
        )}
      </div>
      <div class="side">
        <div class="levers-place">
          <h3>Change the drying</h3>
          {dry.cautions.map((caution) => (
            <Caution key={caution.hazard} {...caution} />
          ))}
          <div class="levers">
            {dry.levers.map((lever) => (
              <LeverField key={lever.path} lever={lever} planned={planned?.levers ?? null} />
            ))}
          </div>
        </div>
        {dry.weak.length > 0 && (
          <div class="weak-points">
            <h3>What this leaves out</h3>
            <div class="stack">
              {dry.weak.map((sentence) => (
                <p key={sentence}>{sentence}</p>
              ))}
            </div>
          </div>
        )}
      </div>
    </div>
  );
}

function Scale({ dry }: { dry: DryDepth }) {
  const any = dry.scale.some((row) => row.seen !== null || row.says !== null);
  return (
    <div>
      <h3>What the scale should show</h3>
      <WideTable of="What the scale should show">
        <table class="figures">
          <thead>
            <tr>
              <th scope="col">At</th>
              <th scope="col">Should show</th>
              {any && <th scope="col">You read</th>}
              {any && <th scope="col">That says</th>}
            </tr>
          </thead>
          <tbody>
            {dry.scale.map((row) => (
              <tr key={row.at}>
                <td class="figure">{row.at}</td>
                <td>{row.predicted}</td>
                {any && <td>{row.seen ?? '–'}</td>}
                {any && <td>{row.says ?? '–'}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </div>
  );
}

/** One lever as a field or a choice. A change is tried at once; what is refused is said under the field. */
function LeverField({ lever, planned }: { lever: Lever; planned: readonly Lever[] | null }) {
  const wrong = useSignal<readonly Fault[]>([]);
  const typed = useSignal<string | null>(null);
  const id = `lever-${lever.path.replace(/[^a-z0-9]+/gi, '-')}`;
  const stands = planned?.find((other) => other.path === lever.path)?.value ?? lever.value;
  const tries = tried.value?.parts
    .flatMap((part) => part.changes)
    .find((change) => change.path === lever.path);
  const inForce = tries?.value ?? stands;
  const change = async (text: string) => {
    const value = text.trim();
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
