import type { PlateView } from '../../server/api.ts';
import { AsTable } from '../parts.tsx';
import { useSize } from '../size.ts';
import { groupClass } from './group-marks.tsx';
import { fine } from './labels.ts';

/** How long and wide a bar is drawn, mm: a dumbbell of the usual size as it lies; a sign, not its true outline. */
const DRAWN: Readonly<Record<string, readonly [number, number]>> = {
  flat: [150, 20],
  'on edge': [150, 6],
  upright: [20, 6],
};
const GROUP: Readonly<Record<string, number>> = { flat: 0, 'on edge': 1, upright: 2 };

/** The sheet from above, door side at the bottom, with the bar that is meant filled. */
export function BarPlaceDrawing({
  plate,
  bar,
  width,
  text,
}: {
  plate: PlateView;
  bar: string;
  width: number;
  text: number;
}) {
  const [wide, deep] = plate.sheet!;
  const scale = (width - 2) / wide;
  const height = fine(deep * scale);
  const here = plate.bars.find((one) => one.bar === bar);
  const placed = plate.bars.flatMap((one) => (one.at === null ? [] : [{ ...one, at: one.at }]));
  const finding = `Plate ${plate.plate} from above, door side at the bottom: ${placed.length} bars${
    here?.at
      ? `, ${bar} ${Math.round(here.at[0])} mm from the left and ${Math.round(here.at[1])} mm from the front`
      : ''
  }.`;
  return (
    <svg
      width={width}
      height={height + text * 1.7}
      viewBox={`0 0 ${width} ${fine(height + text * 1.7)}`}
      role="img"
      aria-label={finding}
    >
      <rect class="steel" x="1" y="1" width={width - 2} height={height - 2} />
      {placed.map(({ bar: name, at, lies }) => {
        const [long, short] = DRAWN[lies] ?? [20, 20];
        const [w, h] = [Math.max(4, long * scale), Math.max(4, short * scale)];
        const [x, y] = [1 + at[0] * scale, height - at[1] * scale];
        const lit = name === bar;
        return (
          <g key={name} class={groupClass(GROUP[lies] ?? 3)}>
            <rect
              class={`place${lit ? ' lit' : ''}`}
              x={fine(x - w / 2)}
              y={fine(y - h / 2)}
              width={fine(w)}
              height={fine(h)}
            />
            {(lit || placed.length <= 8) && (
              <text
                class={lit ? (w > 60 ? 'strong inside' : 'strong halo') : 'halo'}
                x={fine(x + (w > 60 ? 0 : w / 2 + 4))}
                y={fine(y + text * 0.35)}
                text-anchor={w > 60 ? 'middle' : 'start'}
              >
                {name}
              </text>
            )}
          </g>
        );
      })}
      <text x={width / 2} y={height + text * 1.3} text-anchor="middle">
        door side, {wide} mm
      </text>
    </svg>
  );
}

export function BarPlace({ plate, bar }: { plate: PlateView; bar: string }) {
  const [place, { width, text }] = useSize<HTMLDivElement>(320);
  if (plate.sheet === null || plate.bars.every(({ at }) => at === null))
    return <p class="note">The campaign does not say where the bars of plate {plate.plate} lay.</p>;
  return (
    <figure>
      <div class="chart" ref={place}>
        <BarPlaceDrawing plate={plate} bar={bar} width={width} text={text} />
      </div>
      <AsTable
        of={`Bars of plate ${plate.plate}`}
        head={['Bar', 'Lies', 'From the left, mm', 'From the front, mm']}
        rows={plate.bars.map((one) => ({
          key: one.bar,
          cells: [one.bar, one.lies, one.at?.[0] ?? '–', one.at?.[1] ?? '–'],
        }))}
      />
    </figure>
  );
}
