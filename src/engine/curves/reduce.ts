import { Refusal } from '../kernel.ts';
import { type Fall, type Falls, fallsOf } from './falls.ts';
import { fitLine } from './fit.ts';
import { flagsOf } from './flags.ts';
import { medianInPlace } from './median.ts';
import { type Modulus, modulusOf, parabolaChord, STRAIN_HIGH, STRAIN_LOW } from './modulus.ts';
import { type Noise, noiseOf } from './noise.ts';
import { breakOf, extensometerEnd, paceBefore } from './record-end.ts';
import type { Curve, Reduction, ReductionOptions, Setup, StrainKind } from './reduction.ts';
import { withoutSlips } from './slip.ts';
import { firstRise, RISE_HIGH, RISE_LOW, type Toe, toeOf, toeOfRange } from './toe.ts';

/** A fall counts above this share of the greatest stress ... */
const FALL_SHARE = 0.005;
/** ... and above this many standard deviations of the noise, or above the range that so many readings of noise span. */
const FALL_NOISE = 6;
/** Share of the elastic unloading (or of the elastic slope) from which a fall is a slip. */
const SLIP_SHARE = 0.5;
/** Readings of a fall that are too few to show its peak and trough. */
const FALL_READINGS = 2;
/** Readings of a fall, and share by which the strain goes on, before it is a maximum and not the break itself. */
const MAXIMUM_READINGS = 3;
const MAXIMUM_STRAIN = 0.01;
/** Strains between which Poisson's ratio is taken (ISO 527-1, from memory), and readings it needs. */
const POISSON_LOW = 0.003;
const POISSON_HIGH = 0.015;
const POISSON_READINGS = 10;
/** A curve without yield whose strain at break passes this many times the elastic one is strongly bent (own rule). */
const BENT_FACTOR = 1.5;
/** An extensometer that begins further off zero than this was not set to zero. */
const OFFSET_LEAST = 1e-4;

/**
 * Reduces the curve of one bar to the quantities of the tensile standards: stress F/(b h) [curves-9], strains, modulus,
 * strength, type of curve, with every treatment of the record as a flag. Nothing of the bar is left out in silence.
 *
 * @throws Refusal where there is no tension in the record
 */
export function reduceCurve(curve: Curve, setup: Setup, options: ReductionOptions = {}): Reduction {
  const section = setup.width * setup.thickness;
  const stress = curve.force.map((force) => force / section);
  const { peak, index: last, seen } = breakOf(stress);
  const stressMost = stress[peak] ?? 0;
  if (!(stressMost > 0))
    throw new Refusal('There is no tension in this curve: its force never rises above zero.');

  const travel = curve.grip === undefined ? null : fromFirst(curve.grip);
  const gauge = gaugeStrain(curve, setup, last);
  const source = gauge !== null ? 'extensometer' : travel !== null ? 'grips' : null;
  const noise = noiseOf(stress, last);
  let offset = 0;
  let strain = gauge;
  let gaugeNoise: Noise | null = null;
  if (gauge !== null) {
    gaugeNoise = noiseOf(gauge, last);
    const first = gauge.find((value) => !Number.isNaN(value)) ?? 0;
    const far = Math.abs(first) > Math.max(OFFSET_LEAST, FALL_NOISE * gaugeNoise.deviation);
    // A line over a range of strain as read finds its own zero.
    if (far && options.toe !== 'range') offset = first;
    if (offset !== 0) strain = gauge.map((value) => value - offset);
  } else if (travel !== null) strain = strainOfTravel(travel, curve.force, setup);

  // Softness of bar and machine in the first rise: strain and travel per stress.
  const softness = strain === null ? null : softnessOf(stress, strain, last, stressMost);
  const travelSoftness = travel === null ? null : softnessOf(stress, travel, last, stressMost);

  const off =
    gauge === null || softness === null
      ? null
      : extensometerEnd(strain!, stress, travel, last, softness, gaugeNoise!, usualStep(gauge, last));
  const measuredLast = off === null ? last : off - 1;
  const isSlip = slipJudge(stress, last, {
    strain: gauge === null ? null : strain,
    measuredLast,
    softness,
    travel,
    travelSoftness,
  });
  const deviation = Math.hypot(noise.deviation, noise.resolution / Math.sqrt(12));
  const spans = Math.max(FALL_NOISE, 2 * Math.sqrt(2 * Math.log(last + 1)));
  const threshold = Math.max(FALL_SHARE * stressMost, spans * deviation);
  const falls = fallsOf(stress, last, threshold, isSlip);

  const slipped =
    travel === null ? null : withoutSlips(travel, stress, last, falls.slips, travelSoftness ?? 0);
  const kept = slipped?.kept ?? null;
  if (source === 'grips' && falls.slips.length > 0) strain = strainOfTravel(kept!, curve.force, setup);

  const toe = strain === null ? NO_TOE : zeroOf(stress, strain, measuredLast, stressMost, falls, options);
  const slack =
    kept === null ? 0 : slackOf(stress, kept, last, stressMost, falls, setup, options, toe, strain);
  const slipInWindow =
    source === 'grips' &&
    falls.slips.some(({ peak: at }) => {
      const value = strain![at]! - toe.shift;
      return value >= STRAIN_LOW && value <= STRAIN_HIGH;
    });
  const modulus =
    strain === null || slipInWindow ? NO_MODULUS : modulusOf(stress, strain, measuredLast, toe.shift);
  const modulusValue = modulus.regression ?? modulus.chord;

  const counted = strain === null ? null : countedStrain(strain, kept, toe.shift, off, last, setup);
  const at = (index: number): number | null => {
    const value = counted?.[index];
    return value === undefined || Number.isNaN(value) ? null : value;
  };
  const maximum = trueMaximum(falls, last, at);
  const strengthIndex = maximum ?? peak;
  const strainAtBreak = at(last);
  const nominal = (index: number) =>
    kept === null ? null : finite((kept[index]! - slack) / setup.gripDistance);
  const yieldStrain = maximum === null ? null : at(maximum);
  const type = curveType(maximum !== null, falls.risesLater, strainAtBreak, stress[last]!, modulusValue);
  const poisson = poissonOf(curve, setup, strain, toe.shift, Math.min(measuredLast, maximum ?? last));
  const corrected = correctsCompliance(setup);

  const reduction: Omit<Reduction, 'flags'> = {
    modulusChord: modulus.chord,
    modulusRegression: modulus.regression,
    modulusError: modulus.error,
    modulusR2: modulus.r2,
    modulusReadings: modulus.count,
    modulusKind:
      modulusValue === null
        ? null
        : source === 'extensometer'
          ? 'extensometer'
          : corrected
            ? 'travel less compliance'
            : 'apparent',
    strength: stress[strengthIndex]!,
    strainAtStrength: at(strengthIndex),
    stressAtBreak: stress[last]!,
    strainAtBreak,
    strainAtBreakKind: strainAtBreak === null ? null : strainKind(source!, off !== null, corrected),
    strainAtBreakEstimate: estimateBehind(strain, kept, off, last, toe.shift),
    breakSeen: seen,
    stressMost,
    yieldStress: maximum === null ? null : stress[maximum]!,
    yieldStrain,
    curveType: type,
    toeShift: toe.shift,
    toeError: toe.error,
    slack,
    nominalStrainA: nominal(last),
    nominalStrainB:
      maximum === null || kept === null || yieldStrain === null
        ? null
        : finite(yieldStrain + (kept[last]! - kept[maximum]!) / setup.gripDistance),
    poisson: poisson?.value ?? null,
    poissonError: poisson?.error ?? null,
    equivalentLength: setup.equivalentLength ?? null,
    slips: falls.slips.map((fall, k) => ({
      stress: stress[fall.peak]!,
      travelLost: slipped?.lost[k] ?? null,
    })),
    slipTravel: slipped?.sum ?? 0,
    strain: counted,
    stress,
    breakIndex: last,
    strengthIndex,
    extensometerEnd: off,
    readingsAfterBreak: stress.length - 1 - last,
  };
  const chord = toe.fit === null || !toe.applied ? null : parabolaChord(toe.fit.p1, toe.fit.p2);
  return {
    ...reduction,
    flags: flagsOf(reduction, {
      source,
      offset,
      toeApplied: toe.applied,
      parabolaChord: chord,
      slipInWindow,
      peak,
    }),
  };
}

/** A value that rests on blanks alone is none. */
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

const NO_TOE: Toe = { shift: 0, error: null, applied: false, fit: null };
const NO_MODULUS: Modulus = { chord: null, regression: null, error: null, r2: null, count: 0 };

/** Travel from its first reading; blanks between two readings are bridged by a straight line. */
function fromFirst(values: Float64Array): Float64Array {
  const first = values.find((value) => !Number.isNaN(value)) ?? 0;
  const travel = values.map((value) => value - first);
  let before = -1;
  for (let i = 0; i < travel.length; i++) {
    if (Number.isNaN(travel[i]!)) continue;
    if (before >= 0)
      for (let k = before + 1; k < i; k++)
        travel[k] = travel[before]! + ((travel[i]! - travel[before]!) * (k - before)) / (i - before);
    before = i;
  }
  return travel;
}

/** Strain of the extensometer as read, or null where it measured nothing. */
function gaugeStrain(curve: Curve, setup: Setup, last: number): Float64Array | null {
  const { strain, extension } = curve;
  const measured = (values: Float64Array) =>
    values.subarray(0, last + 1).some((value) => !Number.isNaN(value));
  if (strain !== undefined && measured(strain)) return strain;
  if (extension !== undefined && measured(extension))
    return extension.map((value) => value / setup.gaugeLength);
  return null;
}

const correctsCompliance = ({ compliance, equivalentLength }: Setup) =>
  compliance !== null &&
  compliance !== undefined &&
  equivalentLength !== null &&
  equivalentLength !== undefined;

/**
 * Strain from the travel of the grips: (d - C F)/Leq, elastic, where the compliance of the machine and the type of the
 * bar are known [curves-13]; else d/L, which is nominal.
 */
function strainOfTravel(travel: Float64Array, force: Float64Array, setup: Setup): Float64Array {
  if (!correctsCompliance(setup)) return travel.map((value) => value / setup.gripDistance);
  const first = force[0]!;
  return travel.map(
    (value, i) => (value - setup.compliance! * (force[i]! - first)) / setup.equivalentLength!,
  );
}

/** A line of the first rise explains this much of it; less where the extensometer was taken off within. */
const RISE_R2 = 0.98;
/** Shares of the greatest stress that are tried when it does not. */
const EARLY_LOW = 0.04;
const EARLY_HIGH = 0.12;

/** Strain or travel per stress in the first rise; null where there is none. */
function softnessOf(stress: Float64Array, along: Float64Array, last: number, most: number): number | null {
  for (const [low, high] of [
    [RISE_LOW, RISE_HIGH],
    [EARLY_LOW, EARLY_HIGH],
  ] as const) {
    const rise = firstRise(stress, along, last, most, low, high);
    const line = fitLine(stress, along, rise.indices, rise.count);
    if (line !== null && line.slope > 0 && line.r2 > RISE_R2) return line.slope;
  }
  // Too few readings for a line: the chord to a tenth of the greatest stress, or to the greatest.
  let end = 1;
  while (end < last && stress[end]! < RISE_LOW * most) end++;
  const slope = (along[end]! - along[0]!) / (stress[end]! - stress[0]!);
  return slope > 0 ? slope : null;
}

function usualStep(strain: Float64Array, last: number): number {
  const steps = new Float64Array(last);
  let count = 0;
  for (let i = 1; i <= last; i++) {
    const step = Math.abs(strain[i]! - strain[i - 1]!);
    if (!Number.isNaN(step)) steps[count++] = step;
  }
  return count === 0 ? 0 : medianInPlace(steps, count);
}

/**
 * Whether the bar unloads in a fall: by the extensometer where it measured, its strain falls by at least half of
 * drop/E (or, where one or two readings caught the fall, comes back elastically); by the grips alone, the level comes back with at least half of the elastic slope [curves-10].
 */
function slipJudge(
  stress: Float64Array,
  last: number,
  by: Readonly<{
    strain: Float64Array | null;
    measuredLast: number;
    softness: number | null;
    travel: Float64Array | null;
    travelSoftness: number | null;
  }>,
): (fall: Fall) => boolean {
  return ({ peak, trough, regain }) => {
    const drop = stress[peak]! - stress[trough]!;
    if (by.strain !== null && by.softness !== null && trough <= by.measuredLast) {
      if (by.strain[peak]! - by.strain[trough]! >= SLIP_SHARE * drop * by.softness) return true;
      // Caught by one or two readings, a fall has its true peak and trough between them: then the way back tells.
      if (trough - peak > FALL_READINGS || regain === null || regain > by.measuredLast) return false;
      const strained = by.strain[regain]! - by.strain[trough]!;
      return stress[regain]! - stress[trough]! >= (SLIP_SHARE * strained) / by.softness;
    }
    if (by.travel === null || by.travelSoftness === null) return false;
    let end = regain;
    if (end === null) {
      // The bar broke before its old level: the highest reading behind the trough, if it came half way back.
      end = trough;
      for (let k = trough + 1; k <= last; k++) if (stress[k]! > stress[end]!) end = k;
      if (stress[end]! - stress[trough]! < 0.5 * drop) return false;
    }
    const travelled = by.travel[end]! - by.travel[trough]!;
    return stress[end]! - stress[trough]! >= (SLIP_SHARE * travelled) / by.travelSoftness;
  };
}

function zeroOf(
  stress: Float64Array,
  strain: Float64Array,
  last: number,
  most: number,
  falls: Falls,
  options: ReductionOptions,
): Toe {
  if (options.toe === 'none') return NO_TOE;
  if (options.toe === 'range')
    return options.toeRange === undefined ? NO_TOE : toeOfRange(stress, strain, last, options.toeRange);
  return toeOf(stress, strain, firstRise(stress, strain, last, most, RISE_LOW, RISE_HIGH, falls.slips));
}

/** Travel at which the bar begins to be strained [m]: slack in the grips, which an extensometer does not see. */
function slackOf(
  stress: Float64Array,
  travel: Float64Array,
  last: number,
  most: number,
  falls: Falls,
  setup: Setup,
  options: ReductionOptions,
  toe: Toe,
  strain: Float64Array | null,
): number {
  if (options.toe === 'none') return 0;
  if (options.toe === 'range') {
    // Travel where the strain as read passes its zero.
    const after = strain === null || !toe.applied ? -1 : strain.findIndex((value) => value >= toe.shift);
    if (after < 1) return 0;
    const step = strain![after]! - strain![after - 1]!;
    const share = step > 0 ? (toe.shift - strain![after - 1]!) / step : 1;
    return travel[after - 1]! + share * (travel[after]! - travel[after - 1]!);
  }
  const rise = firstRise(stress, travel, last, most, RISE_LOW, RISE_HIGH, falls.slips);
  return toeOf(stress, travel, rise, 1 / setup.gripDistance).shift;
}

/** Strain from its zero; behind the end of the extensometer the last strain and the travel over the grip distance. */
function countedStrain(
  strain: Float64Array,
  kept: Float64Array | null,
  shift: number,
  off: number | null,
  last: number,
  setup: Setup,
): Float64Array {
  const counted = new Float64Array(last + 1);
  for (let i = 0; i <= last; i++) counted[i] = strain[i]! - shift;
  if (off !== null && off > 0)
    for (let i = off; i <= last; i++)
      counted[i] =
        kept === null ? Number.NaN : counted[off - 1]! + (kept[i]! - kept[off - 1]!) / setup.gripDistance;
  return counted;
}

function estimateBehind(
  strain: Float64Array | null,
  kept: Float64Array | null,
  off: number | null,
  last: number,
  shift: number,
): number | null {
  if (strain === null || kept === null || off === null || off < 2) return null;
  const pace = paceBefore(strain, kept, off);
  return pace === null ? null : finite(strain[off - 1]! - shift + pace * (kept[last]! - kept[off - 1]!));
}

/** The first maximum, unless it is the beginning of the break: few readings below it and hardly more strain. */
function trueMaximum(falls: Falls, last: number, at: (index: number) => number | null): number | null {
  const { maximum } = falls;
  if (maximum === null) return null;
  const then = at(maximum);
  const end = at(last);
  if (last - maximum < MAXIMUM_READINGS) return null;
  return then !== null && end !== null && end - then < MAXIMUM_STRAIN * then ? null : maximum;
}

/** a straight to the break, b yield without a later rise, c yield with one, d no yield and strongly bent [curves-15]. */
function curveType(
  yields: boolean,
  risesLater: boolean,
  strainAtBreak: number | null,
  stressAtBreak: number,
  modulus: number | null,
): Reduction['curveType'] {
  if (yields) return risesLater ? 'c' : 'b';
  if (strainAtBreak === null || modulus === null) return null;
  return strainAtBreak > (BENT_FACTOR * stressAtBreak) / modulus ? 'd' : 'a';
}

function strainKind(source: 'extensometer' | 'grips', off: boolean, corrected: boolean): StrainKind {
  if (source === 'extensometer') return off ? 'nominal behind the extensometer' : 'extensometer';
  return corrected ? 'travel less compliance' : 'travel over grip distance';
}

/** Minus the slope of transverse on axial strain between 0.3 and 1.5 %, or to yield [curves-14]. */
function poissonOf(
  curve: Curve,
  setup: Setup,
  strain: Float64Array | null,
  shift: number,
  last: number,
): { value: number; error: number } | null {
  const across = curve.transverseStrain ?? curve.transverse?.map((value) => value / setup.width);
  if (across === undefined || strain === null || (curve.extension ?? curve.strain) === undefined) return null;
  const indices = new Int32Array(last + 1);
  let count = 0;
  for (let i = 0; i <= last; i++) {
    const value = strain[i]! - shift;
    if (value > POISSON_HIGH) break;
    if (value >= POISSON_LOW && !Number.isNaN(across[i]!)) indices[count++] = i;
  }
  const line = count < POISSON_READINGS ? null : fitLine(strain, across, indices, count);
  return line === null ? null : { value: -line.slope, error: line.slopeError };
}
