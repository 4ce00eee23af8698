import type { Column } from './column.ts';
import type { Zones } from './heat.ts';
import { BIN, type Model } from './model.ts';
import { TABLE_FROM } from './strand.ts';

/** A skin melts in this time [s]; residue leaves a wall that is hot enough in the other. */
const SKIN_MELTS_IN = 0.05;
const RESIDUE_MELTS_IN = 2;
/** A solid share below this is none. */
const SOLID_NONE = 1e-9;
/** Polymer that fills less of the gap than this leaves nothing on the wall. */
const RESIDUE_FILL = 0.3;

/**
 * Skins crystallise, melt or stick over one step.     [hot-end-12]
 * The wall's own temperature counts here, without the warmth that the break spreads into the sink.
 */
export function stepSkin(model: Model, column: Column, zones: Zones, nozzle: number, dt: number): void {
  const { tables, shells, contact, grid, hotEnd, gapConductance, gapFull, breakBin, breakBins } = model;
  const { fill, solid, temperature: T } = column;
  const n = shells.count;
  const free = 1 / gapConductance;
  const melts = Math.exp(-dt / SKIN_MELTS_IN);
  const sticks = Math.exp(-dt / contact.wettingTime);
  const bottom = -hotEnd.meltLength - column.offset + 0.5 * grid.cell;
  for (let i = 0; i < zones.sinkTop; i++) {
    const phi = fill[i]!;
    if (phi === 0) continue;
    let wallT = nozzle;
    if (i >= zones.breakTop) wallT = column.sink;
    else if (i >= zones.throat) {
      const k = ((bottom + i * grid.cell) / breakBin) | 0;
      wallT = column.wall[k < breakBins ? k : breakBins - 1]!;
    }
    const skinGap = (1 - phi) * free + phi * gapFull;
    const gapT = wallT - (wallT - T[i * n + n - 1]!) * 0.5 * (skinGap / (shells.skin + skinGap));
    if (!tables.crystallises) {
      if (gapT > tables.sticksAbove) solid[i] = faded(solid[i]! * sticks);
    } else if (gapT > tables.skinMeltsAt) solid[i] = faded(solid[i]! * melts);
    else {
      const u = gapT - TABLE_FROM;
      const k = u | 0;
      const low = tables.lnHalfTime[k]!;
      const halfTime = Math.exp(low + (u - k) * (tables.lnHalfTime[k + 1]! - low));
      solid[i] = 1 - (1 - solid[i]!) * Math.exp((-Math.LN2 * dt) / halfTime);
    }
  }
}

/** A solid share that has faded is none: numbers that fade for ever become so small that computing with them is slow. */
function faded(solid: number): number {
  return solid < SOLID_NONE ? 0 : solid;
}

/**
 * What one return lays on the wall: every cell that touches a wall cold enough to freeze it covers a share of the ring
 * that was free.     [hot-end-14]
 *
 * @param perReturn adds what was laid on each ring, before "what was free" is counted, for the scheme of windows
 */
export function layResidue(model: Model, column: Column, zones: Zones, perReturn: Float64Array): void {
  const { tables, contact, grid, hotEnd } = model;
  const { wallSeen } = model.scratch;
  const { fill, solid, residue } = column;
  const bottom = -hotEnd.meltLength - column.offset;
  for (let i = zones.throat; i < zones.sinkTop; i++) {
    const phi = fill[i]!;
    if (phi <= RESIDUE_FILL || wallSeen[i]! >= tables.residueBelow) continue;
    const lays = contact.residuePerReturn * phi * (tables.crystallises ? 1 : 1 - solid[i]!);
    const from = Math.max(0, (bottom + i * grid.cell) / BIN);
    const to = (bottom + (i + 1) * grid.cell) / BIN;
    for (let b = Math.floor(from); b < to && b < residue.length; b++) {
      const laid = lays * (Math.min(to, b + 1) - Math.max(from, b));
      perReturn[b]! += laid;
      residue[b]! += laid * (1 - residue[b]!);
      if (b > column.residueTop) column.residueTop = b;
    }
  }
}

/** Residue that the strand scrapes off, and that melts off where the wall is hot.     [hot-end-14] */
export function wearResidue(model: Model, column: Column, fed: number, dt: number): void {
  const { residue } = column;
  if (column.residueTop < 0) return;
  const scraped = fed > 0 ? Math.exp(-fed / model.contact.scrapeLength) : 1;
  const hot = scraped * Math.exp(-dt / RESIDUE_MELTS_IN);
  const breakTop = Math.min(column.residueTop, model.breakBins - 1);
  for (let b = 0; b <= breakTop; b++) {
    residue[b] = residue[b]! * (wallAtRing(model, column, b) > model.tables.residueBelow ? hot : scraped);
  }
  for (let b = breakTop + 1; b <= column.residueTop; b++) residue[b] = residue[b]! * scraped;
}

/** Temperature of the break's wall at a ring of residue [K]. */
export function wallAtRing(model: Model, column: Column, ring: number): number {
  const k = (((ring + 0.5) * BIN) / model.breakBin) | 0;
  return k < model.breakBins ? column.wall[k]! : column.sink;
}

/**
 * Residue of one ring through a stretch that is not followed: dr/dt = a (1 - r) - b r, exact.     [hot-end-15]
 *
 * @param r     share covered at the start
 * @param laid  a over the stretch: laid per return times returns
 * @param worn  b over the stretch: strand fed over scrape length, and time over 2 s on a hot wall
 */
export function residueAfter(r: number, laid: number, worn: number): number {
  const rate = laid + worn;
  if (rate <= 0) return r;
  const end = laid / rate;
  return end + (r - end) * Math.exp(-rate);
}

/** Exponent of wear over a stretch, as {@link residueAfter} takes it. */
export function wornOver(fed: number, scrapeLength: number, hotTime: number): number {
  return fed / scrapeLength + hotTime / RESIDUE_MELTS_IN;
}

/** Length of full ring that the residue amounts to [m]. */
export function residueLength(column: Column): number {
  let sum = 0;
  for (let b = 0; b <= column.residueTop; b++) sum += column.residue[b]!;
  return sum * BIN;
}
