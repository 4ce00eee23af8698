import { Refusal } from '../kernel.ts';
import type { Contact, Grid, HotEnd, Surroundings } from './parameters.ts';
import { makeShells, type Shells } from './shells.ts';
import { type Strand, type StrandTables, TABLE_SIZE, tabulate } from './strand.ts';

/** One print on one hot end: all that a run needs beside the print itself. */
export type Case = Readonly<{
  strand: Strand;
  hotEnd: HotEnd;
  contact: Contact;
  surroundings: Surroundings;
}>;

/** Bins of the wall above the throat: the break's cells and the rings that residue covers [m]. */
export const BIN = 1e-4;
/** The strand above the sink, beside what a retraction can bring there [m]. */
const ABOVE_SINK = 2e-3;

function rateTable(): RateTable {
  return {
    lnRate: Number.NaN,
    epoch: 0,
    stamp: new Int32Array(TABLE_SIZE),
    stress: new Float64Array(TABLE_SIZE),
  };
}

/** Geometry, tables and scratch of one case on one grid. Axis x: 0 at the throat, up to the cold side. */
export type Model = Readonly<{
  strand: Strand;
  tables: StrandTables;
  hotEnd: HotEnd;
  contact: Contact;
  surroundings: Surroundings;
  grid: Grid;
  shells: Shells;
  /** Cells of the column, bottom first. */
  cells: number;
  /** Section of the strand [m2] and of the wall of the break [m2]. */
  strandArea: number;
  wallArea: number;
  gap: number;
  /** Conductance of an empty gap with touching places [W/(m2 K)]; resistance of a full one [m2 K/W]. */
  gapConductance: number;
  gapFull: number;
  /** Cells of the break's wall, their length [m], and bins of the wall up to the top of the sink. */
  breakBins: number;
  breakBin: number;
  wallBins: number;
  /** rho A of each shell [kg/m], its inverse, and conductances along the strand over a cell [W/K] per metre of cell. */
  lineMass: Float64Array;
  lineMassInverse: Float64Array;
  along: Float64Array;
  scratch: Scratch;
}>;

export type Scratch = Readonly<{
  capacity: Float64Array;
  solved: Float64Array;
  carry: Float64Array;
  wallSeen: Float64Array;
  wallJoint: Float64Array;
  joint: Float64Array;
  alongJoint: Float64Array;
  below: Float64Array;
  diagonal: Float64Array;
  above: Float64Array;
  right: Float64Array;
  wallScratch: Float64Array;
  /** Heat into the strand from each wall bin of the break, then from the sink [W]. */
  wallHeat: Float64Array;
  wallGained: Float64Array;
  spread: Float64Array;
  /** Melt stress on whole kelvins at the speed of the last step, in the bore and in the gap, filled where it is asked for. */
  boreStress: RateTable;
  gapStress: RateTable;
}>;

/** Stress of the melt at one shear rate, by temperature. `stamp` tells which entries belong to the rate at hand. */
export type RateTable = {
  lnRate: number;
  epoch: number;
  readonly stamp: Int32Array;
  readonly stress: Float64Array;
};

/** @throws Refusal where the geometry leaves no gap, or a length is missing */
export function makeModel(c: Case, grid: Grid, drawnBackMost: number): Model {
  const { hotEnd, strand, contact } = c;
  const gap = (hotEnd.bore - hotEnd.strandDiameter) / 2;
  if (!(gap > 0))
    throw new Refusal(
      `The bore of the hot end, ${mm(hotEnd.bore)} mm, is not wider than the strand, ${mm(hotEnd.strandDiameter)} mm: the strand does not go in.`,
    );
  const radius = hotEnd.strandDiameter / 2;
  const shells = makeShells(radius, strand.conductivityAcross, grid.shells);
  const length = hotEnd.meltLength + hotEnd.breakLength + hotEnd.sinkLength + ABOVE_SINK + drawnBackMost;
  const cells = Math.ceil(length / grid.cell);
  const size = cells * grid.shells;
  const breakBins = Math.max(2, Math.round(hotEnd.breakLength / BIN));
  const wall = breakBins + 1;
  const lineMass = shells.area.map((area) => strand.density * area);
  return {
    strand,
    tables: tabulate(strand, {
      viscosity: contact.viscosityFactor,
      yieldStress: contact.yieldFactor,
      halfTime: contact.halfTimeFactor,
    }),
    hotEnd,
    contact,
    surroundings: c.surroundings,
    grid,
    shells,
    cells,
    strandArea: Math.PI * radius ** 2,
    wallArea: (Math.PI / 4) * (hotEnd.breakOutside ** 2 - hotEnd.bore ** 2),
    gap,
    gapConductance: (contact.airConductivity / gap) * (1 + 4 * contact.touchShare),
    gapFull: gap / (2 * strand.conductivityAcross),
    breakBins,
    breakBin: hotEnd.breakLength / breakBins,
    wallBins: Math.round((hotEnd.breakLength + hotEnd.sinkLength) / BIN),
    lineMass,
    lineMassInverse: lineMass.map((m) => 1 / m),
    along: shells.area.map((area) => (strand.conductivityAlong * area) / grid.cell ** 2),
    scratch: {
      capacity: new Float64Array(size),
      solved: new Float64Array(size),
      carry: new Float64Array(size),
      wallSeen: new Float64Array(cells),
      wallJoint: new Float64Array(cells),
      joint: new Float64Array(grid.shells),
      alongJoint: new Float64Array(grid.shells),
      below: new Float64Array(wall),
      diagonal: new Float64Array(wall),
      above: new Float64Array(wall),
      right: new Float64Array(wall),
      wallScratch: new Float64Array(wall),
      wallHeat: new Float64Array(wall),
      wallGained: new Float64Array(1),
      spread: Float64Array.from({ length: cells + 2 }, (_, i) =>
        Math.exp((-i * grid.cell) / hotEnd.spreadLength),
      ),
      boreStress: rateTable(),
      gapStress: rateTable(),
    },
  };
}

const mm = (metres: number) => +(metres * 1e3).toPrecision(4);
