import type { CovariateView } from '../../server/api.ts';
import { AsTable } from '../parts.tsx';
import { useSize } from '../size.ts';
import { Axes, placesOf } from './axes.tsx';
import { GroupMark } from './group-marks.tsx';

const inUnit = (name: string, { unit }: CovariateView) => (unit === '' ? name : `${name}, ${unit}`);

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
  const xLabel = inUnit(view.name.toLowerCase(), view);
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
      <AsTable
        of={`${view.name} against strength`}
        head={['Bar', 'Group', inUnit(view.name, view), 'Strength, MPa']}
        rows={view.points.map(({ bar, group, x, y }) => ({
          key: bar,
          cells: [bar, groups[group], Number(x.toPrecision(4)), Number(y.toPrecision(3))],
        }))}
      />
    </figure>
  );
}
