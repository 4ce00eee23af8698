import type { DryDepth } from '../../server/api.ts';
import { WaterOverTime } from '../charts/water-over-time.tsx';
import { Caution, WideTable } from '../parts.tsx';
import { LeverField } from './lever-field.tsx';

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
