import type { StayDryDepth, StayDryPicture } from '../../server/api.ts';
import { OverCampaign } from '../charts/over-campaign.tsx';
import { WideTable } from '../parts.tsx';
import { Advice, LeavesOut, Levers, Lines } from './depth-parts.tsx';

type Props = Readonly<{ depth: StayDryDepth; picture: StayDryPicture; planned: StayDryDepth | null }>;

/** Water at the nozzle over the whole campaign: limits, hours left, waits, what the desiccant still takes. */
export function StayDryInDepth({ depth, picture, planned }: Props) {
  const strictest = Math.min(...depth.limits.map(({ water }) => water));
  return (
    <div class="depth">
      <div class="side">
        <div class="first">
          <h3>Water at the nozzle over the campaign</h3>
          <OverCampaign
            title="Water over the campaign"
            hours={depth.hours}
            prints={depth.prints}
            curves={[
              { words: 'at the nozzle', band: depth.nozzle, kind: '' },
              { words: 'outer winding', band: depth.outer, kind: 'mean', throughout: true },
            ]}
            planned={
              planned && { hours: planned.hours, prints: planned.prints, median: planned.nozzle.median }
            }
            limits={depth.limits.map(({ water, label }) => ({ value: water, label }))}
            zone={strictest}
            unit="wt %"
            places={2}
            mark={{
              hour: picture.greatest.hour,
              value: picture.greatest.water,
              words: picture.greatest.words,
            }}
            finding={`Water at the nozzle: ${picture.greatest.words}; ${depth.limits.map(({ label }) => label).join(', ')}.`}
          />
        </div>
        <div>
          <h3>Hours left in the box</h3>
          <Lines of={depth.left} />
        </div>
        {picture.waits.length > 0 && <Waits waits={picture.waits} />}
        <div>
          <h3>Where the water comes from</h3>
          <Lines of={depth.found} />
        </div>
        <Advice of={depth.advice} />
      </div>
      <div class="side">
        <Levers
          title="Change the box"
          cautions={depth.cautions}
          levers={depth.levers}
          planned={planned?.levers ?? null}
        />
        {depth.desiccant && (
          <div>
            <h3>What the desiccant still takes</h3>
            <Lines of={depth.desiccant} />
          </div>
        )}
        <LeavesOut of={depth.weak} />
      </div>
    </div>
  );
}

/** Each time between two prints: what comes first when printing goes on, and the strand behind it. */
function Waits({ waits }: { waits: StayDryPicture['waits'] }) {
  return (
    <div>
      <h3>Waits, and the strand that stands in the tube</h3>
      <WideTable of="Waits between prints">
        <table class="figures waits">
          <thead>
            <tr>
              <th scope="col">Plates</th>
              <th scope="col">Waits</th>
              <th scope="col">The end of the strand</th>
              <th scope="col">Comes first, wt % (9 in 10)</th>
              <th scope="col">Behind it</th>
            </tr>
          </thead>
          <tbody>
            {waits.map(({ words, span, first, behind, mend }) => (
              <tr key={words}>
                <td>{words}</td>
                <td>{span}</td>
                <td>{mend}</td>
                <td>{withoutUnit(first)}</td>
                <td>{withoutUnit(behind)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </div>
  );
}

/** The head of the column has the unit. */
function withoutUnit(words: string): string {
  return words.replace(/\s*wt\s%/, '');
}
