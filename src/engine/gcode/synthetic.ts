/**
 * The print without G-code: solid bars on a sheet, laid by rules that are simple enough to be foreseen, written as
 * G-code so that a planned print is read, timed and judged by the same code as a real one. Lengths in m, volume
 * flow in m3/s; the text is in mm and mm/min, as G-code is.
 *
 *   spacing s = w - h (1 - pi/4), section of one line s h, layers N = round(H/h)                      [gcode-7]
 *   volume of a bar and layer A h, path A/s, flow at speed v: s h v                                   [gcode-8]
 *
 * Loops run inside the outline at w/2, w/2 + s, ...; inside them lines at the raster angles, s apart. What is laid
 * along a path is scaled so that every cut gets its area times h and every bar its volume.
 */
import { type Point, type Ring, ringArea, type Solid } from '../bars/outline.ts';
import { Refusal } from '../kernel.ts';
import { inset } from './synthetic-inset.ts';
import { ruled, strings } from './synthetic-lines.ts';
import { supportLines } from './synthetic-support.ts';

/** A solid with its place on the sheet: `at` is the middle of its box. */
export type Placed = Readonly<{ solid: Solid; at: Point }>;

/** A bar, with columns of support that stand beside it from the sheet up, to steady it. */
export type PlacedBar = Placed & Readonly<{ posts?: readonly Placed[] }>;

export type SyntheticPrint = Readonly<{
  /** In the order in which they are laid, in every layer. */
  bars: readonly PlacedBar[];
  /** h. */
  layer: number;
  /** w: width of a bead beside others, counted over its half-round sides. */
  bead: number;
  /** Volume flow while laying [m3/s]. */
  flow: number;
  /** Loops round each cut. */
  perimeters: number;
  /** Raster angles [rad], one a layer in turn. */
  angles: readonly number[];
  /** Lay supports under what hangs over. */
  supports: boolean;
  /** Outlines on the sheet that get loops outside them, `width` in all, in the first layer. */
  brims: readonly Readonly<{ outline: Ring; width: number }>[];
  /** Speed of the first layer against the others. */
  firstLayerShare: number;
  travelSpeed: number;
  retract: Readonly<{ length: number; speed: number }>;
  strandDiameter: number;
  /** How the strand's place is written: as a sum from the start of each layer, or step by step. */
  strand: 'absolute' | 'relative';
  /** Part fan, 0..1, from the second layer on. */
  fan: number;
}>;

/** The rules' defaults: two loops, lines at +45 and -45 degrees. Travel and first layer: common practice. */
export const usual = {
  perimeters: 2,
  angles: [Math.PI / 4, -Math.PI / 4],
  supports: false,
  brims: [],
  firstLayerShare: 0.5,
  travelSpeed: 0.2,
  retract: { length: 0.8e-3, speed: 30e-3 },
  strandDiameter: 1.75e-3,
  strand: 'relative',
  fan: 0.2,
} as const satisfies Partial<SyntheticPrint>;

/** One run of the nozzle with material: `section` is the volume laid per length [m2]. */
export type Track = Readonly<{
  kind: 'loop' | 'line' | 'support' | 'brim';
  points: readonly Point[];
  section: number;
}>;

/** Ends of lines nearer than this are joined by laying on; a longer way is travelled with the strand drawn back. */
export const joinMost = 2.5e-3;
/** Distance between support lines. */
export const supportSpacing = 2.5e-3;
/** Support lines turn round over a step of one spacing, square or slanting. */
const supportStepMost = 1.6 * supportSpacing;
/** Free width between a bar and its support, in beads: it can be broken off, and seen as a part of its own. */
const supportGap = 1.5;
/** mm/min upwards from layer to layer; common practice, no source. */
const liftFeed = 600;
/** Layers left free under what is carried. */
const supportLayersFree = 1;

/** Distance between neighbouring lines of a solid layer, s. */
export function lineSpacing(layer: number, bead: number): number {
  return bead - layer * (1 - Math.PI / 4);
}

/** Volume flow while a line is laid at a speed [m3/s], s h v. */
export function flowAt(speed: number, layer: number, bead: number): number {
  return lineSpacing(layer, bead) * layer * speed;
}

/** Number of layers of a print [-]. */
export function layerCount(height: number, layer: number): number {
  return Math.max(1, Math.round(height / layer));
}

type Loaded = Readonly<{ placed: PlacedBar; layers: number; scale: number }>;

/**
 * All runs of one layer after another, lowest first.
 *
 * @throws Refusal where a cut is too narrow for one bead, or sizes are not positive
 */
export function* layerTracks(print: SyntheticPrint): Generator<Track[]> {
  const spacing = checked(print);
  const { layer, bead } = print;
  const loaded = print.bars.map((placed) => weighed(placed, layer));
  const supports = print.supports
    ? print.bars.map(({ solid }) =>
        supportLines(solid, {
          layer,
          layers: layerCount(solid.height, layer),
          bead,
          spacing: supportSpacing,
          gap: supportGap * bead,
          layersFree: supportLayersFree,
        }),
      )
    : [];
  const patterns = new Map<readonly Ring[], Pattern[]>();
  const standing = print.bars.flatMap((bar) => [bar, ...(bar.posts ?? [])]);
  const top = Math.max(0, ...standing.map(({ solid }) => layerCount(solid.height, layer)));
  let here: Point = [0, 0];
  for (let k = 0; k < top; k++) {
    const tracks: Track[] = [];
    const lay = (track: Track): void => {
      tracks.push(track);
      here = track.points.at(-1)!;
    };
    if (k === 0)
      for (const { outline, width } of print.brims)
        for (const ring of brimLoops(outline, width, bead, spacing))
          lay(closed('brim', ring, here, spacing * layer));
    for (const [index, { placed, layers, scale }] of loaded.entries()) {
      // One post on the way to the bar and the others on the way from it: the short steps need no drawing back.
      const posts = (placed.posts ?? []).toSorted((a, b) => gap(a.at, here) - gap(b.at, here));
      const paths = (post: Placed): Point[][] =>
        postPaths(post.solid.cut((k + 0.5) * layer), post.solid, bead);
      const laySupport = (path: readonly Point[], at: Point): void =>
        lay({ kind: 'support', points: moved(nearestFirst(path, here, at), at), section: spacing * layer });
      for (const post of posts.slice(0, 1)) for (const path of paths(post)) laySupport(path, post.at);
      if (k < layers)
        for (const pattern of patternsOf(placed.solid.cut((k + 0.5) * layer), k, print, spacing, patterns))
          for (const track of regionTracks(pattern, placed.at, here, layer, scale)) lay(track);
      const under = supports[index]?.[k];
      if (under) for (const path of strings(under, supportStepMost)) laySupport(path, placed.at);
      for (const post of posts.slice(1)) for (const path of paths(post)) laySupport(path, post.at);
    }
    yield tracks;
  }
}

/** Support lines of a post, across its longer side: three short walls stand better than two long ones. */
function postPaths(cut: readonly Ring[], solid: Solid, bead: number): Point[][] {
  const angle = solid.length >= solid.width ? Math.PI / 2 : 0;
  const rings = cut.flatMap((ring) => inset(ring, bead / 2));
  return rings.length > 0 ? strings(ruled(rings, angle, supportSpacing), supportStepMost) : [];
}

function checked({ layer, bead, flow, bars }: SyntheticPrint): number {
  const spacing = lineSpacing(layer, bead);
  if (!(layer > 0 && bead > 0 && flow > 0 && spacing > 0))
    throw new Refusal(
      `Layers of ${mm(layer)} mm with beads of ${mm(bead)} mm cannot be laid: both must be above 0, and a bead wider than a fifth of its layer.`,
    );
  if (bars.some(({ solid }) => !(solid.height > 0 && solid.volume > 0)))
    throw new Refusal('A bar without height or area cannot be laid.');
  return spacing;
}

/** Layers of a solid, and what its laid volume must be multiplied by to be the solid's own. */
function weighed(placed: PlacedBar, layer: number): Loaded {
  const { solid } = placed;
  const layers = layerCount(solid.height, layer);
  let volume = 0;
  for (let k = 0; k < layers; k++) volume += cutArea(solid.cut((k + 0.5) * layer)) * layer;
  return { placed, layers, scale: solid.volume / volume };
}

function cutArea(rings: readonly Ring[]): number {
  return rings.reduce((sum, ring) => sum + Math.abs(ringArea(ring)), 0);
}

/** Loops outermost first, and the paths of lines inside them, about the solid's own middle. */
type Pattern = Readonly<{
  area: number;
  loops: readonly Ring[];
  paths: readonly (readonly Point[])[];
  length: number;
}>;

function patternsOf(
  cut: readonly Ring[],
  k: number,
  print: SyntheticPrint,
  spacing: number,
  known: Map<readonly Ring[], Pattern[]>,
): Pattern[] {
  const turn = k % print.angles.length;
  const all = known.get(cut) ?? [];
  if (!known.has(cut)) known.set(cut, all);
  // One slot for each ring and angle.
  return cut.map((ring, index) => {
    const slot = index * print.angles.length + turn;
    const pattern = all[slot] ?? patternOf(ring, print.angles[turn]!, print, spacing);
    all[slot] = pattern;
    return pattern;
  });
}

function patternOf(ring: Ring, angle: number, print: SyntheticPrint, spacing: number): Pattern {
  const loops: Ring[] = [];
  for (let i = 0; i < print.perimeters; i++) loops.push(...inset(ring, print.bead / 2 + i * spacing));
  // The lines end where the next loop would run: their joins then fill its place, and the path is A/s.
  const rings = inset(ring, print.bead / 2 + print.perimeters * spacing);
  const paths = rings.length > 0 ? strings(ruled(rings, angle, spacing), joinMost) : [];
  const length =
    loops.reduce((sum, loop) => sum + pathLength([...loop, loop[0]!]), 0) +
    paths.reduce((sum, path) => sum + pathLength(path), 0);
  if (length === 0)
    throw new Refusal(
      `A cut of the bar is narrower than a bead of ${mm(print.bead)} mm: choose a narrower bead.`,
    );
  return { area: Math.abs(ringArea(ring)), loops, paths, length };
}

function* regionTracks(
  pattern: Pattern,
  at: Point,
  from: Point,
  layer: number,
  scale: number,
): Generator<Track> {
  const section = (pattern.area * layer * scale) / pattern.length;
  let here: Point = [from[0] - at[0], from[1] - at[1]];
  const left = pattern.paths.slice();
  // The loops end where the lines begin, so that the nozzle arrives once.
  const target = left.length > 0 ? left[nearestPath(left, here)]! : undefined;
  const goal = target === undefined ? here : nearestEnd(target, here);
  for (const loop of pattern.loops) {
    const track = closed('loop', loop, goal, section);
    yield { ...track, points: moved(track.points, at) };
    here = track.points.at(-1)!;
  }
  while (left.length > 0) {
    const [path] = left.splice(nearestPath(left, here), 1);
    const points = nearestFirst(path!, here, [0, 0]);
    yield { kind: 'line', points: moved(points, at), section };
    here = points.at(-1)!;
  }
}

/** A ring run once round from the corner nearest to a point. */
function closed(kind: Track['kind'], ring: Ring, near: Point, section: number): Track {
  let first = 0;
  for (let i = 1; i < ring.length; i++) if (gap(ring[i]!, near) < gap(ring[first]!, near)) first = i;
  return { kind, points: [...ring.slice(first), ...ring.slice(0, first), ring[first]!], section };
}

/** Outermost first, so that the nozzle comes to the bar with a clean flow. */
function brimLoops(outline: Ring, width: number, bead: number, spacing: number): Ring[] {
  const loops: Ring[] = [];
  for (let k = Math.floor((width - bead) / spacing); k >= 0; k--)
    loops.push(...inset(outline, -(bead / 2 + k * spacing)));
  return loops;
}

function nearestPath(paths: readonly (readonly Point[])[], here: Point): number {
  let best = 0;
  for (let i = 1; i < paths.length; i++)
    if (gap(nearestEnd(paths[i]!, here), here) < gap(nearestEnd(paths[best]!, here), here)) best = i;
  return best;
}

function nearestEnd(path: readonly Point[], here: Point): Point {
  const first = path[0]!;
  const last = path.at(-1)!;
  return gap(last, here) < gap(first, here) ? last : first;
}

/** A path about `at`, the way round that begins nearer to a point on the sheet. */
function nearestFirst(path: readonly Point[], here: Point, at: Point): readonly Point[] {
  const own: Point = [here[0] - at[0], here[1] - at[1]];
  return nearestEnd(path, own) === path[0] ? path : path.slice().reverse();
}

function moved(points: readonly Point[], [dx, dy]: Point): Point[] {
  return points.map(([x, y]): Point => [x + dx, y + dy]);
}

function gap(a: Point, b: Point): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function pathLength(points: readonly Point[]): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) sum += gap(points[i - 1]!, points[i]!);
  return sum;
}

/**
 * The layers as lines of G-code, without start and end: those belong to the machine. Before the first line the
 * nozzle is taken to stand ready, with nothing drawn back; after the last nothing is drawn back either.
 */
export function* layerLines(print: SyntheticPrint): Generator<string> {
  const strandArea = (Math.PI / 4) * print.strandDiameter ** 2;
  const back = mm(print.retract.length);
  const backFeed = Math.round(mm(print.retract.speed) * 60);
  const travelFeed = Math.round(mm(print.travelSpeed) * 60);
  const absolute = print.strand === 'absolute';
  // Strand is written in steps of 1e-5 mm; what rounding leaves is carried to the next move, so sums stay exact.
  let owed = 0;
  let written = 0;
  let feed = 0;
  let here: Point | undefined;
  const strand = (length: number): string => {
    owed += length;
    const step = Math.round(owed * 1e5);
    owed -= step / 1e5;
    written += step;
    return `E${((absolute ? written : step) / 1e5).toFixed(5)}`;
  };
  const atFeed = (value: number): string => {
    if (value === feed) return '';
    feed = value;
    return ` F${value}`;
  };
  yield 'G90';
  yield absolute ? 'M82' : 'M83';
  let k = 0;
  for (const tracks of layerTracks(print)) {
    if (absolute) {
      yield 'G92 E0';
      written = 0;
    }
    yield `G0 Z${mm((k + 1) * print.layer).toFixed(3)}${atFeed(liftFeed)}`;
    if (k === 1) yield `M106 S${Math.round(255 * print.fan)}`;
    for (const track of tracks) {
      const [start] = track.points;
      if (here === undefined || gap(here, start!) >= joinMost) {
        yield `G1 ${strand(-back)}${atFeed(backFeed)}`;
        yield `G0 ${place(start!)}${atFeed(travelFeed)}`;
        yield `G1 ${strand(back)}${atFeed(backFeed)}`;
      } else if (place(here) !== place(start!)) {
        yield `G0 ${place(start!)}${atFeed(travelFeed)}`;
      }
      const speed = (print.flow / track.section) * (k === 0 ? print.firstLayerShare : 1);
      const layFeed = Math.round(mm(speed) * 60);
      let before = start!;
      for (let i = 1; i < track.points.length; i++) {
        const point = track.points[i]!;
        const length = mm((gap(before, point) * track.section) / strandArea);
        before = point;
        yield `G1 ${place(point)} ${strand(length)}${atFeed(layFeed)}`;
      }
      here = before;
    }
    k++;
  }
}

const mm = (metres: number): number => metres * 1000;

function place([x, y]: Point): string {
  return `X${mm(x).toFixed(3)} Y${mm(y).toFixed(3)}`;
}

/** Lines of plain text as bytes, in chunks of about 64 KiB, so that a reader of files can take them. */
export function* textBytes(lines: Iterable<string>): Generator<Uint8Array> {
  let chunk = new Uint8Array(1 << 16);
  let used = 0;
  for (const line of lines) {
    if (used + line.length + 1 > chunk.length) {
      yield chunk.subarray(0, used);
      chunk = new Uint8Array(Math.max(1 << 16, line.length + 1));
      used = 0;
    }
    for (let i = 0; i < line.length; i++) chunk[used++] = line.charCodeAt(i);
    chunk[used++] = 10;
  }
  if (used > 0) yield chunk.subarray(0, used);
}
