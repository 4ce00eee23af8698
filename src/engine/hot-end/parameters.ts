/** One possible truth about a hot end, its contact with the strand and its drive. SI, kelvin; plain numbers. */
export type HotEnd = Readonly<{
  strandDiameter: number;
  /** Bore of the hot end above the nozzle. */
  bore: number;
  meltLength: number;
  breakLength: number;
  sinkLength: number;
  breakOutside: number;
  breakConductivity: number;
  /** J/(m3 K). */
  breakHeatCapacity: number;
  /** Break to sink [K/W]. */
  contactResistance: number;
  /** Sink to air with its fan at 1 [K/W]. */
  sinkResistance: number;
  /** J/K. */
  sinkHeatCapacity: number;
  /** Block to sink past the break [W/K]. */
  leak: number;
  /** The top of the break warms the bore of the sink over this length. */
  spreadLength: number;
  nozzleBore: number;
  landLength: number;
  /** Half angle of the cone above the land [rad]. */
  coneHalfAngle: number;
  /** Entrance loss in wall shear stresses. */
  entranceLoss: number;
  /** Push that the drive gives at 25 C before its gears slip [N]. */
  grip: number;
  /** Grip follows the yield stress at the gears to this power. */
  gripExponent: number;
  /** Gears over the chamber air [K]. */
  gearWarmth: number;
  /** Feed at which the grip has halved [m/s]. */
  gearSpeed: number;
  /** Pressure in the nozzle follows the flow in this time. */
  pressureTime: number;
  /** Warm air that hangs round the head [K], and how much of it the part fan at 1 takes away. */
  recirculation: number;
  fanStirring: number;
}>;

export type Contact = Readonly<{
  friction: number;
  /** Share of its shear strength that a frozen skin takes when it slides. */
  slipShare: number;
  /** Shear strength of the layer at the wall [Pa]. */
  interfaceStrength: number;
  wettingTime: number;
  /** Share of a ring of wall that one return covers. */
  residuePerReturn: number;
  /** Strand that scrapes residue off to 1/e [m]. */
  scrapeLength: number;
  /** Touching share of a strand that lies in an empty bore. */
  touchShare: number;
  airConductivity: number;
  /** Strain at which an upset strand fills the bore. */
  fillStrain: number;
  /** One-sidedness of the gap: how much of the drag on a climbing melt is left. */
  eccentricity: number;
  viscosityFactor: number;
  yieldFactor: number;
  halfTimeFactor: number;
}>;

/** Cells along the strand, longest step, shells across it. */
export type Grid = Readonly<{ cell: number; step: number; shells: number }>;

/** For ensembles: an hour of print in a fraction of a second; 8 % too kind to PA6-CF, which the fine grid corrects. */
export const COARSE: Grid = { cell: 2e-4, step: 0.1, shells: 3 };
/** Converged to the figures of docs/equations/hot-end.md. */
export const FINE: Grid = { cell: 1e-4, step: 0.05, shells: 4 };

/** Something that changes over the print: constant, settling towards an end value, or straight between points. */
export type Series =
  | number
  | Readonly<{ from: number; to: number; time: number }>
  | Readonly<{ times: Float64Array; values: Float64Array }>;

/** Value at time t. Points: the end values hold outside; of two points at one time the second holds from there on. */
export function seriesAt(series: Series, t: number): number {
  if (typeof series === 'number') return series;
  if ('from' in series)
    return series.to + (series.from - series.to) * Math.exp(-Math.max(t, 0) / series.time);
  const { times, values } = series;
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  if (low === 0) return values[0]!;
  if (low === times.length) return values[low - 1]!;
  const share = (t - times[low - 1]!) / (times[low]! - times[low - 1]!);
  return values[low - 1]! + share * (values[low]! - values[low - 1]!);
}

/** The same series, higher by an offset throughout; of a settling one the end value moves alone. */
export function shifted(series: Series, offset: number): Series {
  if (typeof series === 'number') return series + offset;
  if ('from' in series) return { ...series, to: series.to + offset };
  return { times: series.times, values: series.values.map((value) => value + offset) };
}

/** What surrounds the head during the print. Temperatures in K, fans 0..1 (sink fan to 1.5). */
export type Surroundings = Readonly<{
  nozzle: Series;
  chamber: Series;
  partFan: Series;
  sinkFan: number;
  /** Pull of the strand's way to the drive [N], which the same drive must overcome. */
  pull: Series;
}>;
