import { PASS_STEP_MM, type Passes } from './passes.ts';

/** Segments of one pass: the first, the one behind the last, and the height of their beads [mm]. */
export type Range = Readonly<{ pass: number; from: number; to: number; beadMm: number }>;

/** All that is printed at one height, at whatever time. */
export type Level = Readonly<{
  zMm: number;
  /** Top of its beads: a pass at height 0 still stands as high as its bead. */
  topMm: number;
  /** Height of a layer hereabouts. */
  layerMm: number;
  ranges: readonly Range[];
}>;

/** The layer height is the largest of so many levels, so that a level that comes between two others does not halve it. */
const LEVELS_OF_LAYER = 4;
/** A pass that rises by less than this share of the layer comes between two others: its beads are as high as the layer. */
const BETWEEN_SHARE = 0.75;

/** Heights at which something is printed, from the lowest up; nearer than a pass step is the same. */
export function levels(passes: Passes): number[] {
  const sorted = passes.zMm.toSorted();
  const result: number[] = [];
  for (const z of sorted) if (result.length === 0 || z - result.at(-1)! > PASS_STEP_MM) result.push(z);
  return result;
}

/** The same with what is printed there, whenever that was: parts printed one after another share their levels. */
export function levelsOf(passes: Passes, segmentCount: number): Level[] {
  const groups = levels(passes).map((zMm, k, all) => ({
    zMm,
    rise: k > 0 ? zMm - all[k - 1]! : zMm,
    passes: [] as number[],
  }));
  const order = Array.from({ length: passes.count }, (_, p) => p);
  order.sort((a, b) => passes.zMm[a]! - passes.zMm[b]! || a - b);
  let level = 0;
  for (const p of order) {
    while (passes.zMm[p]! - groups[level]!.zMm > PASS_STEP_MM) level++;
    groups[level]!.passes.push(p);
  }
  for (const group of groups)
    for (const p of group.passes)
      if (p > 0 && passes.zMm[p]! > passes.zMm[p - 1]!)
        group.rise = Math.max(group.rise, passes.heightMm[p]!);
  return groups.map(({ zMm, passes: own }, k) => {
    const highest = own.reduce((most, p) => Math.max(most, passes.heightMm[p]!), 0);
    const rise = groups.slice(Math.max(0, k + 1 - LEVELS_OF_LAYER), k + 1);
    const layerMm = rise.reduce((most, group) => Math.max(most, group.rise), 0) || highest;
    return {
      zMm,
      topMm: zMm > 0 ? zMm : highest,
      layerMm,
      ranges: own
        .sort((a, b) => a - b)
        .map((p) => {
          const height = passes.heightMm[p]!;
          return {
            pass: p,
            from: passes.first[p]!,
            to: p + 1 < passes.count ? passes.first[p + 1]! : segmentCount,
            beadMm: height < BETWEEN_SHARE * layerMm ? layerMm : height,
          };
        }),
    };
  });
}
