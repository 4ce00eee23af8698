import type { CovariateView } from '../../server/api.ts';
import { useSize } from '../size.ts';
import { Axes, placesOf } from './axes.tsx';
import { GroupMark } from './group-marks.tsx';

/** Something that should not matter, against strength: a mark for each bar that counts. */
export function CovariateDrawing({
  view,
  width,
  text,
  lit,
  onPick,
}: {
  view: CovariateView;
  width: number;
  text: number;
  lit: string | null;
  onPick?: (bar: string) => void;
}) {
  const height = 196;
  const frame = { width, height, text, xTicks: view.xTicks, yTicks: view.yTicks, rightRoom: 12 };
  const places = placesOf(frame);
  const xLabel = `${view.name.toLowerCase()}${view.unit === '' ? '' : `, ${view.unit}`}`;
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`${view.name} against strength. ${view.finding}`}
    >
      <Axes {...frame} places={places} xLabel={xLabel} yLabel="strength, MPa" />
      {view.points.map(({ bar, group, x, y }) => (
        // biome-ignore lint/a11y/noStaticElementInteractions: an extra way; the table of bars does the same
        <g key={bar} class="picked" onClick={() => onPick?.(bar)}>
          <title>{bar}</title>
          <GroupMark group={group} x={places.x(x)} y={places.y(y)} counts size={3.6} lit={bar === lit} />
        </g>
      ))}
    </svg>
  );
}

export function Covariate({
  view,
  groups,
  lit,
  onPick,
}: {
  view: CovariateView;
  groups: readonly string[];
  lit: string | null;
  onPick: (bar: string) => void;
}) {
  const [place, { width, text }] = useSize<HTMLDivElement>(400);
  return (
    <figure class="covariate">
      <figcaption>
        <h3>{view.name}</h3>
        <p class="small">{view.finding}</p>
        {view.mixedUp && <p class="small mixed-up">{view.mixedUp}</p>}
      </figcaption>
      <div class="chart" ref={place}>
        <CovariateDrawing view={view} width={width} text={text} lit={lit} onPick={onPick} />
      </div>
      <details>
        <summary>Show as table</summary>
        <table class="figures">
          <thead>
            <tr>
              <th scope="col">Bar</th>
              <th scope="col">Group</th>
              <th scope="col">
                {view.name}
                {view.unit === '' ? '' : `, ${view.unit}`}
              </th>
              <th scope="col">Strength, MPa</th>
            </tr>
          </thead>
          <tbody>
            {view.points.map(({ bar, group, x, y }) => (
              <tr key={bar}>
                <td>{bar}</td>
                <td>{groups[group]}</td>
                <td>{Number(x.toPrecision(4))}</td>
                <td>{Number(y.toPrecision(3))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
}
