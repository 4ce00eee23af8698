import { type Air, airAt, gearTemperature } from './air.ts';
import type { Model } from './model.ts';
import { atTemperature } from './strand.ts';

/**
 * What changes in a run. The column of strand rides on cells that move down with the feed; cell i has its middle at
 * x = -meltLength + (i + 1/2) cell - offset. Values of shells lie as [shell + shells * cell].
 */
export type Column = {
  /** Specific enthalpy [J/kg], the state of heat, and the temperature that follows from it [K]. */
  enthalpy: Float64Array;
  temperature: Float64Array;
  /** 0: a free strand with an air gap; 1: polymer touches the wall. */
  fill: Float64Array;
  /** Solid share of the skin that touches: 0 melt, 1 solid. */
  solid: Float64Array;
  offset: number;
  /** Break, bottom first [K]; sink [K]. */
  wall: Float64Array;
  sink: number;
  /** Pressure of the melt in the nozzle [Pa], and what it was before the strand was drawn back. */
  pressure: number;
  pressureKept: number;
  retracted: boolean;
  /** Strand drawn back so far, and the most of this retraction [m]. */
  drawn: number;
  drawnMost: number;
  /** Share of each ring of wall above the throat that residue covers, bottom first. */
  residue: Float64Array;
  /** Highest ring that has any, -1: none. */
  residueTop: number;
  /** Heat books since the start [J]: from the melt zone, break, sink and the bore above into the strand. */
  heatMelt: number;
  heatBreak: number;
  heatSink: number;
  heatAbove: number;
  /** Enthalpy carried in at the top less that carried out at the bottom [J]. */
  carried: number;
  /** Heat into break and sink other than from the strand [J]. */
  heatWall: number;
};

/** Sink over the air when the print starts: it has stood hot and full [K]. */
const SINK_OVER_AIR_AT_START = 20;

export function startColumn(model: Model): Column {
  const { cells, shells, hotEnd, grid, breakBins, tables } = model;
  const air = airAt(model, 0, AIR);
  const sink = air.air + SINK_OVER_AIR_AT_START;
  const wall = Float64Array.from(
    { length: breakBins },
    (_, k) => air.nozzle + ((sink - air.nozzle) * (k + 0.5)) / breakBins,
  );
  const column: Column = {
    enthalpy: new Float64Array(cells * shells.count),
    temperature: new Float64Array(cells * shells.count),
    fill: new Float64Array(cells),
    solid: new Float64Array(cells),
    offset: 0,
    wall,
    sink,
    pressure: 0,
    pressureKept: 0,
    retracted: false,
    drawn: 0,
    drawnMost: 0,
    residue: new Float64Array(model.wallBins),
    residueTop: -1,
    heatMelt: 0,
    heatBreak: 0,
    heatSink: 0,
    heatAbove: 0,
    carried: 0,
    heatWall: 0,
  };
  for (let i = 0; i < cells; i++) {
    const x = -hotEnd.meltLength + (i + 0.5) * grid.cell;
    const T =
      x < 0
        ? air.nozzle
        : x < hotEnd.breakLength
          ? wall[Math.min(breakBins - 1, Math.floor(x / model.breakBin))]!
          : x < hotEnd.breakLength + hotEnd.sinkLength
            ? sink
            : gearTemperature(model, air);
    column.fill[i] = x < 0 ? 1 : 0;
    column.solid[i] = x < 0 ? 0 : 1;
    const h = atTemperature(tables.enthalpy, T);
    column.temperature.fill(T, i * shells.count, (i + 1) * shells.count);
    column.enthalpy.fill(h, i * shells.count, (i + 1) * shells.count);
  }
  return column;
}
const AIR: Air = { nozzle: 0, chamber: 0, air: 0, partFan: 0 };

/**
 * Feeds the strand by `feed` [m], negative upwards. Whole cells leave at one end and enter at the other: cold strand
 * at the top, melt at the bottom. Exact: no diffusion comes in by moving.     [hot-end-3]
 */
export function moveStrand(model: Model, column: Column, feed: number, nozzle: number, gear: number): void {
  const { cell } = model.grid;
  column.offset += feed;
  while (column.offset >= cell) {
    column.offset -= cell;
    column.carried += enter(model, column, gear, true);
  }
  while (column.offset < 0) {
    column.offset += cell;
    column.carried += enter(model, column, nozzle, false);
  }
}

/** One cell in, at the top or bottom, and one out at the other end; gives the enthalpy gained [J]. */
function enter(model: Model, column: Column, temperature: number, atTop: boolean): number {
  const { cells, shells, lineMass, tables, grid } = model;
  const n = shells.count;
  const size = cells * n;
  const { enthalpy, temperature: T, fill, solid } = column;
  const h = atTemperature(tables.enthalpy, temperature);
  const leaves = atTop ? 0 : size - n;
  let gained = 0;
  for (let j = 0; j < n; j++) gained += lineMass[j]! * (h - enthalpy[leaves + j]!);
  if (atTop) {
    enthalpy.copyWithin(0, n, size);
    T.copyWithin(0, n, size);
    fill.copyWithin(0, 1, cells);
    solid.copyWithin(0, 1, cells);
  } else {
    enthalpy.copyWithin(n, 0, size - n);
    T.copyWithin(n, 0, size - n);
    fill.copyWithin(1, 0, cells - 1);
    solid.copyWithin(1, 0, cells - 1);
  }
  const into = atTop ? cells - 1 : 0;
  for (let j = 0; j < n; j++) {
    enthalpy[into * n + j] = h;
    T[into * n + j] = temperature;
  }
  fill[into] = atTop ? 0 : 1;
  solid[into] = atTop ? 1 : 0;
  return gained * grid.cell;
}

/** Number of cells with their middle below x [m]. */
export function cellsBelow(model: Model, column: Column, x: number): number {
  const count = Math.ceil((x + model.hotEnd.meltLength + column.offset) / model.grid.cell - 0.5);
  return Math.min(Math.max(count, 0), model.cells);
}

/** Mean temperature over the section of a cell [K]. */
export function meanTemperature(model: Model, column: Column, cell: number): number {
  const { count, share } = model.shells;
  let sum = 0;
  for (let j = 0; j < count; j++) sum += share[j]! * column.temperature[cell * count + j]!;
  return sum;
}

/** Enthalpy of the strand [J]. */
export function strandEnthalpy(model: Model, column: Column): number {
  const { cells, lineMass, grid } = model;
  const n = model.shells.count;
  let sum = 0;
  for (let i = 0; i < cells; i++)
    for (let j = 0; j < n; j++) sum += lineMass[j]! * column.enthalpy[i * n + j]!;
  return sum * grid.cell;
}

/** Heat held by break and sink over 0 K [J]. */
export function wallHeat(model: Model, column: Column): number {
  const perBin = model.hotEnd.breakHeatCapacity * model.wallArea * model.breakBin;
  let sum = model.hotEnd.sinkHeatCapacity * column.sink;
  for (let k = 0; k < model.breakBins; k++) sum += perBin * column.wall[k]!;
  return sum;
}

/** A column to keep and to take up later; typed arrays are copied. */
export function copyColumn(column: Column): Column {
  return {
    ...column,
    enthalpy: column.enthalpy.slice(),
    temperature: column.temperature.slice(),
    fill: column.fill.slice(),
    solid: column.solid.slice(),
    wall: column.wall.slice(),
    residue: column.residue.slice(),
  };
}
