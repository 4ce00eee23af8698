import type { FeedPicture } from '../../server/api.ts';
import { showNumber, showQuantity, showUnit } from '../../units.ts';
import { capital } from '../parts.tsx';
import { useSize } from '../size.ts';
import { degrees, nameOf, type Piece } from '../way.ts';
import type { Box } from './labels.ts';
import { type Drawn, type Layout, layWay, type Point, spreadOut, TUBE_MOST } from './way-layout.ts';

/** What is known of the way: its warmth, and its margins where they are those of the way that is drawn. */
export type Known = Readonly<{ picture: FeedPicture; fresh: boolean }>;

/** Under this width the way runs downwards, with room for words at both sides. */
const NARROW = 560;
/** px a millimetre at most, and how high the picture may become. */
const SCALE_MOST = 2;
const HEIGHT_MOST = 430;
/** px of warmth at each side of the strand a kelvin warmer than the room. */
const WARM_A_KELVIN = 0.3;
/** From the strand to the words beside it. */
const AWAY = 16;
/** Shares from here on are drawn as held. */
const HELD = 0.95;
/** From here on next to no run breaks. */
const SURE = 0.98;

type Place = Readonly<{
  /** Index among the pieces; BOX for the box, OFF for the winding. */
  piece: number;
  title: string;
  more: string;
  spoken: string;
  /** Words for the place where it would snap first; null for the others. */
  first: string | null;
  at: Point;
}>;
export const BOX = -1;
export const OFF = -2;

type Fitted = Readonly<{
  layout: Layout;
  place: (point: Point) => Point;
  scale: number;
  height: number;
  pill: readonly [number, number];
  places: readonly Readonly<{ to: Point; of: Place }>[];
}>;

/** Everything of the picture in px, for a width: a pure function. */
export function fitWay(pieces: readonly Piece[], known: Known, width: number, text: number): Fitted {
  const narrow = width < NARROW;
  const layout = layWay(pieces, narrow);
  const pill: readonly [number, number] = narrow ? [text * 7.6, text * 4.5] : [text * 13.5, text * 3.9];
  const pad = narrow
    ? { left: 40, right: 40, top: pill[1] + 16, bottom: text * 3.5 }
    : { left: 12, right: text * 6.5, top: pill[1] + 24, bottom: pill[1] + 20 };
  const { bounds } = layout;
  const [wide, high] = [bounds.right - bounds.left, bounds.bottom - bounds.top];
  const most = narrow ? HEIGHT_MOST * 1.2 : HEIGHT_MOST;
  const scale = Math.min(
    (width - pad.left - pad.right) / wide,
    (most - pad.top - pad.bottom) / high,
    SCALE_MOST,
  );
  const room = Math.max(high * scale + pad.top + pad.bottom, narrow ? 380 : 0);
  const left = pad.left + (width - pad.left - pad.right - wide * scale) / 2;
  const place = ([x, y]: Point): Point => [
    left + (x - bounds.left) * scale,
    pad.top + (y - bounds.top) * scale,
  ];
  const places = placesOf(pieces, known, layout, place, narrow);
  const ways = waysOf(layout, place);
  const wanted = places.map((one) => wantedAt(one, layout, place, pill, width));
  wanted[0] = besideBox(layout.box, place, pill, { ways, words: wanted.slice(1) }, { width, height: room });
  const frame: Box = { left: 2, right: width - 2, top: 2, bottom: room - 2 };
  const spread = spreadOut(wanted, pill, frame, 8, ways);
  const lowest = Math.max(
    ...spread.map(([, y]) => y + pill[1] / 2),
    place([0, bounds.bottom])[1] + text * 3.2,
  );
  return {
    layout,
    place,
    scale,
    height: Math.ceil(lowest + 6),
    pill,
    places: places.map((of, k) => ({ of, to: spread[k]! })),
  };
}

/** Points that no words should cover: the strand, and the walls of the box. */
function waysOf({ drawn, box }: Layout, place: (point: Point) => Point): Point[] {
  const walls = [0, 0.25, 0.5, 0.75, 1].flatMap((share): Point[] => {
    const [x, y] = [box.left + share * (box.right - box.left), box.top + share * (box.bottom - box.top)];
    return [
      [x, box.top],
      [x, box.bottom],
      [box.left, y],
      [box.right, y],
    ];
  });
  return [...drawn.flatMap(({ steps }) => steps.map((step) => step.at)), ...walls].map(place);
}

function placesOf(
  pieces: readonly Piece[],
  known: Known,
  layout: Layout,
  place: (point: Point) => Point,
  narrow: boolean,
): Place[] {
  const { box } = layout;
  const { picture, fresh } = known;
  const boxed = celsius(picture.warmth[0]?.running ?? picture.room);
  const boxPlace: Place = {
    piece: BOX,
    title: 'Box',
    more: narrow ? boxed : `strand at ${boxed}`,
    spoken: 'Box',
    first: null,
    at: place([(box.left + box.right) / 2, (box.top + box.bottom) / 2]),
  };
  const off = picture.places[0]!.margin;
  const offPlace: Place[] =
    fresh && picture.first === 0
      ? [
          {
            piece: OFF,
            title: narrow ? 'Winding' : 'Off the winding',
            more: `${off.share} hold`,
            spoken: 'Off the winding',
            first: firstWords(off.shareValue, narrow),
            at: place(layout.drawn[0]!.steps[0]!.at),
          },
        ]
      : [];
  const drawn = new Map(layout.drawn.map((one) => [one.piece, one]));
  let bends = 0;
  const rest = pieces.map((piece, k): Place => {
    const title = capital(nameOf(pieces, k));
    const { middle, steps } = drawn.get(k)!;
    const at = place(middle);
    const [from, to] = [steps[0]!, steps.at(-1)!].map((step) =>
      showNumber(warmthAt(picture, step.along ?? 0), 0),
    );
    const warm = `${from === to ? from : `${from} to ${to}`}${showUnit('C')}`;
    if (piece.kind === 'tube') {
      const long = showQuantity(piece.length, 'm', 2);
      return {
        piece: k,
        title: narrow ? title : `${title}, ${long}`,
        more: narrow ? long : warm,
        spoken: `${title}, ${long} long, strand at ${warm}`,
        first: null,
        at,
      };
    }
    bends++;
    const margin = fresh ? picture.places[bends]?.margin : undefined;
    const radius = showQuantity(piece.radius, 'mm', 3);
    const holds = margin ? `${margin.share}${narrow ? '' : ' hold'}` : radius;
    return {
      piece: k,
      title: narrow ? title : `${title} · ${holds}`,
      more: narrow ? (margin ? holds : '…') : margin ? `strand at ${warm}` : 'computing',
      spoken: `${title}, ${radius} radius, turns by ${degrees(piece)}°`,
      first: margin && picture.first === bends ? firstWords(margin.shareValue, narrow) : null,
      at,
    };
  });
  return [boxPlace, ...offPlace, ...rest];
}

/** It is always the tightest place; where next to no run breaks there, nothing snaps. */
function firstWords(share: number, narrow: boolean): string {
  if (narrow) return share < SURE ? 'snaps first' : 'tightest';
  return share < SURE ? 'would snap here first' : 'tightest, and it holds';
}

function celsius(value: number): string {
  return `${showNumber(value, 0)}${showUnit('C')}`;
}

function wantedAt(
  of: Place,
  layout: Layout,
  place: (point: Point) => Point,
  [w, h]: readonly [number, number],
  width: number,
): Point {
  if (of.piece === OFF) return [of.at[0], place([0, layout.box.bottom])[1] + h / 2 + 10];
  const { outwards, isTurn } = layout.drawn.find(({ piece }) => piece === of.piece)!;
  const reach = AWAY + Math.abs(outwards[0]) * (w / 2) + Math.abs(outwards[1]) * (h / 2);
  // A straight bit has two sides: the words stand where there is room for them.
  const fits = of.at[0] + outwards[0] * (reach + w / 2) <= width;
  const side = isTurn || fits ? 1 : -1;
  return [of.at[0] + side * outwards[0] * reach, of.at[1] + side * outwards[1] * reach];
}

/** At the side of the box that is free: above, below, left or right of it; above where none is. */
function besideBox(
  box: Box,
  place: (point: Point) => Point,
  [w, h]: readonly [number, number],
  taken: Readonly<{ ways: readonly Point[]; words: readonly Point[] }>,
  { width, height }: Readonly<{ width: number; height: number }>,
): Point {
  const [left, top] = place([box.left, box.top]);
  const [right, bottom] = place([box.right, box.bottom]);
  const [x, y] = [(left + right) / 2, (top + bottom) / 2];
  const sides: Point[] = [
    [x, top - h / 2 - 10],
    [x, bottom + h / 2 + 10],
    [left - w / 2 - 10, y],
    [right + w / 2 + 10, y],
  ];
  const isFree = ([px, py]: Point) =>
    px >= w / 2 &&
    px <= width - w / 2 &&
    py >= h / 2 &&
    py <= height - h / 2 &&
    taken.ways.every(([tx, ty]) => Math.abs(tx - px) > w / 2 + 4 || Math.abs(ty - py) > h / 2 + 4) &&
    taken.words.every(([tx, ty]) => Math.abs(tx - px) > w + 4 || Math.abs(ty - py) > h + 4);
  return sides.find(isFree) ?? sides[0]!;
}

/** Temperature of the strand as it runs, so far along the tube, between the places told. */
export function warmthAt({ warmth }: FeedPicture, along: number): number {
  const next = warmth.findIndex(({ at }) => at >= along);
  if (next < 0) return warmth.at(-1)?.running ?? Number.NaN;
  const [low, high] = [warmth[Math.max(next - 1, 0)]!, warmth[next]!];
  if (high.at === low.at) return high.running;
  return low.running + ((high.running - low.running) * (along - low.at)) / (high.at - low.at);
}

/** The finding in one sentence, read aloud in place of the picture. */
export function waySentence(pieces: readonly Piece[], { picture, fresh }: Known): string {
  const bends = pieces.filter(({ kind }) => kind === 'bend').length;
  const metres = pieces.reduce((sum, piece) => sum + (piece.kind === 'tube' ? piece.length : 0), 0);
  const way = `The way of the strand: a box, ${showQuantity(metres, 'm', 2)} of tube, ${bends} ${bends === 1 ? 'bend' : 'bends'}.`;
  const first = picture.places[picture.first];
  if (!fresh || !first) return `${way} Its margins are being computed.`;
  const where = picture.first === 0 ? 'where it leaves the winding' : `in ${first.name}`;
  return first.margin.shareValue < SURE
    ? `${way} It would snap first ${where}: ${first.margin.share} of the runs hold there.`
    : `${way} It is tightest ${where}, and holds there.`;
}

type Drawing = Readonly<{ pieces: readonly Piece[]; known: Known; width: number; text: number }>;

/** The picture without its words: warmth, tube, strand, the box, the drive, and a mark at each bend. */
export function WayDrawing({ pieces, known, width, text }: Drawing) {
  const { layout, place, scale, height, places } = fitWay(pieces, known, width, text);
  const { picture, fresh } = known;
  const corner = place([layout.box.left, layout.box.top]);
  const end = place(layout.end);
  const [ahead, down] = [Math.cos(layout.heading), Math.sin(layout.heading)];
  const leaders = (which: (of: Place) => boolean) =>
    places
      .filter(({ of }) => which(of))
      .map(({ of, to }) => (
        <line key={`leader ${of.piece}`} class="leader" x1={of.at[0]} y1={of.at[1]} x2={to[0]} y2={to[1]} />
      ));
  const isBend = (piece: number) => pieces[piece]?.kind === 'bend';
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={waySentence(pieces, known)}
    >
      {leaders(({ piece }) => piece === BOX)}
      <rect
        class="box-wall"
        x={corner[0]}
        y={corner[1]}
        width={(layout.box.right - layout.box.left) * scale}
        height={(layout.box.bottom - layout.box.top) * scale}
        rx="6"
      />
      {layout.drawn.map((one) => (
        <Warmth key={key(one)} one={one} place={place} picture={picture} />
      ))}
      {layout.drawn
        .filter(({ steps }) => steps[0]!.along !== null)
        .map((one) => (
          <g key={`tube ${key(one)}`}>
            <path class="tube-wall" d={lineOf(one, place)} />
            <path class="tube-room" d={lineOf(one, place)} />
          </g>
        ))}
      {leaders(({ piece }) => piece !== BOX)}
      {layout.drawn.map((one) => (
        <path
          key={`strand ${key(one)}`}
          class={`strand${fresh && isFirst(picture, pieces, one.piece) ? ' first' : ''}`}
          d={lineOf(one, place)}
        />
      ))}
      {layout.drawn
        .filter(({ broken }) => broken !== null)
        .map((one) => (
          <Break key={`break ${key(one)}`} ends={one.broken!.map(place)} />
        ))}
      {layout.drawn
        .filter(({ piece }) => isBend(piece))
        .map((one) => (
          <Mark
            key={`mark ${one.piece}`}
            at={place(one.middle)}
            share={fresh ? (picture.places[ordinal(pieces, one.piece)]?.margin.shareValue ?? null) : null}
            first={fresh && isFirst(picture, pieces, one.piece)}
          />
        ))}
      {fresh && picture.first === 0 && (
        <Mark at={place(layout.drawn[0]!.steps[0]!.at)} share={picture.places[0]!.margin.shareValue} first />
      )}
      {[-1, 1].map((side) => (
        <circle
          key={side}
          class="drive"
          cx={end[0] - side * down * 10}
          cy={end[1] + side * ahead * 10}
          r="8"
        />
      ))}
      <text
        class="halo"
        x={Math.min(Math.max(end[0] + ahead * 36, text * 1.6), width - text * 1.6)}
        y={end[1] + down * 34 + text * 0.35}
        text-anchor="middle"
      >
        drive
      </text>
    </svg>
  );
}

const key = ({ piece, steps }: Drawn) => `${piece} ${steps[0]!.at.join()}`;

/** Which bend this piece is, from 1. */
function ordinal(pieces: readonly Piece[], piece: number): number {
  return pieces.slice(0, piece + 1).filter(({ kind }) => kind === 'bend').length;
}

function isFirst({ first }: FeedPicture, pieces: readonly Piece[], piece: number): boolean {
  return pieces[piece]?.kind === 'bend' && first === ordinal(pieces, piece);
}

function lineOf({ steps }: Drawn, place: (point: Point) => Point): string {
  return steps.map((step, k) => `${k === 0 ? 'M' : 'L'}${place(step.at).map(round).join(' ')}`).join('');
}

const round = (value: number) => Math.round(value * 10) / 10;

/** A band as wide as the strand is warmer than the room. */
function Warmth({ one, place, picture }: { one: Drawn; place: (p: Point) => Point; picture: FeedPicture }) {
  return (
    <>
      {one.steps.slice(1).map((step, k) => {
        const [a, b] = [place(one.steps[k]!.at), place(step.at)];
        const along = step.along === null ? 0 : ((one.steps[k]!.along ?? 0) + step.along) / 2;
        const over = Math.max(warmthAt(picture, along) - picture.room, 0);
        return (
          <line
            key={step.at.join()}
            class="warmth"
            x1={a[0]}
            y1={a[1]}
            x2={b[0]}
            y2={b[1]}
            stroke-width={round(2 * WARM_A_KELVIN * over)}
          />
        );
      })}
    </>
  );
}

/** Where a long tube is left out: a gap with a stroke at each side. */
function Break({ ends }: { ends: readonly Point[] }) {
  const [a, b] = ends as [Point, Point];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const stroke = ([x, y]: Point) =>
    `M${round(x - 9 * uy - 3 * ux)} ${round(y + 9 * ux - 3 * uy)}L${round(x + 9 * uy + 3 * ux)} ${round(y - 9 * ux + 3 * uy)}`;
  return (
    <>
      <line class="break-gap" x1={a[0]} y1={a[1]} x2={b[0]} y2={b[1]} />
      <path class="break-end" d={stroke(a) + stroke(b)} />
    </>
  );
}

/** A disc holds, a ring fails; where the strand is tightest the mark is larger, and cracked where it would snap. */
function Mark({ at, share, first }: { at: Point; share: number | null; first: boolean }) {
  const [x, y] = at;
  const kind = share === null ? 'grey' : share >= HELD ? 'holding' : 'failing';
  if (!first || share === null) return <circle class={`dot mark-dot ${kind}`} cx={x} cy={y} r="6.5" />;
  return (
    <>
      <circle class={`first-mark ${kind}`} cx={x} cy={y} r="11" />
      {share < SURE ? (
        <path class="snap" d={`M${round(x + 2)} ${round(y - 9)}l-4 7l5 4l-4 7`} />
      ) : (
        <circle class={`dot ${kind}`} cx={x} cy={y} r="5" />
      )}
    </>
  );
}

/** The picture with its words as buttons: each opens its row in the list below. */
export function WayPicture(props: {
  pieces: readonly Piece[];
  known: Known;
  chosen: number | null;
  onChoose: (piece: number) => void;
}) {
  const [place, { width, text }] = useSize<HTMLDivElement>(760);
  const { pieces, known, chosen, onChoose } = props;
  const { places, pill } = fitWay(pieces, known, width, text);
  const narrow = width < NARROW;
  return (
    <figure>
      <div class="chart way-picture" ref={place}>
        <WayDrawing pieces={pieces} known={known} width={width} text={text} />
        {places.map(({ of, to }) => {
          const inside = (
            <>
              <b>{of.title}</b>
              {(narrow || !of.first) && <span>{of.more}</span>}
              {of.first && <span class="first-words">{of.first}</span>}
            </>
          );
          const style = {
            left: `${round(to[0] - pill[0] / 2)}px`,
            top: `${round(to[1] - pill[1] / 2)}px`,
            width: `${pill[0]}px`,
            minHeight: `${pill[1]}px`,
          };
          const kind = `pill${of.first ? ' first' : ''}${chosen === of.piece ? ' chosen' : ''}`;
          return of.piece === OFF ? (
            <p key={of.piece} class={kind} style={style}>
              {inside}
            </p>
          ) : (
            <button
              key={of.piece}
              type="button"
              class={kind}
              style={style}
              aria-label={`${of.title}, ${of.more}${of.first ? `, ${of.first}` : ''}. ${of.spoken}: change it`}
              onClick={() => onChoose(of.piece)}
            >
              {inside}
            </button>
          );
        })}
      </div>
      <p class="map-key">
        <span>
          <svg width="30" height="16" aria-hidden="true">
            <line class="warmth" x1="2" x2="28" y1="8" y2="8" stroke-width="14" />
            <path class="strand" d="M0 8H30" />
          </svg>
          as wide as the strand is warmer than the room
        </span>
        <span>
          <svg width="16" height="16" aria-hidden="true">
            <circle class="dot holding" cx="8" cy="8" r="5.5" />
          </svg>
          19 in 20 runs hold
        </span>
        <span>
          <svg width="16" height="16" aria-hidden="true">
            <circle class="dot failing" cx="8" cy="8" r="5.5" />
          </svg>
          fewer hold
        </span>
        <span>
          Bends are drawn to one scale with their true angles; a tube over {TUBE_MOST / 10} cm is broken.
        </span>
      </p>
    </figure>
  );
}
