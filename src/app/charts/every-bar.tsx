import type { EveryBar as EveryBarView } from '../../server/api.ts';
import { showNumber } from '../../units.ts';
import { AsTable, capital } from '../parts.tsx';
import { useSize } from '../size.ts';
import { GroupMark, groupClass } from './group-marks.tsx';
import { fine, textWidth } from './labels.ts';

/** Half a mark, and how far apart two marks of one height must be, px. */
const MARK = 4.5;
const APART = 2 * MARK + 1;

/** Levels of marks so that none covers another: 0 at the bottom, in the order of their places. */
export function stacked(places: readonly number[], apart = APART): number[] {
  const order = places.map((_, k) => k).sort((a, b) => places[a]! - places[b]!);
  const last: number[] = [];
  const levels: number[] = new Array(places.length);
  for (const k of order) {
    const free = last.findIndex((at) => places[k]! - at >= apart);
    const level = free < 0 ? last.length : free;
    last[level] = places[k]!;
    levels[k] = level;
  }
  return levels;
}

type Drawing = Readonly<{
  chart: EveryBarView;
  /** "97.8 ± 2.7" of each row. */
  means: readonly string[];
  width: number;
  text: number;
  lit: string | null;
  onPick?: (bar: string) => void;
}>;

/** Every bar a mark, stacked where they touch; below it the mean with its interval, and the bracket of the bound. */
export function EveryBarDrawing({ chart, means, width, text, lit, onPick }: Drawing) {
  const narrow = width < 520;
  const longest = Math.max(...chart.rows.map(({ group }) => textWidth(group, text)));
  const left = narrow ? 8 : Math.round(Math.min(longest + 16, width * 0.3));
  const right = width - 14;
  const span = chart.high - chart.low || 1;
  const x = (value: number) => fine(left + ((value - chart.low) / span) * (right - left));
  let top = Math.round(text * 0.8);
  const rows = chart.rows.map((row) => {
    const levels = stacked(row.points.map(({ at }) => x(at)));
    const high = (Math.max(0, ...levels) + 1) * APART;
    const base = top + (narrow ? text * 1.5 : 0) + high;
    top = Math.round(base + text * 2.6);
    return { row, levels, base };
  });
  const floor = top;
  const height = Math.round(floor + text * 3.2);
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={chart.finding}
    >
      {chart.ticks.map(({ at, label }) => (
        <g key={at}>
          <line class="grid" x1={x(at)} x2={x(at)} y1={0} y2={floor} />
          <line class="axis" x1={x(at)} x2={x(at)} y1={floor} y2={floor + 4} />
          <text x={x(at)} y={floor + text * 1.5} text-anchor="middle">
            {label}
          </text>
        </g>
      ))}
      <line class="axis" x1={left} x2={right} y1={floor} y2={floor} />
      <text x={right} y={floor + text * 2.9} text-anchor="end">
        {chart.axis}
      </text>
      {rows.map(({ row, levels, base }, k) => {
        const low = base + text * 0.9;
        const { mean, lo, hi, bound } = row;
        // The value stands where there is room: left of the interval and bracket, or right of the interval.
        const from = Math.min(...[lo, mean, bound].flatMap((value) => (value === null ? [] : [x(value)])));
        const to = Math.max(...[hi, mean].flatMap((value) => (value === null ? [] : [x(value)])));
        const words = means[k] ?? '';
        const fitsRight = to + 10 + textWidth(words, text) < width;
        return (
          <g key={row.group} class={groupClass(k)}>
            <text
              class="strong"
              x={0}
              y={narrow ? base - levels.reduce((a, b) => Math.max(a, b), 0) * APART - text * 1.1 : base + 2}
            >
              {capital(row.group)}
            </text>
            {row.points.map(({ bar, at, counts }, i) => (
              // biome-ignore lint/a11y/noStaticElementInteractions: an extra way; the table of bars does the same
              <g key={bar} class="picked" onClick={() => onPick?.(bar)}>
                <title>{bar}</title>
                <GroupMark
                  group={k}
                  x={x(at)}
                  y={fine(base - levels[i]! * APART - MARK)}
                  counts={counts}
                  lit={bar === lit}
                />
              </g>
            ))}
            {mean !== null && <path class={`mean ${groupClass(k)}`} d={`M${x(mean)} ${fine(low - 6)}v12`} />}
            {lo !== null && hi !== null && (
              <path class={`mean ${groupClass(k)}`} d={`M${x(lo)} ${fine(low)}H${x(hi)}`} />
            )}
            {bound !== null && <path class="bound" d={`M${x(bound) + 5} ${fine(low - 6)}h-5v12h5`} />}
            {mean !== null && (
              <text
                class="halo"
                x={fitsRight ? to + 8 : from - 8}
                y={fine(low + text * 0.35)}
                text-anchor={fitsRight ? 'start' : 'end'}
              >
                {words}
              </text>
            )}
          </g>
        );
      })}
    </svg>
  );
}

type Props = Readonly<{
  chart: EveryBarView;
  /** "97.8 ± 2.7" of each row. */
  means: readonly string[];
  lit: string | null;
  onPick: (bar: string) => void;
}>;

export function EveryBar({ chart, means, lit, onPick }: Props) {
  const [place, { width, text }] = useSize<HTMLDivElement>(640);
  const places = Math.max(1, 2 - Math.floor(Math.log10(Math.max(chart.high, 1e-9))));
  const shown = (value: number | null) => (value === null ? '–' : showNumber(value, places));
  return (
    <figure>
      <div class="chart" ref={place}>
        <EveryBarDrawing chart={chart} means={means} width={width} text={text} lit={lit} onPick={onPick} />
      </div>
      <AsTable
        of={chart.finding}
        head={['Group', `Bars, ${chart.axis}`, 'Mean (95 %)', '9 in 10 above']}
        rows={chart.rows.map(({ group, points, mean, lo, hi, bound }) => ({
          key: group,
          cells: [
            group,
            points
              .map(({ bar, at, counts }) => `${bar} ${shown(at)}${counts ? '' : ' (left out)'}`)
              .join(', '),
            `${shown(mean)}${lo === null ? '' : ` (${shown(lo)} to ${shown(hi)})`}`,
            shown(bound),
          ],
        }))}
      />
    </figure>
  );
}
