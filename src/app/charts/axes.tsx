import type { CurvesChart } from '../../server/api.ts';
import { fine } from './labels.ts';

/** Two axes of a picture of bars: places in px of values, and the drawing of ticks and names. */

type Ticks = CurvesChart['xTicks'];
type Frame = Readonly<{
  width: number;
  height: number;
  text: number;
  xTicks: Ticks;
  yTicks: Ticks;
  /** Room at the right of the axes, for labels. */
  rightRoom?: number;
}>;

export function placesOf({ width, height, text, xTicks, yTicks, rightRoom = 8 }: Frame) {
  const labels = Math.max(...yTicks.map(({ label }) => label.length), 1);
  const left = Math.round(text * (0.62 * labels + 1));
  const top = Math.round(text * 1.9);
  const right = width - rightRoom;
  const floor = height - Math.round(text * 3.3);
  const [x0, x1] = [xTicks[0]?.at ?? 0, xTicks.at(-1)?.at ?? 1];
  const [y0, y1] = [yTicks[0]?.at ?? 0, yTicks.at(-1)?.at ?? 1];
  return {
    left,
    top,
    right,
    floor,
    x: (value: number) => fine(left + ((value - x0) / (x1 - x0 || 1)) * (right - left)),
    y: (value: number) => fine(floor - ((value - y0) / (y1 - y0 || 1)) * (floor - top)),
  };
}

type AxesProps = Frame & Readonly<{ places: ReturnType<typeof placesOf>; xLabel: string; yLabel: string }>;

export function Axes({ places, text, xTicks, yTicks, xLabel, yLabel }: AxesProps) {
  const { left, top, right, floor, x, y } = places;
  // Labels that would meet leave out every second one.
  const widest = Math.max(...xTicks.map(({ label }) => label.length), 1) * text * 0.62 + 8;
  const step = Math.max(1, Math.ceil((widest * (xTicks.length - 1)) / (right - left)));
  return (
    <g>
      {yTicks.map(({ at, label }) => (
        <g key={`y ${at}`}>
          <line class="grid" x1={left} x2={right} y1={y(at)} y2={y(at)} />
          <text x={left - 6} y={y(at) + text * 0.35} text-anchor="end">
            {label}
          </text>
        </g>
      ))}
      <line class="axis" x1={left} x2={right} y1={floor} y2={floor} />
      {xTicks.map(({ at, label }, k) => (
        <g key={`x ${at}`}>
          <line class="axis" x1={x(at)} x2={x(at)} y1={floor} y2={floor + 4} />
          {k % step === 0 && (
            <text x={x(at)} y={floor + text * 1.5} text-anchor="middle">
              {label}
            </text>
          )}
        </g>
      ))}
      <text x={right} y={floor + text * 2.9} text-anchor="end">
        {xLabel}
      </text>
      <text x={0} y={top - text * 0.8}>
        {yLabel}
      </text>
    </g>
  );
}

export function pathOf(
  points: readonly (readonly [number, number])[],
  { x, y }: Pick<ReturnType<typeof placesOf>, 'x' | 'y'>,
): string {
  return points.map(([px, py], k) => `${k === 0 ? 'M' : 'L'}${x(px)} ${y(py)}`).join('');
}
