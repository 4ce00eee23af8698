import { nearestCells } from './nearest-cell.ts';

/**
 * Binary closing of a grid with a disc: grown by the radius, then shrunk by it. Gaps narrower than the disc fill.
 *
 * @param radius of the disc, in cells; the set cells must stay further than this from the border of the grid
 * @returns 1 in the cells of the closed figure
 */
export function closed(set: ArrayLike<number>, width: number, height: number, radius: number): Uint8Array {
  const most = radius * radius;
  const grown = nearestCells(set, width, height).distance2;
  const outside = Uint8Array.from(grown, (d2) => (d2 > most ? 1 : 0));
  const inward = nearestCells(outside, width, height).distance2;
  return Uint8Array.from(inward, (d2) => (d2 > most ? 1 : 0));
}
