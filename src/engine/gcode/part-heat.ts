import { laidHeat, type Melt } from './bead.ts';
import type { PartPasses } from './laid.ts';
import type { Passes } from './passes.ts';

/**
 * Heat that each pass brings to each part, in total and per area and time. The area is the one that the pass covers,
 * its volume over its height; the time is the one until the part is printed on again.
 *
 *   q = Q/(A t)                                                                                     [gcode-9]
 *
 * @returns one row a row of `partPasses`: heat [J] and flux [W/m2]
 */
export function partHeat(
  partPasses: PartPasses,
  passes: Passes,
  melt: Melt,
): { heatJ: Float64Array; fluxWM2: Float64Array } {
  const heatJ = partPasses.volumeMm3.map((volume) => laidHeat(volume, melt));
  const fluxWM2 = heatJ.map((heat, k) => {
    const areaM2 = (partPasses.volumeMm3[k]! / passes.heightMm[partPasses.pass[k]!]!) * 1e-6;
    return heat / (areaM2 * partPasses.returnS[k]!);
  });
  return { heatJ, fluxWM2 };
}
