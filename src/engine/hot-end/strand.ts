import type { Table } from '../../job.ts';
import { GAS_CONSTANT } from '../air/constants.ts';
import { tableAt } from '../numerics/table.ts';

/** A strand as the hot end sees it. SI, kelvin. Plain data: it crosses to a worker as it is. */
export type Strand = Readonly<{
  /** Conductivity across and along the strand [W/(m K)]. */
  conductivityAcross: number;
  conductivityAlong: number;
  density: number;
  /** J/(kg K) by K, without the heat of fusion. */
  heatCapacity: Table;
  /** J/kg, spread over the temperatures round `meltsAt` as a Gaussian of the given width [K]. */
  heatOfFusion: number;
  meltsAt: number;
  meltingWidth: number;
  crystallises: boolean;
  /** Zero-shear viscosity [Pa s] by temperature. */
  melt:
    | Readonly<{ law: 'Arrhenius'; viscosity: number; at: number; energy: number }>
    | Readonly<{ law: 'WLF'; viscosity: number; at: number; a1: number; a2: number }>;
  /** Stress where the melt thins [Pa] and exponent (Cross). */
  thinningStress: number;
  thinningExponent: number;
  /** Pa by K, straight lines in the logarithm. */
  yieldStress: Table;
  /** Half time of crystallisation [s] by K; null where the polymer does not crystallise. */
  halfTime: Table | null;
  /** Above this mean temperature [K] the strand is molten through. */
  flowsAbove: number;
}>;

/** Factors that a draw puts on curves of the card: viscosity, yield stress, half time. */
export type StrandFactors = Readonly<{ viscosity: number; yieldStress: number; halfTime: number }>;

/** Shift below which the WLF law is not followed further down [K]: it has a pole below its reference. */
const WLF_SHIFT_LEAST = -25;
/** Amorphous melts stick to the wall this far above the reference of their viscosity [K]. */
const STICKS_ABOVE_REFERENCE = 70;
/** Residue stays on walls cooler than this: below melting, or above the reference of the viscosity [K]. */
const RESIDUE_BELOW_MELTING = 8;
const RESIDUE_ABOVE_REFERENCE = 60;
/** Skins melt this far below the peak of melting [K]. */
const SKIN_MELTS_BELOW = 4;
/** Rate at which yield stresses are given, and how weakly they rise with it (exponent) [1/s]. */
const YIELD_RATE = 0.17;
const YIELD_RATE_EXPONENT = 0.04;
/** Slower than this a solid yields as at this rate [1/s]. */
const YIELD_RATE_LEAST = 1e-3;

/** First temperature and number of whole kelvins of the tables: -50 C .. 450 C. */
export const TABLE_FROM = 223.15;
export const TABLE_SIZE = 501;
/** Points of the inverse of the enthalpy. */
const INVERSE_SIZE = 4001;
/** Parts of a kelvin for the integral of the Gaussian (Simpson): error below 1e-9 of it for widths over 1 K. */
const SIMPSON_PARTS = 4;

/** A strand as tables on whole kelvins from TABLE_FROM, straight lines between; made once for each draw. */
export type StrandTables = Readonly<{
  crystallises: boolean;
  /** h(T) [J/kg], 0 at TABLE_FROM. */
  enthalpy: Float64Array;
  /** h(T + 1/2) - h(T - 1/2) at TABLE_FROM + 1/2 + k: exact there, straight between. */
  capacity: Float64Array;
  /** T(h) on equal steps of h. */
  inverse: Float64Array;
  inversePerJoule: number;
  /** ln of zero-shear viscosity, yield stress and half time. */
  lnViscosity: Float64Array;
  lnYield: Float64Array;
  lnHalfTime: Float64Array;
  /** Uniaxial flow stress sqrt(3) k at the rate of yield tests [Pa]. */
  flowStress: Float64Array;
  lnThinningStress: number;
  thinningExponent: number;
  meltsAt: number;
  skinMeltsAt: number;
  flowsAbove: number;
  sticksAbove: number;
  residueBelow: number;
}>;

/** ln of the zero-shear viscosity [Pa s] at a temperature [K]. [hot-end-6] */
export function lnZeroShear(strand: Strand, temperature: number): number {
  const { melt } = strand;
  if (melt.law === 'Arrhenius')
    return Math.log(melt.viscosity) + (melt.energy / GAS_CONSTANT) * (1 / temperature - 1 / melt.at);
  const shift = Math.max(WLF_SHIFT_LEAST, temperature - melt.at);
  return Math.log(melt.viscosity) - (melt.a1 * shift) / (melt.a2 + shift);
}

/**
 * Shear stress of a melt by the Cross law, tau = e0 g/(1 + (e0 g/tau*)^(1 - n)).     [hot-end-6]
 * @param lnViscosity ln e0 [Pa s]
 * @param lnRate      ln of the shear rate [1/s]
 */
export function meltStress(
  lnViscosity: number,
  lnRate: number,
  lnThinningStress: number,
  exponent: number,
): number {
  const y = lnViscosity + lnRate;
  return Math.exp(y) / (1 + Math.exp((1 - exponent) * (y - lnThinningStress)));
}

/** Shear strength of a solid over its yield stress, sqrt(1/3) and the rise with the rate. [hot-end-7] */
export function yieldShare(rate: number): number {
  return (Math.max(rate, YIELD_RATE_LEAST) / YIELD_RATE) ** YIELD_RATE_EXPONENT / Math.sqrt(3);
}

/** Shear stress of a skin that is part melt, part solid (share s): logarithmic mixture, or the softer of both. [hot-end-8] */
export function mixedStress(crystallises: boolean, melt: number, solid: number, s: number): number {
  if (crystallises) {
    if (s === 0) return melt;
    if (s === 1) return solid + melt;
    return Math.exp(s * Math.log(solid + melt) + (1 - s) * Math.log(melt));
  }
  // The fourth root of a sum of fourth powers, written so that neither power can overflow.
  const soft = Math.min(melt, solid);
  const share = soft / Math.max(melt, solid);
  const square = share * share;
  return soft / Math.sqrt(Math.sqrt(1 + square * square));
}

/**
 * Enthalpy on whole kelvins: exact integral of the straight pieces of cp, Simpson for the Gaussian of melting. [hot-end-1]
 * dh/dT = cp(T) + dH/(w sqrt(pi)) exp(-((T - Tm)/w)^2)
 */
export function enthalpyTable(strand: Strand): Float64Array {
  const { heatCapacity, heatOfFusion, meltsAt, meltingWidth } = strand;
  const slope = (T: number) =>
    tableAt(T, heatCapacity) +
    (heatOfFusion > 0
      ? (heatOfFusion / (meltingWidth * Math.sqrt(Math.PI))) *
        Math.exp(-(((T - meltsAt) / meltingWidth) ** 2))
      : 0);
  const table = new Float64Array(TABLE_SIZE);
  const width = 1 / (2 * SIMPSON_PARTS);
  for (let k = 1; k < TABLE_SIZE; k++) {
    const from = TABLE_FROM + k - 1;
    let sum = 0;
    for (let p = 0; p < SIMPSON_PARTS; p++) {
      const left = from + 2 * p * width;
      sum += slope(left) + 4 * slope(left + width) + slope(left + 2 * width);
    }
    table[k] = table[k - 1]! + (sum * width) / 3;
  }
  return table;
}

/** Value of a table at a temperature, straight between whole kelvins. */
export function atTemperature(table: Float64Array, temperature: number): number {
  const u = Math.min(Math.max(temperature - TABLE_FROM, 0), TABLE_SIZE - 1.000001);
  const k = u | 0;
  return table[k]! + (u - k) * (table[k + 1]! - table[k]!);
}

export function tabulate(strand: Strand, factors: StrandFactors): StrandTables {
  const enthalpy = enthalpyTable(strand);
  const capacity = new Float64Array(TABLE_SIZE);
  for (let k = 0; k < TABLE_SIZE - 1; k++) capacity[k] = enthalpy[k + 1]! - enthalpy[k]!;
  capacity[TABLE_SIZE - 1] = capacity[TABLE_SIZE - 2]!;
  const lnViscosity = new Float64Array(TABLE_SIZE);
  const lnYield = new Float64Array(TABLE_SIZE);
  const lnHalfTime = new Float64Array(TABLE_SIZE);
  const flowStress = new Float64Array(TABLE_SIZE);
  const lnThinningStress = Math.log(strand.thinningStress);
  const lnYieldRate = Math.log(YIELD_RATE);
  for (let k = 0; k < TABLE_SIZE; k++) {
    const T = TABLE_FROM + k;
    lnViscosity[k] = lnZeroShear(strand, T) + Math.log(factors.viscosity);
    lnYield[k] = Math.log(tableAt(T, strand.yieldStress) * factors.yieldStress);
    lnHalfTime[k] = strand.halfTime ? Math.log(tableAt(T, strand.halfTime) * factors.halfTime) : 0;
    const melt = meltStress(lnViscosity[k]!, lnYieldRate, lnThinningStress, strand.thinningExponent);
    const solid = Math.exp(lnYield[k]!) * yieldShare(YIELD_RATE);
    flowStress[k] = Math.sqrt(3) * mixedStress(strand.crystallises, melt, solid, T < strand.meltsAt ? 1 : 0);
  }
  const { melt } = strand;
  return {
    crystallises: strand.crystallises,
    enthalpy,
    capacity,
    ...invert(enthalpy),
    lnViscosity,
    lnYield,
    lnHalfTime,
    flowStress,
    lnThinningStress,
    thinningExponent: strand.thinningExponent,
    meltsAt: strand.meltsAt,
    skinMeltsAt: strand.meltsAt - SKIN_MELTS_BELOW,
    flowsAbove: strand.flowsAbove,
    sticksAbove: melt.at + STICKS_ABOVE_REFERENCE,
    residueBelow: strand.crystallises
      ? strand.meltsAt - RESIDUE_BELOW_MELTING
      : melt.at + RESIDUE_ABOVE_REFERENCE,
  };
}

function invert(enthalpy: Float64Array): Pick<StrandTables, 'inverse' | 'inversePerJoule'> {
  const top = enthalpy[TABLE_SIZE - 1]!;
  const inverse = new Float64Array(INVERSE_SIZE);
  let k = 0;
  for (let m = 0; m < INVERSE_SIZE; m++) {
    const h = (top * m) / (INVERSE_SIZE - 1);
    while (k < TABLE_SIZE - 2 && enthalpy[k + 1]! < h) k++;
    inverse[m] = TABLE_FROM + k + (h - enthalpy[k]!) / (enthalpy[k + 1]! - enthalpy[k]!);
  }
  return { inverse, inversePerJoule: (INVERSE_SIZE - 1) / top };
}
