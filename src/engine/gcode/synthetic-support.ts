/**
 * Where a solid needs something under it, found layer by layer from its cuts. A part of a layer hangs over when it
 * lies on nothing of the layer below and somewhere goes further out than one bead; what hangs over is supported
 * whole, down to the sheet or to the solid itself. Worked out along the lines in which the support is drawn.
 */
import type { Ring, Solid } from '../bars/outline.ts';
import { type Intervals, inside, type Lines, union, widened, without } from './synthetic-lines.ts';

export type SupportOptions = Readonly<{
  layer: number;
  layers: number;
  /** Width of a bead; a layer may go this far out over the one below by itself. */
  bead: number;
  /** Distance between support lines. */
  spacing: number;
  /** Free width between support and solid, side by side. */
  gap: number;
  /** Layers left empty between a support and what it carries, so that it breaks off. */
  layersFree: number;
}>;

/** Offsets across the lines, in beads or gaps, at which a disc is sampled to widen a cut in the plane. */
const discSamples = [-1, -0.5, 0, 0.5, 1];

/** Support lines of every layer, along x, lowest layer first. Empty families where nothing is needed. */
export function supportLines(solid: Solid, options: SupportOptions): Lines[] {
  const { layer, layers, bead, spacing, gap, layersFree } = options;
  const count = Math.max(1, Math.floor((solid.width - bead) / spacing) + 1);
  const across = Array.from({ length: count }, (_, i) => (i - (count - 1) / 2) * spacing);
  const cuts = Array.from({ length: layers }, (_, k) => solid.cut((k + 0.5) * layer));
  const shadow: Intervals[] = across.map(() => []);
  const found: Lines[] = [];
  for (let k = layers - 1; k >= 0; k--) {
    const carried = k + 1 + layersFree;
    for (let line = 0; line < count; line++) {
      const v = across[line]!;
      let below = shadow[line]!;
      if (carried < layers) below = union(below, overhang(cuts[carried]!, cuts[carried - 1]!, v, bead));
      // Ledges that follow one another leave slits between their supports, too narrow to be worth a gap.
      shadow[line] = below.length === 0 ? below : without(closed(below, bead), grown(cuts[k]!, v, gap));
    }
    const on = shadow.map((intervals) => longEnough(widened(intervals, -bead / 2), bead));
    found.push({ angle: 0, across, on });
  }
  return found.reverse();
}

/** What of a layer hangs over the one below, along the line at v. */
function overhang(upper: readonly Ring[], lower: readonly Ring[], v: number, bead: number): Intervals {
  if (upper === lower) return [];
  const bare = without(inside(upper, 0, v), inside(lower, 0, v));
  if (bare.length === 0) return bare;
  const carried = grown(lower, v, bead);
  const out: number[] = [];
  for (let i = 0; i < bare.length; i += 2) {
    const piece = [bare[i]!, bare[i + 1]!];
    if (without(piece, carried).length > 0) out.push(...piece);
  }
  return out;
}

/** Where the line at v is within `by` of the rings. */
function grown(rings: readonly Ring[], v: number, by: number): Intervals {
  let out: Intervals = [];
  for (const share of discSamples) {
    const along = by * Math.sqrt(1 - share * share);
    const at = inside(rings, 0, v + share * by);
    out = union(out, along > 0 ? widened(at, along) : at);
  }
  return out;
}

/** Intervals nearer to each other than `by` made one. */
function closed(intervals: Intervals, by: number): Intervals {
  return widened(widened(intervals, by / 2), -by / 2);
}

/** Without the stubs that are shorter than a bead is wide. */
function longEnough(intervals: Intervals, bead: number): Intervals {
  const out: number[] = [];
  for (let i = 0; i < intervals.length; i += 2)
    if (intervals[i + 1]! - intervals[i]! >= bead) out.push(intervals[i]!, intervals[i + 1]!);
  return out;
}
