/**
 * Bending of the strand on its way: outer strain in a bend, and the tightest bend that a strain allows.
 *
 * `sense` says which way round a bend goes: 1 as the winding bent the strand, -1 against it, 0 not known, which takes
 * the worse of both. Strain is a size, never negative.
 */
export type Sense = 1 | -1 | 0;

/** How the winding has bent the strand for good: radius of the winding it comes from [m], share that stays 0..1. */
export type WindingSet = Readonly<{ radius: number; share: number }>;

/** Curvature that the winding left in the strand [1/m]. */
function curvatureLeft(set: WindingSet): number {
  return set.share / set.radius;
}

/**
 * Outer strain of a strand in a bend [feed-1].
 *
 *   e = d/2 |1/R - sense k_set/R_set|
 *
 * @param diameter d [m]
 * @param radius   R of the strand's axis [m]; infinite: pulled straight
 * Source: beam theory.
 */
export function bendingStrain(diameter: number, radius: number, set: WindingSet, sense: Sense): number {
  const way = sense === 0 ? -1 : sense;
  return 0.5 * diameter * Math.abs(1 / radius - way * curvatureLeft(set));
}

/**
 * Smallest radius in which the outer strain stays at `strain` [m] [feed-2]: the inverse of {@link bendingStrain} on the
 * side of the tight bends.
 *
 *   R_min = 1/(2 e/d + sense k_set/R_set)
 *
 * @returns Infinity where the set alone uses the strain up
 */
export function smallestRadius(diameter: number, strain: number, set: WindingSet, sense: Sense): number {
  const way = sense === 0 ? -1 : sense;
  const curvature = (2 * strain) / diameter + way * curvatureLeft(set);
  return curvature > 0 ? 1 / curvature : Number.POSITIVE_INFINITY;
}
