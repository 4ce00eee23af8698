import type { FeedPicture } from '../../server/api.ts';
import { showNumber, showQuantity, showUnit } from '../../units.ts';
import { capital } from '../parts.tsx';
import { degrees, nameOf, type Piece } from '../way.ts';
import type { Box } from './labels.ts';
import { type Layout, layWay, type Point, spreadOut } from './way-layout.ts';

/** What is known of the way: its warmth, and its margins where they are those of the way that is drawn. */
export type Known = Readonly<{ picture: FeedPicture; fresh: boolean }>;

/** Under this width the way runs downwards, with room for words at both sides. */
export const NARROW = 560;
/** px a millimetre at most, and how high the picture may become. */
const SCALE_MOST = 2;
const HEIGHT_MOST = 430;
/** From the strand to the words beside it. */
const AWAY = 16;
/** From here on next to no run breaks. */
export const SURE = 0.98;

export type Place = Readonly<{
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
  // Narrow pictures are high enough for all their words above each other.
  const stacked = narrow ? (pieces.length + 2) * (pill[1] + 8) : 0;
  const room = Math.max(high * scale + pad.top + pad.bottom, stacked);
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
