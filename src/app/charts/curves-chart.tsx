import { useSignal } from '@preact/signals';
import type { CurvesChart } from '../../server/api.ts';
import { AsTable, capital } from '../parts.tsx';
import { useSize } from '../size.ts';
import { Axes, pathOf, placesOf } from './axes.tsx';
import { GroupMark, groupClass, groupDash } from './group-marks.tsx';
import { pushApart } from './labels.ts';

type Drawing = Readonly<{
  chart: CurvesChart;
  groups: readonly string[];
  width: number;
  text: number;
  /** The bar whose curve is thick; the others fade. */
  lit: string | null;
  onLight?: (bar: string | null) => void;
  onPick?: (bar: string) => void;
}>;

/** All curves, thin: group by shade and dash, a mark at the maximum, groups named at their curves. */
export function CurvesDrawing({ chart, groups, width, text, lit, onLight, onPick }: Drawing) {
  const narrow = width < 480;
  const height = Math.round(Math.max(260, Math.min(560, width * 0.84)));
  const rightRoom = narrow ? 10 : text * 5;
  const frame = { width, height, text, xTicks: chart.xTicks, yTicks: chart.yTicks, rightRoom };
  const places = placesOf(frame);
  // A name stands right of the peaks of its group, at their middle height.
  const named = groups.flatMap((name, group) => {
    const peaks = chart.lines.flatMap((line) => (line.group === group && line.peak ? [line.peak] : []));
    if (peaks.length === 0) return [];
    const far = Math.max(...peaks.map(([x]) => places.x(x)));
    const middle = peaks.reduce((sum, [, y]) => sum + places.y(y), 0) / peaks.length;
    const words = capital(name);
    return [{ words, group, x: Math.min(far + 9, width - words.length * text * 0.6), y: middle }];
  });
  const at = pushApart(
    named.map(({ y }) => y + text * 0.35),
    text * 1.3,
    places.top + text,
    places.floor - 4,
  );
  const order = [...chart.lines].sort((a, b) => Number(a.bar === lit) - Number(b.bar === lit));
  return (
    <svg
      class={`curves${lit === null ? '' : ' one'}`}
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={chart.finding}
    >
      <Axes {...frame} places={places} xLabel="strain, %" yLabel="stress, MPa" />
      {order.map(({ bar, group, counts, points, peak }) => {
        const d = pathOf(points, places);
        return (
          // biome-ignore lint/a11y/noStaticElementInteractions: pointing is an extra way; the list of curves and the table of bars do the same
          <g
            key={bar}
            class={`curve-of${bar === lit ? ' lit' : ''}`}
            onMouseEnter={() => onLight?.(bar)}
            onMouseLeave={() => onLight?.(null)}
            onClick={() => onPick?.(bar)}
          >
            <path class="reach" d={d} />
            <path class={`curve ${groupClass(group)}`} d={d} stroke-dasharray={groupDash(group)} />
            {peak && (
              <GroupMark
                group={group}
                x={places.x(peak[0])}
                y={places.y(peak[1])}
                counts={counts}
                size={bar === lit ? 5.5 : 3.6}
              />
            )}
          </g>
        );
      })}
      {named.map(({ words, group, x }, k) => (
        <text key={words} class={`strong halo ${groupClass(group)}`} x={x} y={at[k]}>
          {words}
        </text>
      ))}
    </svg>
  );
}

type Props = Readonly<{
  chart: CurvesChart;
  groups: readonly string[];
  onPick: (bar: string) => void;
}>;

export function Curves({ chart, groups, onPick }: Props) {
  const [place, { width, text }] = useSize<HTMLDivElement>(640);
  const pointed = useSignal<string | null>(null);
  const chosen = useSignal('');
  const lit = pointed.value ?? (chosen.value || null);
  const line = chart.lines.find(({ bar }) => bar === lit);
  return (
    <figure>
      <div class="chart" ref={place}>
        <CurvesDrawing
          chart={chart}
          groups={groups}
          width={width}
          text={text}
          lit={lit}
          onLight={(bar) => {
            pointed.value = bar;
          }}
          onPick={onPick}
        />
      </div>
      <div class="one-curve">
        <label>
          One curve
          <select
            value={chosen.value}
            onChange={(event) => {
              chosen.value = event.currentTarget.value;
            }}
          >
            <option value="">all</option>
            {chart.lines.map(({ bar, counts }) => (
              <option key={bar} value={bar}>
                {counts ? bar : `${bar}, left out`}
              </option>
            ))}
          </select>
        </label>
        <p class="small" aria-live="polite">
          {line
            ? line.words
            : 'Point at a curve or choose one: its values stand here. Open marks are left out.'}
        </p>
        {line && (
          <button type="button" class="button" onClick={() => onPick(line.bar)}>
            Show {line.bar}
          </button>
        )}
      </div>
      <AsTable
        of="Peaks of all curves"
        head={['Bar', 'Group', 'Peak: strain, stress, modulus']}
        rows={chart.lines.map(({ bar, group, words }) => ({
          key: bar,
          cells: [bar, groups[group], words.slice(words.indexOf(':') + 2)],
        }))}
      />
    </figure>
  );
}
