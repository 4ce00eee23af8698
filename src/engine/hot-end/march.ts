import type { Column } from './column.ts';
import type { Zones } from './heat.ts';
import { BIN, type Model, type RateTable } from './model.ts';
import { meltStress, mixedStress, type StrandTables, TABLE_FROM, yieldShare } from './strand.ts';

/** Strain over which a strand under stress S = sf creeps to fill the bore at this rate [1/s]. */
const CREEP_RATE = 0.1;
const CREEP_FASTEST = 1e4;
/** Creep exponent of the solid; the melt's is that of its Cross law. */
const CREEP_EXPONENT_SOLID = 12;
/** A strand creeps only above this share of its flow stress and this stress; a flow stress above SOLID_ABOVE is a solid's [Pa]. */
const CREEP_SHARE_LEAST = 0.2;
const CREEP_STRESS_LEAST = 0.05e6;
const SOLID_ABOVE = 4e6;
/** Axial stress is not followed further: nothing pushes that hard [Pa]. */
const STRESS_MOST = 400e6;
/** A ring of skin that is more solid and fuller than this stops melt that climbs the gap. */
const RING_SOLID = 0.5;
const RING_FILL = 0.5;
/** Slip falls from 1 to the slip share while the skin freezes to a half. */
const SLIP_BY_SOLID = 2;

/**
 * Force march from the nozzle up to the top of the bore of the sink: contact, creep and drag of each cell, in the
 * order of docs/equations/hot-end.md.     [hot-end-10 .. hot-end-14]
 *
 * Changes fill and solid share of the cells.
 *
 * @param speed     of the strand [m/s]; drag acts only where it moves down
 * @param driving   the melt in the gap is under pressure (printing)
 * @param available push that the drive gives [N]
 * @returns axial stress at the top [Pa]
 */
export function march(
  model: Model,
  column: Column,
  zones: Zones,
  speed: number,
  driving: boolean,
  available: number,
  dt: number,
): number {
  const { tables, shells, contact, grid, gap, gapConductance, gapFull, strandArea, hotEnd } = model;
  const { lnYield, flowStress, thinningExponent, crystallises } = tables;
  const { fill, solid, temperature: T, residue } = column;
  const { wallSeen } = model.scratch;
  const n = shells.count;
  const { share } = shells;
  const outer = n - 1;
  const moving = speed > 0;
  const rate = moving ? speed / gap : 0;
  const thinned = (3 * thinningExponent + 1) / (4 * thinningExponent);
  const { boreStress, gapStress } = model.scratch;
  if (moving) {
    atRate(boreStress, Math.log(((8 * speed) / hotEnd.bore) * thinned));
    atRate(gapStress, Math.log(rate));
  }
  const solidShare = yieldShare(rate);
  const stressPerShear = (Math.PI * hotEnd.bore * grid.cell) / strandArea;
  const climbPerShear = (contact.eccentricity * 6 * grid.cell) / gap;
  const wets = 1 - Math.exp(-dt / contact.wettingTime);
  const creepMost = available / strandArea;
  const { slipShare, interfaceStrength, friction, fillStrain } = contact;
  const free = 1 / gapConductance;
  const residueCells = (column.residueTop + 1) * BIN;
  const bottom = -hotEnd.meltLength - column.offset;

  let stress = column.pressure;
  let climbing = driving ? column.pressure : 0;
  for (let i = 0; i < zones.sinkTop; i++) {
    let mean = 0;
    for (let j = 0; j < n; j++) mean += share[j]! * T[i * n + j]!;
    const um = mean - TABLE_FROM;
    const km = um | 0;
    const fm = um - km;
    if (mean >= tables.flowsAbove) {
      if (moving) stress += stressPerShear * stressAt(tables, boreStress, km, fm);
      fill[i] = 1;
      solid[i] = 0;
      continue;
    }
    let phi = fill[i]!;
    let s = solid[i]!;
    const lower = bottom + i * grid.cell;
    const soiled = moving && lower < residueCells && lower + grid.cell > 0;
    const flows = flowStress[km]! + fm * (flowStress[km + 1]! - flowStress[km]!);
    const creeps = stress > CREEP_SHARE_LEAST * flows && stress > CREEP_STRESS_LEAST;
    // Most cells above the front are free, clean and cold: nothing happens there.
    if (phi === 0 && climbing <= 0 && !soiled && !creeps) continue;
    const wallT = wallSeen[i]!;
    const skinGap = (1 - phi) * free + phi * gapFull;
    const gapT = wallT - (wallT - T[i * n + outer]!) * 0.5 * (skinGap / (shells.skin + skinGap));
    const ug = gapT - TABLE_FROM;
    const kg = ug | 0;
    const fg = ug - kg;
    let melt = 0;
    let strong = 0;
    const touched = phi > 0 || climbing > 0;

    if (moving && touched) {
      melt = stressAt(tables, gapStress, kg, fg);
      strong = solidShare * Math.exp(lnYield[kg]! + fg * (lnYield[kg + 1]! - lnYield[kg]!));
    }

    // Melt climbs the gap until its pressure is spent or a frozen ring stops it.     [hot-end-10]
    if (climbing > 0) {
      if (crystallises && s > RING_SOLID && phi > RING_FILL) climbing = 0;
      else {
        if (moving) climbing -= climbPerShear * mixedStress(crystallises, melt, strong, 0);
        if (climbing > 0) {
          const next = phi + (1 - phi) * wets;
          if (crystallises || gapT > tables.sticksAbove) s *= phi / next;
          phi = next;
        }
      }
    }

    // The strand itself creeps outwards under the stress.     [hot-end-11]
    if (phi < 1 && creeps) {
      const isSolid = mean < tables.meltsAt;
      const power =
        (crystallises && isSolid) || flows > SOLID_ABOVE ? CREEP_EXPONENT_SOLID : 1 / thinningExponent;
      const ratio = Math.min(stress, creepMost) / flows;
      const creep = (CREEP_RATE * Math.min(CREEP_FASTEST, ratio ** power)) / fillStrain;
      const next = 1 - (1 - phi) * Math.exp(-creep * dt);
      if (next > 0) {
        s = (s * phi + (isSolid ? next - phi : 0)) / next;
        phi = next;
      }
    }
    fill[i] = phi;
    solid[i] = s;
    if (!moving) continue;

    let drag = 0;
    if (phi > 0) {
      if (!touched) {
        melt = stressAt(tables, gapStress, kg, fg);
        strong = solidShare * Math.exp(lnYield[kg]! + fg * (lnYield[kg + 1]! - lnYield[kg]!));
      }
      // Drag of what touches, with slip of a frozen skin.     [hot-end-13]
      const k = mixedStress(crystallises, melt, strong, s);
      const slip = crystallises
        ? 1 - (1 - slipShare) * Math.min(1, SLIP_BY_SOLID * s)
        : (1 - s) * (k < interfaceStrength ? 1 : Math.max(slipShare, interfaceStrength / k));
      drag = phi * slip * k;
      if (stress > flows) {
        const most = Math.max(Math.min(k, interfaceStrength), slipShare * k);
        drag = Math.max(drag, phi * Math.min(friction * (stress - flows), most));
      }
    }
    // Residue on the wall holds whatever passes.     [hot-end-14]
    if (soiled) {
      const covered = residueOver(residue, lower, grid.cell);
      if (covered > 0) {
        const uw = wallT - TABLE_FROM;
        const kw = uw | 0;
        const fw = uw - kw;
        const m = stressAt(tables, gapStress, kw, fw);
        const k = solidShare * Math.exp(lnYield[kw]! + fw * (lnYield[kw + 1]! - lnYield[kw]!));
        drag = Math.max(drag, covered * slipShare * mixedStress(crystallises, m, k, 1));
      }
    }
    stress = Math.min(STRESS_MOST, stress + drag * stressPerShear);
  }
  return stress;
}

/** Makes a table stand for a shear rate; entries of another rate are left to be written over. */
function atRate(table: RateTable, lnRate: number): void {
  if (table.lnRate === lnRate) return;
  table.lnRate = lnRate;
  table.epoch++;
}

/** Stress of the melt between whole kelvins k and k + 1, straight between: 1e-5 off the Cross law. */
function stressAt(tables: StrandTables, table: RateTable, k: number, share: number): number {
  if (table.stamp[k] !== table.epoch) fillAt(tables, table, k);
  if (table.stamp[k + 1] !== table.epoch) fillAt(tables, table, k + 1);
  const low = table.stress[k]!;
  return low + share * (table.stress[k + 1]! - low);
}
function fillAt(tables: StrandTables, table: RateTable, k: number): void {
  const { lnViscosity, lnThinningStress, thinningExponent } = tables;
  table.stress[k] = meltStress(lnViscosity[k]!, table.lnRate, lnThinningStress, thinningExponent);
  table.stamp[k] = table.epoch;
}

/** Mean residue over a cell from x = `lower` on; bins lie from x = 0 upwards. */
function residueOver(residue: Float64Array, lower: number, cell: number): number {
  const from = lower / BIN;
  const to = (lower + cell) / BIN;
  const last = Math.min(residue.length - 1, Math.ceil(to) - 1);
  let sum = 0;
  for (let b = Math.max(0, Math.floor(from)); b <= last; b++) {
    sum += residue[b]! * (Math.min(to, b + 1) - Math.max(from, b));
  }
  return sum / (to - from);
}
