import type { BarSizes } from '../bars/shapes.ts';
import type { Reduction, ReductionOptions } from '../curves/reduction.ts';
import { specimenOf } from '../curves/specimen.ts';
import type { CurvePath } from './curve-path.ts';

/** What is known of one bar beside its curve, and what comes out of both. SI; strains and shares as ratios. */

/** What the person may say of a bar that does not count; the codes stand in curves/validity.ts. */
export type LeftOut = Readonly<{ reason: string; note: string }>;

/** Things that should not bear on strength; shown beside it, never corrected for. Null: not known. */
export type Covariates = Readonly<{
  /** Mean time between two layers of its print [s]. */
  layerTime: number | null;
  /** Water of the strand at the nozzle while its plate was printed, share by mass. */
  water: number | null;
  /** Mass of the bar [kg]. */
  mass: number | null;
  /** Place of its plate in the order of printing, and of the bar in the order of testing, from 1. */
  plateOrder: number | null;
  testOrder: number | null;
}>;

export type BarFacts = Readonly<{
  /** Id for life, such as A3. */
  bar: string;
  /** What it is called in the files of the machine, where that is another name. */
  called: string | null;
  group: string;
  orientation: string;
  /** Type of bar as `specimenOf` knows it, such as 1B. */
  type: string;
  plate: string;
  round: string | null;
  /** Middle of the bar on the sheet [m]. */
  at: readonly [number, number] | null;
  /** Part of the name of the number: dry as printed, conditioned ... */
  condition: string;
  /** Readings [m]; empty where nothing was measured. */
  width: readonly number[];
  thickness: readonly number[];
  /** Section that stands in place of width times thickness, with its standard uncertainty where one is known [m2]. */
  area: Readonly<{ value: number; u: number | null }> | null;
  leftOut: LeftOut | null;
  note: string;
  /** Fixed before the test. */
  spare: boolean;
  covariates: Covariates;
}>;

/** The test as it was done, the same for all bars. Standard uncertainties; lengths in m. */
export type TestFacts = Readonly<{
  /** L0, L; null: as the type of bar has it. */
  gaugeLength: number | null;
  gripDistance: number | null;
  /** Give of machine and grips [m/N]; null where it is not known. */
  compliance: number | null;
  options: ReductionOptions;
  /** Relative. */
  forceError: number;
  extensometerError: number;
  caliperError: number;
  /** Height of the ridges of printed faces that a caliper rides on. */
  ridge: number;
}>;

/** Where a curve came from. */
export type CurveOrigin = Readonly<{
  file: string;
  /** SHA-256 of the bytes as they came. */
  hash: string;
  lineFirst: number;
  lineLast: number;
  /** Name of the bar in the file. */
  name: string;
}>;

export type ReducedCurve = Omit<Reduction, 'strain' | 'stress'>;

export type BarResult = Readonly<{
  facts: BarFacts;
  origin: CurveOrigin;
  width: number;
  thickness: number;
  section: number;
  /** What the section rests on. */
  sectionFrom: 'readings' | 'area given' | 'the file';
  /** Mass over density and plan length, as a share of the section measured; below 1 are voids. Null without mass. */
  massSection: number | null;
  /** Without its columns, which are large. */
  reduction: ReducedCurve;
  /** Stress [Pa] over strain up to the break, for drawing; empty where there is no strain. */
  curve: CurvePath;
  strength: number;
  /** Expanded uncertainty of the strength (k = 2) [Pa], and which part is the largest; null where the section's is not known. */
  uncertainty: BarUncertainty | null;
  /** Relative standard uncertainty of the modulus. */
  modulusUncertainty: number | null;
  counts: boolean;
  /** What is asked about this bar, a sentence each: its curve, its readings. */
  questions: readonly string[];
}>;

export type BarUncertainty = Readonly<{
  relative: number;
  expanded: number;
  shareForce: number;
  shareWidth: number;
  shareThickness: number;
  largest: string;
  advice: string;
}>;

/** @throws RangeError on a type that is not known: the caller has checked it */
export function sizesOf(type: string): BarSizes {
  const found = specimenOf(type);
  if (found === undefined) throw new RangeError(`no type of bar: ${type}`);
  return found;
}
