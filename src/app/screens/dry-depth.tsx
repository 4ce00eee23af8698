import type { DryDepth } from '../../server/api.ts';
import { WaterOverTime } from '../charts/water-over-time.tsx';
import { WideTable } from '../parts.tsx';
import { Advice, LeavesOut, Levers, Lines } from './depth-parts.tsx';

/** The drying of the spool: water over time, hours needed, what the scale should show, levers that recompute. */
export function DryInDepth({ dry, planned }: { dry: DryDepth; planned: DryDepth | null }) {
  return (
    <div class="depth">
      <div class="side">
        <div class="first">
          <h3>Water in the winding while it dries</h3>
          <Lines of={dry.needed} />
          <WaterOverTime dry={dry} planned={planned} />
        </div>
        {dry.scale.length > 0 && <Scale dry={dry} />}
        <Advice of={dry.advice} />
      </div>
      <div class="side">
        <Levers
          title="Change the drying"
          cautions={dry.cautions}
          levers={dry.levers}
          planned={planned?.levers ?? null}
        />
        <LeavesOut of={dry.weak} />
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
