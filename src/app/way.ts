import type { Change, FeedPicture } from '../server/api.ts';
import { parseBend, parseQuantity, plain, showQuantity } from '../units.ts';

/**
 * The strand's way while it is edited: pieces as the campaign writes them, in the order from the winding. Every edit
 * gives a new list; what is asked of the server follows from the list and the one that the campaign has.
 */
export type Said = FeedPicture['pieces'][number];
export type Thing = FeedPicture['things'][number];
export type Piece = Said &
  (
    | Readonly<{ kind: 'tube' /** m */; length: number }>
    | Readonly<{ kind: 'bend' /** m */; radius: number /** rad */; angle: number }>
  );
export type Tube = Extract<Piece, { kind: 'tube' }>;
export type Bend = Extract<Piece, { kind: 'bend' }>;

/** Where the way stands in the campaign. */
export const WAY = 'kit.box.path';
const QUARTER = 90;

/** A piece with its figures; null where the text is none. */
export function pieceOf({ kind, text, assumed }: Said): Piece | null {
  if (kind === 'tube') {
    const length = lengthOf(text);
    return length === null ? null : { kind, text, assumed, length };
  }
  const bend = parseBend(withoutSpread(text));
  return bend.ok ? { kind, text, assumed, ...bend.value } : null;
}

export function piecesOf(said: readonly Said[]): Piece[] {
  return said.flatMap((piece) => pieceOf(piece) ?? []);
}

function withoutSpread(text: string): string {
  const said = plain(text);
  const cut = said.search(/\s*(\+-|x\/)/);
  return cut < 0 ? said : said.slice(0, cut);
}

/** "0.7 m", "0.7 m x/ 1.1", "0.4 .. 0.8 m" (its middle) and "0.4 / 0.6 / 1 m" (its peak) in m. */
function lengthOf(text: string): number | null {
  const said = withoutSpread(text);
  const unit = /[a-z]+$/.exec(said)?.[0] ?? '';
  const ends = said
    .replace(/[a-z]+$/, '')
    .split(/ \.\. | \/ /)
    .map((number) => parseQuantity(`${number.trim()} ${unit}`, { dimension: 'length' }));
  const values = ends.flatMap((end) => (end.ok ? [end.value.value] : []));
  if (values.length !== ends.length) return null;
  if (values.length === 3) return values[1]!;
  return values.reduce((a, b) => a + b, 0) / values.length;
}

/** The spread that stands behind a value, such as " x/ 1.3"; empty where none is written. */
function spreadIn(text: string): string {
  return / *(\+-|x\/).*$/.exec(plain(text))?.[0] ?? '';
}

export function degrees(bend: Bend): number {
  return Math.round((bend.angle * 180) / Math.PI);
}

function made(kind: Said['kind'], text: string): Piece {
  const piece = pieceOf({ kind, text, assumed: false });
  if (!piece) throw new Error(`"${text}" is no ${kind}`);
  return piece;
}

/** The bend as tight as a thing that was held against it, turning as before. */
export function asTightAs(bend: Bend, { radius, spread }: Thing): Bend {
  return made('bend', `${radius} x ${degrees(bend)} deg ${spread}`) as Bend;
}

/** The bend with a radius that was measured, in mm; how sure the eye was no longer counts. */
export function withRadius(bend: Bend, mm: number): Bend {
  return made('bend', `${figure(mm)} mm x ${degrees(bend)} deg`) as Bend;
}

export function withTurn(bend: Bend, deg: number): Bend {
  const [radius = ''] = plain(bend.text).split(/ x (?!\/)/);
  return made('bend', `${radius} x ${figure(deg)} deg${spreadIn(bend.text)}`) as Bend;
}

export function withLength(metres: number): Tube {
  return made('tube', `${figure(metres)} m`) as Tube;
}

/** A quarter turn as tight as this thing. */
export function newBend({ radius, spread }: Thing): Bend {
  return made('bend', `${radius} x ${QUARTER} deg ${spread}`) as Bend;
}

function figure(value: number): string {
  return String(Number(value.toPrecision(3)));
}

export function replaced(pieces: readonly Piece[], index: number, piece: Piece): Piece[] {
  return pieces.map((old, k) => (k === index ? piece : old));
}

export function removed(pieces: readonly Piece[], index: number): Piece[] {
  return pieces.filter((_, k) => k !== index);
}

/** A bend put in before the piece that stands at `index`. */
export function inserted(pieces: readonly Piece[], index: number, bend: Bend): Piece[] {
  return [...pieces.slice(0, index), bend, ...pieces.slice(index)];
}

/** A bend half way along a tube, which becomes two. */
export function insertedIn(pieces: readonly Piece[], index: number, bend: Bend): Piece[] {
  const tube = pieces[index];
  if (tube?.kind !== 'tube') throw new Error(`piece ${index} is no tube`);
  const half = withLength(tube.length / 2);
  return [...pieces.slice(0, index), half, bend, half, ...pieces.slice(index + 1)];
}

/** A bend moved to before the tube begins: into the air of the box. */
export function intoTheBox(pieces: readonly Piece[], index: number): Piece[] {
  const first = pieces.findIndex(({ kind }) => kind === 'tube');
  const others = removed(pieces, index);
  return [...others.slice(0, first), pieces[index]!, ...others.slice(first)];
}

/** Bends before the first tube lie in the box. */
export function isInBox(pieces: readonly Piece[], index: number): boolean {
  return !pieces.slice(0, index).some(({ kind }) => kind === 'tube');
}

export function sameWay(a: readonly Said[], b: readonly Said[]): boolean {
  return a.length === b.length && a.every(({ kind, text }, k) => kind === b[k]!.kind && text === b[k]!.text);
}

/**
 * The way as a campaign writes it. What is assumed stays unsaid where it stands as it is assumed: a tube that all bends
 * lie behind, the one bend at its end.
 */
export function wayText(pieces: readonly Piece[]): string {
  const bends = pieces.filter(({ kind }) => kind === 'bend');
  const tubes = pieces.filter(({ kind }) => kind === 'tube');
  const kept = pieces.filter((piece, k) => {
    if (!piece.assumed) return true;
    if (piece.kind === 'tube') return !(k === 0 && tubes.length === 1);
    return !(k === pieces.length - 1 && bends.length === 1);
  });
  return `[${kept.map(({ kind, text }) => `{ ${kind}: ${JSON.stringify(plain(text))} }`).join(', ')}]`;
}

/**
 * What to write into the campaign. A piece that changed is written in its place, so that a list of lines keeps its
 * comments; with pieces more or fewer, or a part told for the first time, the list is written anew.
 * @param whole other changes being tried write the list too: then so does this
 */
export function changesOf(stands: readonly Said[], pieces: readonly Piece[], whole: boolean): Change[] {
  const inPlace =
    !whole &&
    stands.length === pieces.length &&
    stands.every(({ kind, assumed }, k) => !assumed && kind === pieces[k]!.kind);
  if (!inPlace) return [{ path: WAY, value: wayText(pieces) }];
  return pieces.flatMap((piece, k) =>
    piece.text === stands[k]!.text ? [] : [{ path: `${WAY}.${k}.${piece.kind}`, value: plain(piece.text) }],
  );
}

/** What the edits are called while they are tried: "bend 2 120 mm, not 40 mm; one bend more". */
export function wordsOf(stands: readonly Piece[], pieces: readonly Piece[]): string {
  const alike = stands.length === pieces.length && stands.every(({ kind }, k) => kind === pieces[k]!.kind);
  if (alike) {
    const changed = pieces.flatMap((piece, k) =>
      piece.text === stands[k]!.text ? [] : [changeWords(stands[k]!, piece, nameOf(pieces, k))],
    );
    return `The way: ${changed.join(', ')}`;
  }
  const bends = pieces.filter((piece) => piece.kind === 'bend');
  const metres = pieces.reduce((sum, piece) => sum + (piece.kind === 'tube' ? piece.length : 0), 0);
  const inBox = bends.filter((bend) => isInBox(pieces, pieces.indexOf(bend))).length;
  const many = `${bends.length} ${bends.length === 1 ? 'bend' : 'bends'}`;
  return `The way: ${showQuantity(metres, 'm', 2)} of tube, ${many}${inBox > 0 ? `, ${inBox} of them in the box` : ''}`;
}

function changeWords(old: Piece, now: Piece, name: string): string {
  if (now.kind === 'tube' && old.kind === 'tube')
    return `${name} ${showQuantity(now.length, 'm', 2)}, not ${showQuantity(old.length, 'm', 2)}`;
  if (now.kind !== 'bend' || old.kind !== 'bend') return name;
  if (now.radius !== old.radius)
    return `${name} ${showQuantity(now.radius, 'mm', 3)} radius, not ${showQuantity(old.radius, 'mm', 3)}`;
  return `${name} turns by ${degrees(now)}°, not ${degrees(old)}°`;
}

/** "bend 2"; "tube", or "tube 2" where there is more than one. */
export function nameOf(pieces: readonly Piece[], index: number): string {
  const { kind } = pieces[index]!;
  const alike = pieces.filter((piece) => piece.kind === kind).length;
  const number = pieces.slice(0, index + 1).filter((piece) => piece.kind === kind).length;
  return kind === 'tube' && alike === 1 ? 'tube' : `${kind} ${number}`;
}
