import { saturationPressure } from '../air/saturation.ts';
import { activityShift, balanceHumidity, type Polymer, strandDensity } from './polymer.ts';
import { type DiffusionLaw, makeDiffusionLaw, type Shells, setDiffusionLaw, setShells } from './strand.ts';
import { heatOfDrying, packConductivity, poreShare, type Winding } from './winding.ts';

/** How finely a spool is cut: rings by layers of the pack, shells of each strand. */
export type Grid = Readonly<{ rings: number; layers: number; shells: number }>;

/**
 * What a spool is at one moment. One value a cell, cell = ring * ringStride + layer * layerStride (see Scratch), and
 * `water[shell + shells * cell]`. Flow of heat and water out of a strand into the pores is `evaporation`, positive.
 */
export type SpoolState = {
  temperature: Float64Array;
  /** Vapour pressure in the pores [Pa] and liquid water there [kg]. */
  vapour: Float64Array;
  liquid: Float64Array;
  /** Activity of that vapour in the isotherm: rh s(T). */
  activity: Float64Array;
  /** Water of the polymer: in shells, mean of the cell, and at the strand's surface [kg/kg]. */
  water: Float64Array;
  mean: Float64Array;
  surface: Float64Array;
  /** Of the step before [kg/s]. */
  evaporation: Float64Array;
};

export function makeState(grid: Grid): SpoolState {
  const cells = grid.rings * grid.layers;
  return {
    temperature: new Float64Array(cells),
    vapour: new Float64Array(cells),
    liquid: new Float64Array(cells),
    activity: new Float64Array(cells),
    water: new Float64Array(cells * grid.shells),
    mean: new Float64Array(cells),
    surface: new Float64Array(cells),
    evaporation: new Float64Array(cells),
  };
}

export function copyState(from: SpoolState, to: SpoolState): void {
  to.temperature.set(from.temperature);
  to.vapour.set(from.vapour);
  to.liquid.set(from.liquid);
  to.activity.set(from.activity);
  to.water.set(from.water);
  to.mean.set(from.mean);
  to.surface.set(from.surface);
  to.evaporation.set(from.evaporation);
}

/** How many numbers {@link packState} writes for a grid. */
export function stateWidth(grid: Grid): number {
  return grid.rings * grid.layers * (7 + grid.shells);
}

const fieldsOf = (state: SpoolState) => [
  state.temperature,
  state.vapour,
  state.liquid,
  state.activity,
  state.mean,
  state.surface,
  state.evaporation,
  state.water,
];

/** Writes a state into a row of numbers, so that another run can go on from it. */
export function packState(state: SpoolState, into: Float64Array, at: number): void {
  let to = at;
  for (const field of fieldsOf(state)) {
    into.set(field, to);
    to += field.length;
  }
}

/** Reads what {@link packState} wrote; the grid must be the same. */
export function unpackState(from: Float64Array, at: number, state: SpoolState): void {
  let next = at;
  for (const field of fieldsOf(state)) {
    field.set(from.subarray(next, next + field.length));
    next += field.length;
  }
}

/** The air in the box and what else it holds: T [K], p [Pa], liquid on the walls [kg], water of the desiccant [kg/kg]. */
export type BoxState = { temperature: number; vapour: number; liquid: number; desiccant: number };

/**
 * All arrays of a run, made once and used for any number of draws of one grid. Conductances between cells: `inner` to
 * the next cell, `across` to the cell `width` further on, `width` being the shorter side of the grid and the bandwidth
 * of both systems.
 */
export type Scratch = {
  grid: Grid;
  cells: number;
  width: number;
  ringStride: number;
  layerStride: number;
  state: SpoolState;
  box: BoxState;
  shells: Shells;
  law: DiffusionLaw;
  /** By cell: volume [m3], dry polymer [kg], heat held [J/K]. */
  volume: Float64Array;
  polymerMass: Float64Array;
  heat: Float64Array;
  /** Shapes of the conductances [m]: length by length, to be multiplied by a conductivity. */
  innerShape: Float64Array;
  acrossShape: Float64Array;
  /** Faces: conductance shape from the centre of the cell to the face [m], 0 where there is no face, and area [m2]. */
  outerShape: Float64Array;
  outerArea: Float64Array;
  hubShape: Float64Array;
  hubArea: Float64Array;
  topShape: Float64Array;
  bottomShape: Float64Array;
  flangeArea: Float64Array;
  /** Temperatures at the start of a step, the box last. */
  before: Float64Array;
  /** Heat: factor of the matrix, conductances to the box air and to the bed [W/K], answer, response to the box. */
  heatFactor: Float64Array;
  heatDiagonal: Float64Array;
  toAir: Float64Array;
  toBed: Float64Array;
  heatAnswer: Float64Array;
  heatResponse: Float64Array;
  heatPivot: number;
  heatStep: number;
  /** Water: see spool-water.ts. Arrays with a margin of `width` cells on both ends say so by `...Wide`. */
  poreConductance: Float64Array;
  innerWide: Float64Array;
  acrossWide: Float64Array;
  guessWide: Float64Array;
  toBox: Float64Array;
  pore: Float64Array;
  diagonal: Float64Array;
  known: Float64Array;
  humidityScale: Float64Array;
  saturation: Float64Array;
  entry: Float64Array;
  entryKnown: Float64Array;
  jacobian: Float64Array;
  correction: Float64Array;
  boxResponse: Float64Array;
  joint: Float64Array;
  carryShell: Float64Array;
  knownShell: Float64Array;
  /** Radii between the rings [m], the hub first: the outermost moves inwards as strand is drawn off. */
  face: Float64Array;
  /** State and radii set aside while rings are laid anew. */
  spareState: SpoolState;
  spareFace: Float64Array;
  /** Constants of the draw. Width of a layer [m]; dry polymer and heat held by volume of the winding [kg/m3], [J/(m3 K)]. */
  layerHeight: number;
  polymerByVolume: number;
  heatByVolume: number;
  porosity: number;
  conductivity: number;
  poreShare: number;
  drying: number;
  flangePermeance: number;
  flangeResistance: number;
};

export function makeScratch(grid: Grid): Scratch {
  const { rings, layers, shells } = grid;
  if (!(rings >= 1 && layers >= 1 && shells >= 2))
    throw new RangeError(`a grid of ${rings} x ${layers} cells with ${shells} shells`);
  const cells = rings * layers;
  const width = Math.min(rings, layers);
  const ringsInside = rings <= layers;
  const by = () => new Float64Array(cells);
  const wide = () => new Float64Array(cells + 2 * width);
  return {
    grid,
    cells,
    width,
    ringStride: ringsInside ? 1 : layers,
    layerStride: ringsInside ? rings : 1,
    state: makeState(grid),
    box: { temperature: 0, vapour: 0, liquid: 0, desiccant: 0 },
    shells: { count: shells, share: new Float64Array(shells), reach: new Float64Array(shells) },
    law: makeDiffusionLaw(NO_POLYMER),
    volume: by(),
    polymerMass: by(),
    heat: by(),
    innerShape: by(),
    acrossShape: by(),
    outerShape: by(),
    outerArea: by(),
    hubShape: by(),
    hubArea: by(),
    topShape: by(),
    bottomShape: by(),
    flangeArea: by(),
    before: new Float64Array(cells + 1),
    heatFactor: new Float64Array(cells * (width + 1)),
    heatDiagonal: by(),
    toAir: by(),
    toBed: by(),
    heatAnswer: by(),
    heatResponse: by(),
    heatPivot: 0,
    heatStep: 0,
    poreConductance: by(),
    innerWide: wide(),
    acrossWide: wide(),
    guessWide: wide(),
    toBox: by(),
    pore: by(),
    diagonal: by(),
    known: by(),
    humidityScale: by(),
    saturation: by(),
    entry: by(),
    entryKnown: by(),
    jacobian: new Float64Array(cells * (width + 1)),
    correction: by(),
    boxResponse: by(),
    joint: new Float64Array(shells),
    carryShell: new Float64Array(cells * shells),
    knownShell: new Float64Array(cells * shells),
    face: new Float64Array(rings + 1),
    spareState: makeState(grid),
    spareFace: new Float64Array(rings + 1),
    layerHeight: 0,
    polymerByVolume: 0,
    heatByVolume: 0,
    porosity: 0,
    conductivity: 0,
    poreShare: 0,
    drying: 0,
    flangePermeance: 0,
    flangeResistance: 0,
  };
}

/** Fills the law before the first draw; never computed with. */
const NO_POLYMER: Polymer = {
  fibreShare: 0,
  polymerDensity: 1,
  fibreDensity: 1,
  heatCapacity: 1,
  monolayer: 1,
  gabC: 1,
  gabK: 0,
  capacityFactor: 1,
  excessHeat: 0,
  glassDry: 1,
  glassWet: 1,
  glassWater: 1,
  glassWidth: 1,
  diffusivity: 1,
  diffusionEnergy: 0,
  riseAboveGlass: 0,
};

/**
 * Cuts the winding of a draw into cells [moisture-10]: rings of equal depth, layers of equal height, between cells
 * 2 pi dz/ln(r2/r1) and pi (r2^2 - r1^2)/dz, half cells at the faces.
 *
 * @throws RangeError where the sizes make no winding: the caller's fault
 */
export function layWinding(s: Scratch, polymer: Polymer, w: Winding): void {
  if (!(w.innerRadius > 0 && w.outerRadius > w.innerRadius && w.width > 0))
    throw new RangeError(
      `a winding from ${w.innerRadius} m to ${w.outerRadius} m, ${w.width} m wide, has no room for strand`,
    );
  if (!(w.solidShare > 0 && w.solidShare < 1))
    throw new RangeError(`${w.solidShare} of the winding is strand: a share between 0 and 1 is needed`);
  const { rings, layers } = s.grid;
  const density = strandDensity(polymer);
  s.layerHeight = w.width / layers;
  s.polymerByVolume = w.solidShare * density * (1 - polymer.fibreShare);
  s.heatByVolume = w.solidShare * density * polymer.heatCapacity;
  const deep = (w.outerRadius - w.innerRadius) / rings;
  for (let ring = 0; ring <= rings; ring++) s.face[ring] = w.innerRadius + deep * ring;
  layRings(s);
  setShells(s.shells, 'cylinder', 0.5 * w.strandDiameter);
  setDiffusionLaw(s.law, polymer);
  s.porosity = 1 - w.solidShare;
  s.conductivity = packConductivity(w);
  s.poreShare = poreShare(w);
  s.drying = heatOfDrying(polymer);
  s.flangePermeance = w.flangePermeance;
  s.flangeResistance = w.flangeThickness / w.flangeConductivity;
}

/** Sizes and conductances of all cells from the radii between the rings. */
export function layRings(s: Scratch): void {
  const { rings, layers } = s.grid;
  const { face, layerHeight: high } = s;
  const middle = (i: number) => 0.5 * (face[i]! + face[i + 1]!);
  const radialShape = s.ringStride === 1 ? s.innerShape : s.acrossShape;
  const axialShape = s.ringStride === 1 ? s.acrossShape : s.innerShape;
  for (let ring = 0; ring < rings; ring++) {
    const area = Math.PI * (face[ring + 1]! ** 2 - face[ring]! ** 2);
    const radial = ring < rings - 1 ? (2 * Math.PI * high) / Math.log(middle(ring + 1) / middle(ring)) : 0;
    for (let layer = 0; layer < layers; layer++) {
      const k = ring * s.ringStride + layer * s.layerStride;
      const volume = area * high;
      s.volume[k] = volume;
      s.polymerMass[k] = s.polymerByVolume * volume;
      s.heat[k] = s.heatByVolume * volume;
      radialShape[k] = radial;
      axialShape[k] = layer < layers - 1 ? area / high : 0;
      const outermost = ring === rings - 1;
      const outer = face[rings]!;
      s.outerShape[k] = outermost ? (2 * Math.PI * high) / Math.log(outer / middle(ring)) : 0;
      s.outerArea[k] = outermost ? 2 * Math.PI * outer * high : 0;
      s.hubShape[k] = ring === 0 ? (2 * Math.PI * high) / Math.log(middle(0) / face[0]!) : 0;
      s.hubArea[k] = ring === 0 ? 2 * Math.PI * face[0]! * high : 0;
      s.topShape[k] = layer === layers - 1 ? (2 * area) / high : 0;
      s.bottomShape[k] = layer === 0 ? (2 * area) / high : 0;
      s.flangeArea[k] = area;
    }
  }
}

/** The same water and temperature everywhere, vapour in the pores at balance with it [moisture-15]. */
export function fillState(s: Scratch, polymer: Polymer, water: number, temperature: number): void {
  const { state } = s;
  const humidity = Math.min(balanceHumidity(polymer, temperature, water), WETTEST_START);
  state.temperature.fill(temperature);
  state.vapour.fill(humidity * saturationPressure(temperature));
  state.liquid.fill(0);
  state.activity.fill(humidity * activityShift(polymer, temperature));
  state.water.fill(water);
  state.mean.fill(water);
  state.surface.fill(water);
  state.evaporation.fill(0);
}

/** A spool wetter than balance with this starts with pores at this humidity: liquid begins above it. */
const WETTEST_START = 0.999;

/** Turns the spool over: mirrors every cell in z [moisture-16]. */
export function flip(s: Scratch): void {
  const { rings, layers, shells } = s.grid;
  const { state } = s;
  for (let ring = 0; ring < rings; ring++) {
    for (let layer = 0; layer < layers >> 1; layer++) {
      const a = ring * s.ringStride + layer * s.layerStride;
      const b = ring * s.ringStride + (layers - 1 - layer) * s.layerStride;
      swap(state.temperature, a, b);
      swap(state.vapour, a, b);
      swap(state.liquid, a, b);
      swap(state.activity, a, b);
      swap(state.mean, a, b);
      swap(state.surface, a, b);
      swap(state.evaporation, a, b);
      for (let i = 0; i < shells; i++) swap(state.water, a * shells + i, b * shells + i);
    }
  }
}

function swap(values: Float64Array, a: number, b: number): void {
  const kept = values[a]!;
  values[a] = values[b]!;
  values[b] = kept;
}
