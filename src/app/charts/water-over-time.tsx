import type { DryDepth } from '../../server/api.ts';
import { showNumber } from '../../units.ts';
import { AsTable } from '../parts.tsx';
import { useSize } from '../size.ts';
import { fine, pushApart, roundSteps, textWidth, thatFit } from './labels.ts';
import { EndNames, Key, Steps, valueSteps } from './time-curves.tsx';

type Band = DryDepth['mean'];

/** Room above the curves, so that the highest does not touch the marks. */
const HEADROOM = 1.06;

/** The water axis: round steps that hold the bands and both limits. */
export function waterAxis(
  dry: DryDepth,
): Readonly<{ top: number; steps: readonly number[]; places: number }> {
  const highest = Math.max(...dry.worst.high, ...dry.mean.high, ...dry.limits.map((limit) => limit.water));
  const top = highest * HEADROOM;
  return { top, ...valueSteps(top) };
}

type Drawing = Readonly<{ dry: DryDepth; planned: DryDepth | null; width: number; text: number }>;

/** The picture: a pure function of data and size. `planned` is drawn behind while a change is tried. */
export function WaterDrawing({ dry, planned, width, text }: Drawing) {
  const { top, steps, places } = waterAxis(dry);
  const narrow = width < 520;
  const labelRoom = narrow ? 0 : text * 9.6;
  const left = text * (places + 2.6);
  const right = width - labelRoom - 4;
  const marksRoom = text * (narrow ? 3.6 : 2.6);
  const height = Math.max(220, Math.min(340, width * 0.44)) + marksRoom;
  const floor = height - text * 3.4;
  const hoursEnd = dry.hours.at(-1) ?? 1;
  const x = (hours: number) => left + (hours / hoursEnd) * (right - left);
  const y = (water: number) => floor - (water / top) * (floor - marksRoom);
  const line = (values: readonly number[], of = dry) =>
    values
      .map((value, i) => [of.hours[i]!, value] as const)
      .filter(([hours]) => hours <= hoursEnd)
      .map(([hours, value], i) => `${i === 0 ? 'M' : 'L'}${fine(x(hours))} ${fine(y(value))}`)
      .join('');
  const band = ({ low, high }: Band) => {
    const back = low.map((value, i) => `L${fine(x(dry.hours[i]!))} ${fine(y(value))}`).reverse();
    return `${line(high)}${back.join('')}Z`;
  };
  const strictest = Math.min(...dry.limits.map((limit) => limit.water));
  // At the right end of each line its name; where there is no room, limits are named on the line and curves in the key.
  const lines = [
    { words: 'worst winding', at: y(dry.worst.median.at(-1)!), strong: true },
    { words: 'mean of the spool', at: y(dry.mean.median.at(-1)!), strong: false },
    ...dry.limits.map((limit) => ({ words: limit.label, at: y(limit.water), strong: true })),
  ];
  const labelY = pushApart(
    lines.map(({ at }) => at + text * 0.35),
    text * 1.35,
    marksRoom + text,
    floor + text * 0.35,
  );
  const ticks = roundSteps(hoursEnd, narrow ? 5 : 8);
  const hourPlaces = (ticks[1] ?? 1) < 1 ? 1 : 0;
  const marks = [
    { at: dry.plannedHours, words: 'planned end', strong: true },
    ...dry.flips.map((at) => ({ at, words: 'flip', strong: false })),
  ];
  const markSpan = ({ at, words }: { at: number; words: string }): readonly [number, number] => {
    const half = textWidth(words, text) / 2;
    const middle = Math.min(Math.max(x(at), left + half), width - half);
    return [middle - half, middle + half];
  };
  // Marks whose words would meet another's stand a line higher.
  const marksLow = thatFit(marks, markSpan, 6);
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={waterSentence(dry)}
    >
      <rect class="zone" x={left} width={right - left} y={y(strictest)} height={floor - y(strictest)} />
      <Steps steps={steps} places={places} left={left} y={y} text={text} />
      <text x={0} y={marksRoom - text}>
        wt %
      </text>
      <line class="axis" x1={left} x2={left} y1={marksRoom} y2={floor} />
      <line class="axis" x1={left} x2={right} y1={floor} y2={floor} />
      {ticks.map((hours) => (
        <g key={`hours ${hours}`}>
          <line class="axis" x1={x(hours)} x2={x(hours)} y1={floor} y2={floor + 4} />
          <text x={x(hours)} y={floor + text * 1.4} text-anchor="middle">
            {showNumber(hours, hourPlaces)}
          </text>
        </g>
      ))}
      <text x={right} y={floor + text * 2.8} text-anchor="end">
        hours of drying
      </text>
      <path class="band" d={band(dry.worst)} />
      <path class="band mean" d={band(dry.mean)} />
      {planned && <path class="line planned" d={line(planned.worst.median, planned)} />}
      <path class="line" d={line(dry.worst.median)} />
      <path class="line mean" d={line(dry.mean.median)} />
      {marks.map((mark) => (
        <g key={`${mark.words} ${mark.at}`}>
          <line
            class={mark.strong ? 'limit' : 'mark'}
            x1={x(mark.at)}
            x2={x(mark.at)}
            y1={marksRoom - 4}
            y2={floor}
            stroke-dasharray={mark.strong ? '4 3' : '1 3'}
          />
          <path class="mark-shape" d={`M${x(mark.at) - 4} ${marksRoom - 8}h8l-4 6z`} />
          <text
            class={mark.strong ? 'strong' : ''}
            x={(markSpan(mark)[0] + markSpan(mark)[1]) / 2}
            y={marksRoom - text * (marksLow.has(mark) ? 1 : 2.2)}
            text-anchor="middle"
          >
            {mark.words}
          </text>
        </g>
      ))}
      {dry.limits.map((limit) => (
        <g key={limit.name}>
          <line class="limit" x1={left} x2={right} y1={y(limit.water)} y2={y(limit.water)} />
          {narrow && (
            <text class="strong halo" x={left + 6} y={y(limit.water) - 5}>
              {limit.label}
            </text>
          )}
        </g>
      ))}
      {!narrow && <EndNames names={lines} places={labelY} right={right} text={text} />}
    </svg>
  );
}

/** The finding in one sentence: what the server says about the hours needed, or the water at the planned end. */
export function waterSentence(dry: DryDepth): string {
  return dry.needed[0] ?? `Water in the winding over ${showNumber(dry.plannedHours, 0)} hours of drying.`;
}

/** Rows of the table under the picture: about a dozen times, the planned end among them. */
export function waterRows(dry: DryDepth): number[] {
  const last = dry.hours.length - 1;
  const step = Math.max(1, Math.ceil(last / 12));
  const rows = new Set([last]);
  for (let i = 0; i <= last; i += step) rows.add(i);
  const planned = dry.hours.reduce(
    (best, hours, i) =>
      Math.abs(hours - dry.plannedHours) < Math.abs(dry.hours[best]! - dry.plannedHours) ? i : best,
    0,
  );
  rows.add(planned);
  return [...rows].sort((a, b) => a - b);
}

export function WaterOverTime({ dry, planned }: { dry: DryDepth; planned: DryDepth | null }) {
  const [place, { width, text }] = useSize<HTMLDivElement>(760);
  const show = (value: number | undefined) => (value === undefined ? '' : showNumber(value, 2));
  return (
    <figure>
      <div class="chart" ref={place}>
        <WaterDrawing dry={dry} planned={planned} width={width} text={text} />
      </div>
      <p class="map-key">
        <Key kind="" words="worst winding, 9 in 10 runs" />
        <Key kind="mean" words="mean of the spool, 9 in 10 runs" />
        {planned && <Key kind="planned" words="worst winding as planned" />}
        <Key kind="zone" words="dry enough for test bars" />
      </p>
      <AsTable
        of="Water over time"
        head={['Hours', 'Worst winding, wt % (9 in 10 runs)', 'Mean of the spool, wt % (9 in 10 runs)']}
        rows={waterRows(dry).map((i) => ({
          key: i,
          cells: [
            showNumber(dry.hours[i]!, 1),
            ...[dry.worst, dry.mean].map(
              (of) => `${show(of.median[i])} (${show(of.low[i])} to ${show(of.high[i])})`,
            ),
          ],
        }))}
      />
    </figure>
  );
}
