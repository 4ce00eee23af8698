import type { RunsView } from '../../server/api.ts';
import { WideTable } from '../parts.tsx';
import type { ShownLink } from '../state.ts';

/** The pictures of the Chain in figures: every check of every link, and where the twenty runs end. */
export function ChainTable({ shown, runs }: { shown: readonly ShownLink[]; runs: RunsView | null }) {
  const of = (list: RunsView['lost'], link: string) => list.find((entry) => entry.link === link)?.count ?? 0;
  return (
    <details>
      <summary>Show as table</summary>
      <div class="card pad">
        <WideTable of="The chain">
          <table class="figures">
            <thead>
              <tr>
                <th scope="col">Link</th>
                <th scope="col">Check</th>
                <th scope="col">Holds</th>
                <th scope="col">Figure, median</th>
                <th scope="col">9 in 10 runs</th>
                <th scope="col">Limit</th>
                <th scope="col">Of 20 runs</th>
              </tr>
            </thead>
            <tbody>
              {shown.map(({ link, figures }) => {
                const checks = figures?.checks ?? [];
                if (checks.length === 0)
                  return (
                    <tr key={link.name}>
                      <td>{link.name}</td>
                      <td colSpan={6}>{link.failure ?? link.state}</td>
                    </tr>
                  );
                return checks.map((check, index) => (
                  <tr key={`${link.name} ${check.name}`}>
                    <td>{index === 0 ? link.name : ''}</td>
                    <td>
                      {check.name}, {check.answer}
                    </td>
                    <td>{check.share}</td>
                    <td>
                      {check.quantity} {check.median}
                    </td>
                    <td>{check.range}</td>
                    <td>{check.limit}</td>
                    <td>
                      {index === 0 && runs
                        ? `${of(runs.lost, link.name)} lost, ${of(runs.spoiled, link.name)} do not count`
                        : ''}
                    </td>
                  </tr>
                ));
              })}
              {runs && (
                <tr>
                  <td>All</td>
                  <td colSpan={5}>Other mishaps lose {of(runs.lost, 'other mishaps')} of 20 runs</td>
                  <td>
                    {runs.comeOff} come off, {runs.counts} count
                  </td>
                </tr>
              )}
            </tbody>
          </table>
        </WideTable>
      </div>
    </details>
  );
}
