/** What goes into the reduction of one bar and what comes out; SI, strains as ratios. */

export type Curve = Readonly<{
  /** [N]; tension positive. */
  force: Float64Array;
  /** Extension of the gauge length [m]; or `strain` [-]; neither where there was no extensometer. */
  extension?: Float64Array | undefined;
  strain?: Float64Array | undefined;
  /** Travel of the grips [m]. */
  grip?: Float64Array | undefined;
  /** Change of width [m], or transverse strain [-]; negative where the bar becomes narrower. */
  transverse?: Float64Array | undefined;
  transverseStrain?: Float64Array | undefined;
}>;

export type Setup = Readonly<{
  /** Means of the readings on the bar [m]. */
  width: number;
  thickness: number;
  /** L0, L [m]. */
  gaugeLength: number;
  gripDistance: number;
  /** Leq of the type of bar [m], and C of the machine [m/N]; null where not known. */
  equivalentLength?: number | null | undefined;
  compliance?: number | null | undefined;
}>;

export type ReductionOptions = Readonly<{
  /** auto: parabola of the first rise; none: as the record begins (preload alone); range: straight line over `toeRange`. */
  toe?: 'auto' | 'none' | 'range' | undefined;
  toeRange?: readonly [number, number] | undefined;
}>;

export type FlagCode =
  | 'tail'
  | 'grips'
  | 'toe'
  | 'toe_modulus'
  | 'few'
  | 'bent'
  | 'slip'
  | 'slip_modulus'
  | 'ext_off'
  | 'no_strain'
  | 'preload'
  | 'offset'
  | 'spike';

export type Flag = Readonly<{ code: FlagCode; sentence: string }>;

/** What a strain at break rests on. */
export type StrainKind =
  | 'extensometer'
  | 'nominal behind the extensometer'
  | 'travel less compliance'
  | 'travel over grip distance';

export type Reduction = Readonly<{
  modulusChord: number | null;
  modulusRegression: number | null;
  modulusError: number | null;
  modulusR2: number | null;
  modulusReadings: number;
  /** apparent: from grips without the compliance of the machine, no modulus of the standard. */
  modulusKind: 'extensometer' | 'travel less compliance' | 'apparent' | null;
  strength: number;
  strainAtStrength: number | null;
  stressAtBreak: number;
  strainAtBreak: number | null;
  strainAtBreakKind: StrainKind | null;
  /** Where the extensometer was off: by the last ratio of its strain to travel. */
  strainAtBreakEstimate: number | null;
  breakSeen: boolean;
  /** Greatest stress of the record. */
  stressMost: number;
  yieldStress: number | null;
  yieldStrain: number | null;
  curveType: 'a' | 'b' | 'c' | 'd' | null;
  /** Zero of the strain as read, and its standard error where it has one. */
  toeShift: number;
  toeError: number | null;
  /** Zero of the travel [m]. */
  slack: number;
  nominalStrainA: number | null;
  nominalStrainB: number | null;
  poisson: number | null;
  poissonError: number | null;
  equivalentLength: number | null;
  slips: readonly Readonly<{ stress: number; travelLost: number | null }>[];
  slipTravel: number;
  /** Strain as counted, from its zero [-], up to the break; null without a channel. For the plot. */
  strain: Float64Array | null;
  stress: Float64Array;
  /** Index of the last reading of the bar, of the strength, and the first without extensometer. */
  breakIndex: number;
  strengthIndex: number;
  extensometerEnd: number | null;
  readingsAfterBreak: number;
  flags: readonly Flag[];
}>;
