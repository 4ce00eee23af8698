import { showNumber } from '../../units.ts';
import { AsTable } from '../parts.tsx';
import { useSize } from '../size.ts';
import { Axes, pathOf, placesOf } from './axes.tsx';
import { roundSteps } from './labels.ts';

/** One curve alone, with its axes: that of a bar, or the first of a file before anything of it is kept. */

type Points = readonly (readonly [number, number])[];
type Ticks = readonly { at: number; label: string }[];

/** Round marks from 0 to the greatest value. */
export function ticksTo(greatest: number, count: number): { at: number; label: string }[] {
  const steps = roundSteps(greatest, count);
  const step = steps[1] ?? 1;
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const last = steps.at(-1) ?? 0;
  const all = last < greatest ? [...steps, last + step] : steps;
  return all.map((at) => ({ at, label: showNumber(at, places) }));
}

type Props = Readonly<{
  points: Points;
  xLabel: string;
  yLabel: string;
  finding: string;
  xTicks?: Ticks;
  yTicks?: Ticks;
  height?: number;
}>;

export function OneCurveDrawing({ width, text, ...props }: Props & { width: number; text: number }) {
  const { points, xLabel, yLabel, finding, height = 220 } = props;
  const xTicks = [...(props.xTicks ?? ticksTo(Math.max(...points.map(([x]) => x), 1e-6), 5))];
  const yTicks = [...(props.yTicks ?? ticksTo(Math.max(...points.map(([, y]) => y), 1e-6), 4))];
  const frame = { width, height, text, xTicks, yTicks, rightRoom: 12 };
  const places = placesOf(frame);
  const peak = points.reduce<readonly [number, number] | null>(
    (best, point) => (best === null || point[1] > best[1] ? point : best),
    null,
  );
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={finding}>
      <Axes {...frame} places={places} xLabel={xLabel} yLabel={yLabel} />
      <path class="curve alone" d={pathOf(points, places)} />
      {peak && <circle class="peak" cx={places.x(peak[0])} cy={places.y(peak[1])} r="4" />}
    </svg>
  );
}

/** Rows of the table under a curve: about a dozen readings, the greatest among them. */
export function curveRows(points: Points): Points {
  const step = Math.max(1, Math.ceil(points.length / 12));
  const peak = points.reduce((best, [, y], k) => (y > (points[best]?.[1] ?? -Infinity) ? k : best), 0);
  return points.filter((_, k) => k % step === 0 || k === peak || k === points.length - 1);
}

export function OneCurve(props: Props) {
  const [place, { width, text }] = useSize<HTMLDivElement>(420);
  if (props.points.length === 0)
    return <p class="note">There is neither strain nor travel: no curve to draw.</p>;
  return (
    <figure>
      <div class="chart" ref={place}>
        <OneCurveDrawing {...props} width={width} text={text} />
      </div>
      <AsTable
        of={props.finding}
        head={[props.xLabel, props.yLabel]}
        rows={curveRows(props.points).map(([x, y]) => ({
          key: `${x} ${y}`,
          cells: [Number(x.toPrecision(3)), Number(y.toPrecision(4))],
        }))}
      />
    </figure>
  );
}
