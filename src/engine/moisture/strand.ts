import { GAS_CONSTANT } from '../air/constants.ts';
import { type CubicTable, fillCubicTable, makeCubicTable, readCubicTable } from '../numerics/cubic-table.ts';
import { fibreVolumeShare, type Polymer, REFERENCE_TEMPERATURE } from './polymer.ts';

/**
 * Water inside one strand or one plane sheet: shells with one water content each, joined to the surface.
 *
 * Shells run from the axis (or the middle plane) outwards. All is scaled to the whole body: `share` is the volume
 * share of a shell, `reach` the conductance of a face by unit of diffusivity and of volume [1/m2], the last face being
 * that from the outermost shell to the surface, half a shell away. Flux into the body is positive.
 */
export type Shells = Readonly<{
  count: number;
  share: Float64Array;
  reach: Float64Array;
}>;

/** Faces crowd towards the surface, where profiles are steep: x_i = 1 - (1 - i/N)^1.5 (choice; 1 is uniform). */
const CROWDING = 1.5;

/**
 * Shells of a cylinder or of a sheet [moisture-6].
 *
 * @param size  radius of the cylinder, half thickness of the sheet [m]
 * @param count shells, >= 2
 */
export function makeShells(
  shape: 'cylinder' | 'sheet',
  size: number,
  count: number,
  crowding = CROWDING,
): Shells {
  const shells = { count, share: new Float64Array(count), reach: new Float64Array(count) };
  setShells(shells, shape, size, crowding);
  return shells;
}

/** The same into arrays that are there already. */
export function setShells(
  shells: Shells,
  shape: 'cylinder' | 'sheet',
  size: number,
  crowding = CROWDING,
): void {
  const { count, share, reach } = shells;
  const face = (i: number) => size * (1 - (1 - i / count) ** crowding);
  const middle = (i: number) => 0.5 * (face(i) + face(i + 1));
  for (let i = 0; i < count; i++) {
    const inner = face(i);
    const outer = face(i + 1);
    const distance = i < count - 1 ? middle(i + 1) - middle(i) : size - middle(i);
    if (shape === 'cylinder') {
      share[i] = (outer * outer - inner * inner) / (size * size);
      reach[i] = (2 * outer) / (size * size * distance);
    } else {
      share[i] = (outer - inner) / size;
      reach[i] = 1 / (size * distance);
    }
  }
}

/**
 * The laws of diffusion of one polymer with everything hoisted that does not change from step to step; filled by
 * {@link setDiffusionLaw}, so that draws can share one. `rise` is exp(kap w_Tg ln(1 + exp(x))) over x = (T - Tg)/w_Tg.
 */
export type DiffusionLaw = {
  scale: number;
  energyOverR: number;
  glassWet: number;
  glassSpan: number;
  inverseGlassWater: number;
  inverseWidth: number;
  exponent: number;
  rise: CubicTable;
};

/** Eight pieces a width of the transition, from deep in the glass to 190 K above: off by less than 1e-7 (tested). */
const RISE_FROM = -16;
const RISE_UNTIL = 32;
const RISE_PIECES = 8 * (RISE_UNTIL - RISE_FROM);
const SOFTPLUS = new Float64Array(RISE_PIECES + 1);
const SIGMOID = new Float64Array(RISE_PIECES + 1);
for (let k = 0; k <= RISE_PIECES; k++) {
  const x = RISE_FROM + k / 8;
  SOFTPLUS[k] = x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x));
  SIGMOID[k] = 1 / (1 + Math.exp(-x));
}

/** exp(-z), 16 pieces a unit, until the rest is 1e-7 of the start: off by less than 4e-8 (tested). */
const FADE_UNTIL = 16;
const FADE = makeCubicTable(0, FADE_UNTIL, 16 * FADE_UNTIL);
{
  const values = Float64Array.from({ length: FADE.pieces + 1 }, (_, k) => Math.exp(-k / 16));
  fillCubicTable(
    FADE,
    values,
    values.map((v) => -v),
  );
}

export function makeDiffusionLaw(p: Polymer): DiffusionLaw {
  const law: DiffusionLaw = {
    scale: 0,
    energyOverR: 0,
    glassWet: 0,
    glassSpan: 0,
    inverseGlassWater: 0,
    inverseWidth: 0,
    exponent: 0,
    rise: makeCubicTable(RISE_FROM, RISE_UNTIL, RISE_PIECES),
  };
  setDiffusionLaw(law, p);
  return law;
}

const riseValues = new Float64Array(RISE_PIECES + 1);
const riseSlopes = new Float64Array(RISE_PIECES + 1);

export function setDiffusionLaw(law: DiffusionLaw, p: Polymer): void {
  law.scale = p.diffusivity / (1 + fibreVolumeShare(p));
  law.energyOverR = p.diffusionEnergy / GAS_CONSTANT;
  law.glassWet = p.glassWet;
  law.glassSpan = p.glassDry - p.glassWet;
  law.inverseGlassWater = 1 / p.glassWater;
  law.inverseWidth = 1 / p.glassWidth;
  law.exponent = p.riseAboveGlass * p.glassWidth;
  for (let k = 0; k <= RISE_PIECES; k++) {
    riseValues[k] = Math.exp(law.exponent * SOFTPLUS[k]!);
    riseSlopes[k] = riseValues[k]! * law.exponent * SIGMOID[k]!;
  }
  fillCubicTable(law.rise, riseValues, riseSlopes);
}

/** exp(exponent ln(1 + exp(x))) where the table ends. */
function riseAt(exponent: number, x: number): number {
  return Math.exp(exponent * (x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x))));
}

/**
 * Conductances of all faces for one step of `dt`, from the water at its start, into `joint` (see numerics/chain.ts):
 * the harmonic mean of D of both sides at inner faces, the plain mean of the surface and the last shell at the
 * surface. D is that of polymer.ts, by tables [moisture-5], [moisture-6].
 *
 * @param surface water at the surface at the start of the step
 */
export function joinShells(
  law: DiffusionLaw,
  shells: Shells,
  temperature: number,
  water: Float64Array,
  at: number,
  surface: number,
  dt: number,
  joint: Float64Array,
): void {
  const { count, reach } = shells;
  const arrhenius =
    dt * law.scale * Math.exp(-law.energyOverR * (1 / temperature - 1 / REFERENCE_TEMPERATURE));
  const aboveWet = (temperature - law.glassWet) * law.inverseWidth;
  const span = law.glassSpan * law.inverseWidth;
  const { inverseGlassWater, exponent, rise } = law;
  let before = 0;
  for (let i = 0; i <= count; i++) {
    const faded = (i < count ? water[at + i]! : surface) * inverseGlassWater;
    const fade = faded >= 0 && faded < FADE_UNTIL ? readCubicTable(FADE, faded) : Math.exp(-faded);
    const above = aboveWet - span * fade;
    const here =
      above >= RISE_FROM && above < RISE_UNTIL ? readCubicTable(rise, above) : riseAt(exponent, above);
    if (i === count) joint[i - 1] = 0.5 * arrhenius * (before + here) * reach[i - 1]!;
    else if (i > 0) joint[i - 1] = ((2 * arrhenius * before * here) / (before + here)) * reach[i - 1]!;
    before = here;
  }
}

/** The same for a constant diffusivity. */
export function joinShellsEvenly(shells: Shells, diffusivity: number, dt: number, joint: Float64Array): void {
  for (let i = 0; i < shells.count; i++) joint[i] = diffusivity * dt * shells.reach[i]!;
}
