import type { Piece } from '../../job.ts';

/** One bend on the way from the winding to the drive. */
export type Bend = Readonly<{
  /** Of the strand's axis [m], and how far it turns [rad]. */
  radius: number;
  angle: number;
  /** Tube between the box and the bend [m]. */
  distance: number;
  /** It lies before the tube begins: in the air of the box, warm after a stop too. */
  inBox: boolean;
}>;

/** The strand's way: all of the tube [m], and its bends in order. */
export type Way = Readonly<{ length: number; bends: readonly Bend[] }>;

/**
 * The way from its pieces, in the order from the winding [feed-11]. A bend lies as far along the tube as the tubes
 * listed before it are long; bends listed before the first tube lie in the box, and where no tube is listed all of them
 * lie at the end of a tube whose length nobody said, which is the cold side.
 *
 * @param length   of all tubes [m]; those that are listed are stretched to it
 * @param tightest radius of the tightest bend [m]; all bends are scaled to it, and one quarter turn at the end of the
 *                 tube stands for a way whose bends nobody told
 */
export function wayOf(pieces: readonly Piece[], length: number, tightest: number): Way {
  let listed = 0;
  let least = Number.POSITIVE_INFINITY;
  for (const piece of pieces) {
    if (piece.kind === 'tube') listed += piece.length;
    else least = Math.min(least, piece.radius);
  }
  const stretch = listed > 0 ? length / listed : 0;
  const scale = tightest / least;
  const bends: Bend[] = [];
  let distance = 0;
  for (const piece of pieces) {
    if (piece.kind === 'tube') distance += piece.length * stretch;
    else
      bends.push({
        radius: piece.radius * scale,
        angle: piece.angle,
        distance: listed > 0 ? distance : length,
        inBox: listed > 0 && distance === 0,
      });
  }
  if (bends.length === 0)
    bends.push({ radius: tightest, angle: QUARTER_TURN, distance: length, inBox: false });
  return { length, bends };
}

/** What the card of the way assumes where nobody told a bend [rad]. */
const QUARTER_TURN = Math.PI / 2;
