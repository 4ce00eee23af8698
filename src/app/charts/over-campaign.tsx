import type { StayDryDepth } from '../../server/api.ts';
import { showNumber } from '../../units.ts';
import { AsTable } from '../parts.tsx';
import { useSize } from '../size.ts';
import { fine, pushApart, roundSteps, textWidth } from './labels.ts';
import { EndNames, Key, Steps, valueSteps } from './time-curves.tsx';

/**
 * Curves over the whole campaign: plates as blocks under them, waits as gaps between. A curve stands only where
 * something prints, unless it goes on through the waits.
 */
type Band = StayDryDepth['nozzle'];
export type Curve = Readonly<{
  words: string;
  band: Band;
  kind: '' | 'mean';
  /** It has values while nothing prints, too. */
  throughout?: boolean;
}>;
export type OverCampaignProps = Readonly<{
  hours: readonly number[];
  prints: StayDryDepth['prints'];
  curves: readonly Curve[];
  /** Median of the first curve as planned, while a change is tried. */
  planned?: Readonly<{
    hours: readonly number[];
    prints: StayDryDepth['prints'];
    median: Band['median'];
  }> | null;
  limits: readonly Readonly<{ value: number; label: string }>[];
  /** What is on the axis, such as "wt %", and how high it must reach at least. */
  unit: string;
  reach?: number;
  /** Shaded up to here: what is good enough. */
  zone?: number;
  mark?: Readonly<{ hour: number; value: number; words: string }> | null;
  finding: string;
}>;

const HEADROOM = 1.08;
const NARROW = 520;

/** The axis of values: round steps that hold the bands and the limits. */
export function valueAxis({ curves, limits, reach = 0 }: OverCampaignProps) {
  const highs = curves.flatMap(({ band }) => band.high.filter((value) => value !== null));
  const top = Math.max(...highs, ...limits.map(({ value }) => value), reach) * HEADROOM;
  return { top, ...valueSteps(top) };
}

/** Points of a curve in pieces without a gap: one a print, or all of it. */
export function piecesOf(
  hours: readonly number[],
  prints: StayDryDepth['prints'],
  throughout: boolean,
  values: readonly (number | null)[],
): number[][] {
  const all = hours.map((_, k) => k).filter((k) => values[k] !== null && values[k] !== undefined);
  if (throughout) return [all];
  return prints
    .map(({ from, to }) => all.filter((k) => hours[k]! >= from - 1e-6 && hours[k]! <= to + 1e-6))
    .filter((piece) => piece.length > 0);
}

/** The picture: a pure function of data and size. */
export function OverCampaignDrawing(props: OverCampaignProps & Readonly<{ width: number; text: number }>) {
  const { hours, prints, curves, planned, limits, unit, zone, mark, finding, width, text } = props;
  const { top, steps, places } = valueAxis(props);
  const narrow = width < NARROW;
  const names = [...curves.map(({ words, band }) => ({ words, at: lastOf(band.median), strong: true }))];
  const labelRoom = narrow
    ? 0
    : Math.max(
        ...[...names.map(({ words }) => words), ...limits.map(({ label }) => label)].map((words) =>
          textWidth(words, text),
        ),
      ) + 14;
  const left = text * (places + 2.6);
  const right = width - labelRoom - 4;
  const head = text * 2;
  const plot = Math.max(190, Math.min(300, width * 0.36));
  const floor = head + plot;
  const lane = { top: floor + 6, height: text * 1.7 };
  const height = lane.top + lane.height + text * 3.1;
  const end = Math.max(hours.at(-1) ?? 1, 1e-6);
  const x = (hour: number) => left + (hour / end) * (right - left);
  const y = (value: number) => floor - (value / top) * plot;
  const point = (k: number, value: number, of = hours) => `${fine(x(of[k]!))} ${fine(y(value))}`;
  const line = (
    values: Band['median'],
    throughout: boolean,
    of: Readonly<{ hours: readonly number[]; prints: StayDryDepth['prints'] }> = { hours, prints },
  ) =>
    piecesOf(of.hours, of.prints, throughout, values)
      .map((piece) => piece.map((k, i) => `${i === 0 ? 'M' : 'L'}${point(k, values[k]!, of.hours)}`).join(''))
      .join('');
  const area = ({ band, throughout = false }: Curve) =>
    piecesOf(hours, prints, throughout, band.high)
      .map((piece) => {
        const up = piece.map((k, i) => `${i === 0 ? 'M' : 'L'}${point(k, band.high[k]!)}`).join('');
        const back = [...piece].reverse().map((k) => `L${point(k, band.low[k]!)}`);
        return `${up}${back.join('')}Z`;
      })
      .join('');
  const ticks = roundSteps(end, narrow ? 4 : 8);
  const labels = [
    ...names.map(({ words, at }) => ({ words, at: y(at), strong: true })),
    ...limits.map(({ value, label }) => ({ words: label, at: y(value), strong: true })),
  ];
  const labelY = pushApart(
    labels.map(({ at }) => at + text * 0.35),
    text * 1.35,
    head + text * 0.3,
    floor,
  );
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={finding}>
      {zone !== undefined && (
        <rect class="zone" x={left} width={right - left} y={y(zone)} height={floor - y(zone)} />
      )}
      {prints.map(({ plate, from, to }) => (
        <g key={plate}>
          {[from, to].map((hour) => (
            <line key={hour} class="print-edge" x1={x(hour)} x2={x(hour)} y1={head} y2={floor + 6} />
          ))}
        </g>
      ))}
      <Steps steps={steps} places={places} left={left} y={y} text={text} />
      <text x={0} y={text}>
        {unit}
      </text>
      <line class="axis" x1={left} x2={left} y1={head} y2={floor} />
      <line class="axis" x1={left} x2={right} y1={floor} y2={floor} />
      {curves.map((curve) => (
        <path key={`band ${curve.words}`} class={`band ${curve.kind}`} d={area(curve)} />
      ))}
      {planned && <path class="line planned" d={line(planned.median, false, planned)} />}
      {curves.map(({ words, band, kind, throughout = false }) => (
        <path key={`line ${words}`} class={`line ${kind}`} d={line(band.median, throughout)} />
      ))}
      {limits.map(({ value, label }) => (
        <g key={label}>
          <line class="limit" x1={left} x2={right} y1={y(value)} y2={y(value)} />
          {narrow && (
            <text class="strong halo" x={right - 4} y={y(value) - 5} text-anchor="end">
              {label}
            </text>
          )}
        </g>
      ))}
      <Lane prints={prints} x={x} right={right} top={lane.top} height={lane.height} text={text} />
      {ticks.map((hour) => (
        <g key={`hour ${hour}`}>
          <text
            x={x(hour)}
            y={lane.top + lane.height + text * 1.4}
            text-anchor={hour === 0 ? 'start' : 'middle'}
          >
            {showNumber(hour, (ticks[1] ?? 1) < 1 ? 1 : 0)}
          </text>
        </g>
      ))}
      <text x={right} y={lane.top + lane.height + text * 2.8} text-anchor="end">
        hours since the drying
      </text>
      {mark && <Greatest mark={mark} x={x} y={y} left={left} right={right} head={head} text={text} />}
      {!narrow && <EndNames names={labels} places={labelY} right={right} text={text} />}
    </svg>
  );
}

/** Plates as blocks with their names, the waits between them in words where there is room. */
function Lane(props: {
  prints: StayDryDepth['prints'];
  x: (hour: number) => number;
  right: number;
  top: number;
  height: number;
  text: number;
}) {
  const { prints, x, top, height, text } = props;
  const middle = top + height / 2 + text * 0.36;
  return (
    <>
      {prints.map(({ plate, from, to }, k) => {
        const width = x(to) - x(from);
        const before = k === 0 ? 0 : prints[k - 1]!.to;
        const wait = x(from) - x(before);
        const fits = textWidth(plate, text) + 8 <= width;
        return (
          <g key={plate}>
            {from > before && (
              <line class="axis" x1={x(before)} x2={x(from)} y1={top + height} y2={top + height} />
            )}
            {wait > textWidth('wait', text) + 10 && (
              <text x={x(before) + wait / 2} y={middle} text-anchor="middle">
                wait
              </text>
            )}
            <rect class="print-block" x={x(from)} y={top} width={Math.max(width, 2)} height={height} rx="2" />
            {fits && (
              <text class="print-name" x={x(from) + width / 2} y={middle} text-anchor="middle">
                {plate}
              </text>
            )}
          </g>
        );
      })}
    </>
  );
}

/** The greatest value, named where there is room. */
function Greatest(props: {
  mark: NonNullable<OverCampaignProps['mark']>;
  x: (hour: number) => number;
  y: (value: number) => number;
  left: number;
  right: number;
  head: number;
  text: number;
}) {
  const { mark, x, y, left, right, head, text } = props;
  const [cx, cy] = [x(mark.hour), y(mark.value)];
  const half = textWidth(mark.words, text) / 2;
  const middle = Math.min(Math.max(cx, left + half + 4), right - half - 4);
  return (
    <>
      <path class="leader ink" d={`M${fine(cx)} ${fine(cy - 6)}L${fine(cx)} ${fine(head - 1)}`} />
      <circle class="peak" cx={cx} cy={cy} r="5.5" />
      <text class="strong halo" x={middle} y={head - 6} text-anchor="middle">
        {mark.words}
      </text>
    </>
  );
}

function lastOf(values: Band['median']): number {
  return values.findLast((value) => value !== null) ?? 0;
}

/** Rows of the table: start, middle and end of each print. */
export function campaignRows({ hours, prints }: Pick<OverCampaignProps, 'hours' | 'prints'>) {
  return prints.flatMap(({ plate, from, to }) => {
    const inside = hours.map((_, k) => k).filter((k) => hours[k]! >= from - 1e-6 && hours[k]! <= to + 1e-6);
    const [first, last] = [inside[0], inside.at(-1)];
    if (first === undefined || last === undefined) return [];
    const middle = inside[Math.floor(inside.length / 2)]!;
    return [...new Set([first, middle, last])].map((k) => ({
      k,
      words: `${plate}, ${k === first ? 'start' : k === last ? 'end' : 'half way'}`,
    }));
  });
}

export function OverCampaign(props: OverCampaignProps & Readonly<{ title: string; places: number }>) {
  const [place, { width, text }] = useSize<HTMLDivElement>(760);
  const { curves, planned, zone, hours, title, places, unit } = props;
  const show = (value: number | null | undefined) =>
    value === null || value === undefined ? '–' : showNumber(value, places);
  return (
    <figure>
      <div class="chart" ref={place}>
        <OverCampaignDrawing {...props} width={width} text={text} />
      </div>
      <p class="map-key">
        {curves.map(({ words, kind }) => (
          <Key key={words} kind={kind} words={`${words}, 9 in 10 runs`} />
        ))}
        {planned && <Key kind="planned" words="as planned" />}
        {zone !== undefined && <Key kind="zone" words="dry enough for test bars" />}
      </p>
      <AsTable
        of={title}
        head={['Plate', 'Hours', ...curves.map(({ words }) => `${words}, ${unit} (9 in 10 runs)`)]}
        rows={campaignRows(props).map(({ k, words }) => ({
          key: `${words} ${k}`,
          cells: [
            words,
            showNumber(hours[k]!, 1),
            ...curves.map(
              ({ band }) => `${show(band.median[k])} (${show(band.low[k])} to ${show(band.high[k])})`,
            ),
          ],
        }))}
      />
    </figure>
  );
}
