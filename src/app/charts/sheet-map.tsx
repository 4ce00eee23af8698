import type { PrintView } from '../../server/api.ts';
import { showNumber } from '../../units.ts';
import { useSize } from '../size.ts';
import { type Box, overlap, textWidth } from './labels.ts';

export type Part = PrintView['sheet']['parts'][number];

/** The picture keeps this shape at most, so that a long sheet does not push the page away. */
const HIGH_MAX = 460;
/** Room between what is printed and the frame drawn round it, px. */
const EDGE = 8;
/** A number stands inside a part from this many px of its smaller side on. */
const INSIDE_FROM = 18;

export type Frame = Readonly<{
  scale: number;
  width: number;
  height: number;
  x: (mm: number) => number;
  y: (mm: number) => number;
}>;

/** Where mm fall: x to the right, the door side at the bottom, so y runs upwards. */
export function frameOf(box: PrintView['sheet']['box'], width: number, text: number): Frame {
  const [x0, y0, x1, y1] = box;
  const wide = Math.max(x1 - x0, 1);
  const high = Math.max(y1 - y0, 1);
  const side = text * 3.2;
  const edge = 14;
  const scale = Math.min((width - side - 2 * edge) / wide, HIGH_MAX / high);
  const left = side + edge + Math.max(0, (width - side - 2 * edge - wide * scale) / 2);
  const bottom = edge + high * scale;
  return {
    scale,
    width,
    height: bottom + edge + text * 3.2,
    x: (mm) => left + (mm - x0) * scale,
    y: (mm) => bottom - (mm - y0) * scale,
  };
}

function boxOf(part: Part, frame: Frame): Box {
  const [x0, y0, x1, y1] = part.box;
  return { left: frame.x(x0), right: frame.x(x1), top: frame.y(y1), bottom: frame.y(y0) };
}

export type Label = Readonly<{ number: number; x: number; y: number; inside: boolean }>;

/** A number for each part that has one: inside where it fits, else at the first free place round it on the sheet. */
export function labelPlaces(
  parts: readonly Part[],
  frame: Frame,
  sheet: Box,
  text: number,
): readonly Label[] {
  const numbered = parts.filter((part) => part.kind === 'bar' || part.kind === 'other');
  const boxes = numbered.map((part) => boxOf(part, frame));
  const rest = parts.filter((part) => !numbered.includes(part)).map((part) => boxOf(part, frame));
  const taken: Box[] = [];
  return numbered.map((part, index) => {
    const box = boxes[index]!;
    const half = textWidth(String(part.number), text) / 2;
    const room = (x: number, y: number): Box => ({
      left: x - half,
      right: x + half,
      top: y - text / 2,
      bottom: y + text / 2,
    });
    const middleX = (box.left + box.right) / 2;
    const middleY = (box.top + box.bottom) / 2;
    const inside = Math.min(box.right - box.left, box.bottom - box.top) >= INSIDE_FROM;
    // Off the middle of a bar, where its waist is: the wide end has room.
    const end = box.right - box.left > 6 * half + 40 ? box.left + half + 10 : middleX;
    const places: readonly (readonly [number, number])[] = inside
      ? [[end, middleY]]
      : [
          [box.right + half + 4, middleY],
          [middleX, box.top - text * 0.7],
          [box.left - half - 4, middleY],
          [middleX, box.bottom + text * 0.7],
        ];
    const isFree = (place: Box, others: readonly Box[]) =>
      place.left >= sheet.left &&
      place.right <= sheet.right &&
      place.top >= sheet.top &&
      place.bottom <= sheet.bottom &&
      ![...others, ...taken].some((other) => overlap(place, other));
    const others = boxes.filter((other) => other !== box);
    // Clear of supports too where that can be; a number over a support can still be read.
    const [x, y] =
      places.find(([px, py]) => isFree(room(px, py), [...others, ...rest])) ??
      places.find(([px, py]) => isFree(room(px, py), others)) ??
      places[0]!;
    taken.push(room(x, y));
    return { number: part.number, x, y, inside };
  });
}

type Drawing = Readonly<{
  print: PrintView;
  width: number;
  text: number;
  lit: number | null;
  onPoint?: (number: number | null) => void;
}>;

export function SheetDrawing({ print, width, text, lit, onPoint }: Drawing) {
  const { box, parts } = print.sheet;
  const [x0, y0, x1, y1] = box;
  const frame = frameOf(box, width, text);
  const { x, y } = frame;
  const mm = (value: number) => showNumber(value, 0);
  const sheet: Box = {
    left: x(x0) - EDGE,
    right: x(x1) + EDGE,
    top: y(y1) - EDGE,
    bottom: y(y0) + EDGE,
  };
  // Supports first, so that bars lie on top of them.
  const drawn = [...parts].sort((a, b) => Number(a.kind === 'bar') - Number(b.kind === 'bar'));
  return (
    <svg
      class="sheet-map"
      width={width}
      height={frame.height}
      viewBox={`0 0 ${width} ${frame.height}`}
      role="img"
      aria-label={mapSentence(print)}
    >
      <rect
        class="steel"
        x={sheet.left}
        y={sheet.top}
        width={sheet.right - sheet.left}
        height={sheet.bottom - sheet.top}
        rx="3"
      />
      {drawn.map((part) => (
        // biome-ignore lint/a11y/noStaticElementInteractions: pointing at a part only repeats what its row's button does
        <g
          key={part.number}
          class={part.number === lit ? 'lit' : ''}
          onMouseEnter={() => onPoint?.(part.number)}
          onMouseLeave={() => onPoint?.(null)}
        >
          <path
            class={`part ${part.kind} ${(part.orientation ?? '').replace(' ', '-')}`}
            fill-rule="evenodd"
            d={part.outline
              .map((ring) => `M${ring.map(([px, py]) => `${tenth(x(px))} ${tenth(y(py))}`).join('L')}Z`)
              .join('')}
          />
        </g>
      ))}
      {labelPlaces(drawn, frame, sheet, text + 2).map((label) => (
        <text
          key={label.number}
          class={`strong${label.inside ? '' : ' halo'}`}
          x={label.x}
          y={label.y + text * 0.4}
          text-anchor="middle"
          pointer-events="none"
        >
          {label.number}
        </text>
      ))}
      <Corners frame={frame} box={box} text={text} mm={mm} />
    </svg>
  );
}

function Corners(props: {
  frame: Frame;
  box: PrintView['sheet']['box'];
  text: number;
  mm: (value: number) => string;
}) {
  const { frame, box, text, mm } = props;
  const [x0, y0, x1, y1] = box;
  const below = frame.y(y0) + 14 + text * 1.1;
  const beside = frame.x(x0) - 14;
  return (
    <>
      <text x={frame.x(x0)} y={below} text-anchor="start">
        {mm(x0)}
      </text>
      <text x={(frame.x(x0) + frame.x(x1)) / 2} y={below} text-anchor="middle">
        x, mm
      </text>
      <text x={frame.x(x1)} y={below} text-anchor="end">
        {mm(x1)}
      </text>
      <text class="strong" x={(frame.x(x0) + frame.x(x1)) / 2} y={below + text * 1.45} text-anchor="middle">
        door side
      </text>
      <text x={beside} y={frame.y(y0)} text-anchor="end">
        {mm(y0)}
      </text>
      <text x={beside} y={(frame.y(y0) + frame.y(y1)) / 2 + text * 0.35} text-anchor="end">
        y, mm
      </text>
      <text x={beside} y={frame.y(y1) + text * 0.7} text-anchor="end">
        {mm(y1)}
      </text>
    </>
  );
}

const tenth = (value: number) => Math.round(value * 10) / 10;

/** The finding in one sentence, read aloud in place of the picture. */
export function mapSentence(print: PrintView): string {
  const [x0, y0, x1, y1] = print.sheet.box;
  const bars = print.sheet.parts.filter((part) => part.kind === 'bar').length;
  const parts = print.sheet.parts.length;
  const size = `${showNumber(x1 - x0, 0)} by ${showNumber(y1 - y0, 0)} mm`;
  if (parts === 0) return `Seen from above, the tool path covers ${size}; no part can be told apart.`;
  return `Seen from above, ${parts} parts on ${size}, ${bars} of them bars. The table beside it lists them.`;
}

export function SheetMap(props: {
  print: PrintView;
  lit: number | null;
  onPoint: (number: number | null) => void;
}) {
  const [place, { width, text }] = useSize<HTMLDivElement>(620);
  return (
    <div class="chart" ref={place}>
      <SheetDrawing {...props} width={width} text={text} />
    </div>
  );
}
