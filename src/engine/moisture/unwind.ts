import { GAS_CONSTANT, MOLAR_MASS_WATER } from '../air/constants.ts';
import { saturationPressure } from '../air/saturation.ts';
import { activityShift, type Polymer } from './polymer.ts';
import { copyState, layRings, type Scratch } from './spool-state.ts';

/**
 * Strand that is drawn off the outside of the winding: the outermost ring grows thinner from without, and takes its
 * water, its pores' vapour and its heat along. What stays keeps its state exactly; only when the outermost ring has
 * become thin are all rings laid anew, equally deep, with every content carried over by volume [moisture-26].
 */

/** What has left with the strand since the start. */
export type Drawn = {
  /** Dry strand [kg], the water in its polymer [kg], vapour and liquid of its pores [kg]. */
  strand: number;
  water: number;
  vapour: number;
  /** Heat above 0 K [J]. */
  heat: number;
  /** Strand that was wanted and was not there [kg]. */
  lacking: number;
};

export function noneDrawn(): Drawn {
  return { strand: 0, water: 0, vapour: 0, heat: 0, lacking: 0 };
}

/** The outermost ring is laid anew with the others below this share of their mean depth (choice). */
const THIN = 0.5;
/** At most so much of the outermost ring goes at once, so that a ring always remains. */
const AT_ONCE = 0.9;
/** The last strand on the hub, by depth of the winding over its radius, is never drawn off: no ring is empty. */
const LEAST_DEPTH = 0.01;

/** Less than this is rounding of the radius [kg]. */
const ROUNDING = 1e-12;

/**
 * Draws dry strand off, adds what left to `drawn`, and leaves cells and state as they are after it. The conductances of
 * the place have to be set again (`enterHeat`), since the cells have changed.
 *
 * @param strand dry strand [kg]; what is not there counts as lacking
 */
export function drawOff(s: Scratch, polymer: Polymer, strand: number, drawn: Drawn): void {
  const { rings } = s.grid;
  const { face } = s;
  const polymerShare = 1 - polymer.fibreShare;
  const section = (s.polymerByVolume / polymerShare) * Math.PI * s.layerHeight * s.grid.layers;
  const hub = face[0]!;
  const least = section * hub * hub * (2 * LEAST_DEPTH + LEAST_DEPTH * LEAST_DEPTH);
  let left = strand;
  while (left > 0) {
    const outer = face[rings]!;
    const inner = face[rings - 1]!;
    const there = section * (outer * outer - hub * hub) - least;
    if (there <= ROUNDING) {
      drawn.lacking += left;
      return;
    }
    const ring = section * (outer * outer - inner * inner);
    const goes = Math.min(left, there, AT_ONCE * ring);
    takeFromOutermost(s, goes / ring, drawn);
    drawn.strand += goes;
    face[rings] = Math.sqrt(outer * outer - goes / section);
    left -= goes;
    layRings(s);
    if (face[rings]! - inner < (THIN * (face[rings]! - hub)) / rings) layAnew(s, polymer);
  }
}

/** Takes a share of what the outermost ring holds. */
function takeFromOutermost(s: Scratch, share: number, drawn: Drawn): void {
  const { rings, layers } = s.grid;
  const { mean, vapour, liquid, temperature, evaporation } = s.state;
  for (let layer = 0; layer < layers; layer++) {
    const c = (rings - 1) * s.ringStride + layer * s.layerStride;
    drawn.water += share * s.polymerMass[c]! * mean[c]!;
    drawn.vapour +=
      share *
      ((s.porosity * s.volume[c]! * MOLAR_MASS_WATER * vapour[c]!) / (GAS_CONSTANT * temperature[c]!) +
        liquid[c]!);
    drawn.heat += share * s.heat[c]! * temperature[c]!;
    liquid[c]! *= 1 - share;
    evaporation[c]! *= 1 - share;
  }
}

/** Equal rings again: water of each shell, heat, vapour and liquid are carried over by the volume that overlaps. */
function layAnew(s: Scratch, polymer: Polymer): void {
  const { rings, layers, shells } = s.grid;
  const { state, spareState: old, face, spareFace: before } = s;
  copyState(state, old);
  before.set(face);
  const hub = face[0]!;
  const deep = (face[rings]! - hub) / rings;
  for (let ring = 1; ring < rings; ring++) face[ring] = hub + deep * ring;
  layRings(s);
  state.temperature.fill(0);
  state.vapour.fill(0);
  state.liquid.fill(0);
  state.water.fill(0);
  state.mean.fill(0);
  state.surface.fill(0);
  state.evaporation.fill(0);
  for (let ring = 0; ring < rings; ring++) {
    const area = face[ring + 1]! ** 2 - face[ring]! ** 2;
    for (let from = 0; from < rings; from++) {
      const low = Math.max(face[ring]!, before[from]!);
      const high = Math.min(face[ring + 1]!, before[from + 1]!);
      if (high <= low) continue;
      const overlap = high * high - low * low;
      const share = overlap / area;
      const ofOld = overlap / (before[from + 1]! ** 2 - before[from]! ** 2);
      for (let layer = 0; layer < layers; layer++) {
        const to = ring * s.ringStride + layer * s.layerStride;
        const at = from * s.ringStride + layer * s.layerStride;
        state.temperature[to]! += share * old.temperature[at]!;
        state.vapour[to]! += (share * old.vapour[at]!) / old.temperature[at]!;
        state.liquid[to]! += ofOld * old.liquid[at]!;
        state.evaporation[to]! += ofOld * old.evaporation[at]!;
        state.mean[to]! += share * old.mean[at]!;
        state.surface[to]! += share * old.surface[at]!;
        for (let i = 0; i < shells; i++) state.water[to * shells + i]! += share * old.water[at * shells + i]!;
      }
    }
  }
  for (let c = 0; c < s.cells; c++) {
    const temperature = state.temperature[c]!;
    state.vapour[c]! *= temperature;
    state.activity[c] =
      (state.vapour[c]! / saturationPressure(temperature)) * activityShift(polymer, temperature);
  }
}
