import { Refusal } from '../kernel.ts';
import { medianInPlace } from './median.ts';
import { noiseOf } from './noise.ts';
import type { Channel, Column, Question, RecordedBar } from './reading.ts';
import { signsOf } from './signs.ts';

/** Whether the numbers of a bar can be what their headings say. What is impossible is refused, what is odd is asked. */

/** Ratios between units of one dimension that exports mix up (N and kN, mm and m, % and ratio). */
const UNIT_RATIOS = [1000, 100, 25.4] as const;
/** How near the step to a ratio must be, how many readings stand on either side, and how far up the curve. */
const RATIO_NEAR = 0.05;
const READINGS_AROUND = 4;
const BODY_LEAST = 0.05;
/** A column that carries less than this share of its greatest value at the end has collapsed. */
const COLLAPSED = 0.05;
const HOLDS = 0.15;
/** No bar of a tensile standard is drawn so far: m, and m/m. */
const TRAVEL_MOST = 2;
const STRAIN_MOST = 20;
/** A force below this breaks no bar [N]. */
const FORCE_SMALL = 10;
/** Length that travel over strain may stand for [m], slack and a yielding machine included, and a gauge length for it. */
const LENGTH_LEAST = 0.005;
const LENGTH_MOST = 2;
const GAUGE_USUAL = 0.05;

// The ranges of the questions: what polymers, filled or not, do in tension.
const STRESS_LEAST = 1e6;
const STRESS_MOST = 500e6;
const MODULUS_LEAST = 0.5e9;
const MODULUS_MOST = 50e9;
/** A soft machine takes this much off the modulus that grips alone show. */
const APPARENT_ROOM = 3;
/** Sections of standard bars [m2], for forces whose bar has not been measured yet: 2 x 1 to 29 x 14 mm. */
const SECTION_LEAST = 2e-6;
const SECTION_MOST = 400e-6;

const LENGTHS: readonly Channel[] = ['grip', 'extension', 'strain'];
const SAID: Readonly<Record<Channel, string>> = {
  time: 'time',
  force: 'force',
  stress: 'stress',
  grip: 'travel of the grips',
  extension: 'extension',
  strain: 'strain',
  transverse: 'change of width',
  transverseStrain: 'transverse strain',
};

/** @throws Refusal where two units are mixed in a column, where columns are swapped, or where no force was recorded */
export function refuseImpossible(file: string, bar: RecordedBar): void {
  const at = `${file}, lines ${bar.lineFirst} to ${bar.lineLast}`;
  const load = bar.channels.force ?? bar.channels.stress!;
  const loadName: Channel = bar.channels.force ? 'force' : 'stress';
  const force = signsOf(load);
  if (force.max === 0 && force.min === 0)
    throw new Refusal(
      `${at}: the ${SAID[loadName]} is zero in every reading${bar.named ? ` of bar ${bar.name}` : ''}. Expected the force that broke the bar: was the right channel exported?`,
    );
  for (const channel of ['force', 'stress', ...LENGTHS] as const) {
    const values = bar.channels[channel];
    const jump = values === undefined ? null : unitJump(values);
    if (jump !== null)
      throw new Refusal(
        `${file}, about line ${bar.lineFirst + jump.index}: two units are mixed, the ${SAID[channel]} steps from ${short(values![jump.index - 1]!)} to ${short(values![jump.index]!)} (SI) and goes on ${jump.up ? jump.ratio : `1/${jump.ratio}`} times as large. Expected one unit in the whole column.`,
      );
  }
  const time = bar.channels.time;
  if (time !== undefined) {
    const back = firstFall(time);
    if (back >= 0)
      throw new Refusal(
        `${file}, about line ${bar.lineFirst + back}: time runs backward, from ${short(time[back - 1]!)} s to ${short(time[back]!)} s. Are columns swapped? Expected time to rise down the column.`,
      );
  }
  for (const channel of LENGTHS) {
    const values = bar.channels[channel];
    if (values === undefined) continue;
    const other = signsOf(values);
    const collapses = other.endShare < COLLAPSED;
    const tooFar = Math.max(other.max, -other.min) > (channel === 'strain' ? STRAIN_MOST : TRAVEL_MOST);
    const forceHolds = force.endShare > HOLDS;
    if (collapses && forceHolds && (tooFar || channel === 'grip' || force.endShare < 1 - HOLDS))
      throw new Refusal(
        `${at}: the columns of ${SAID[loadName]} and ${SAID[channel]} look swapped: "${SAID[channel]}" collapses at the end as a force does, "${SAID[loadName]}" does not. Expected each column under its own heading.`,
      );
    if (tooFar && loadName === 'force' && force.max < FORCE_SMALL)
      throw new Refusal(
        `${at}: the columns of ${SAID[loadName]} and ${SAID[channel]} look swapped: ${SAID[channel]} of ${short(other.max)} ${channel === 'strain' ? '(ratio)' : 'm'} at ${short(force.max)} N is no bar's. Expected each column under its own heading.`,
      );
  }
  refuseTimeForTravel(at, bar);
  const { grip, extension } = bar.channels;
  if (grip !== undefined && extension !== undefined && force.endShare < HOLDS) {
    const g = signsOf(grip);
    const e = signsOf(extension);
    // The bar springs back when it breaks, the grips go on.
    if (springsBack(grip, load) && e.count > 0.95 * g.count && e.last > 0.98 * e.max)
      throw new Refusal(
        `${at}: the columns of extension and travel of the grips look swapped: the "travel" springs back at the break and the "extension" goes on. Expected each column under its own heading.`,
      );
  }
}

/** Travel and strain of one bar belong to a length between grips; if only time would, those two columns are swapped. */
function refuseTimeForTravel(at: string, bar: RecordedBar): void {
  const { time, grip, strain, extension } = bar.channels;
  const along = strain ?? extension;
  if (time === undefined || grip === undefined || along === undefined) return;
  const strained = signsOf(along).max / (strain === undefined ? GAUGE_USUAL : 1);
  const length = (travelled: number) => travelled / strained;
  const fits = (value: number) => value > LENGTH_LEAST && value < LENGTH_MOST && strained < 1;
  const g = signsOf(grip);
  const t = signsOf(time);
  if (fits(length(g.max - g.min)) || !fits(length((t.max - t.min) * 1e-3))) return;
  throw new Refusal(
    `${at}: the columns of time and travel of the grips look swapped: the grips would have moved ${short((g.max - g.min) * 1e3)} mm in ${short(t.max - t.min)} s while the bar was strained by ${short(100 * strained)} %. Expected each column under its own heading.`,
  );
}

const short = (value: number) => String(Number(value.toPrecision(4)));

function firstFall(time: Float64Array): number {
  for (let i = 1; i < time.length; i++) if (time[i]! < time[i - 1]!) return i;
  return -1;
}

/** Whether a channel falls by a tenth of its greatest value where the force collapses. */
function springsBack(values: Float64Array, force: Float64Array): boolean {
  let peak = 0;
  for (let i = 1; i < force.length; i++) if (force[i]! > force[peak]!) peak = i;
  for (let i = peak + 1; i < force.length; i++)
    if (force[i]! < 0.5 * force[peak]!) return values[i]! < values[peak]! - 0.1 * Math.abs(values[peak]!);
  return false;
}

/**
 * First reading from which a column goes on at another scale, a thousand times or a thousandth: the step is near a
 * ratio of units, it lies in the body of the curve, and the readings behind it continue those before once scaled
 * back. A break falls too, and stays down; a change of unit goes on rising or breaks later.
 */
export function unitJump(values: Float64Array): { index: number; ratio: number; up: boolean } | null {
  const end = values.length - READINGS_AROUND;
  let most = 0;
  for (let i = READINGS_AROUND; i <= end; i++) {
    const before = Math.abs(values[i - 1]!);
    const after = Math.abs(values[i]!);
    const up = after > before;
    const quotient = up ? after / before : before / after;
    // Nearly every reading leaves here.
    if (!(quotient > 15 && quotient < 2000)) continue;
    if (most === 0) most = greatestOf(values);
    if (Math.max(before, after) < BODY_LEAST * most) continue;
    for (const ratio of UNIT_RATIOS) {
      if (Math.abs(quotient / ratio - 1) > RATIO_NEAR) continue;
      const scale = up ? 1 / ratio : ratio;
      if (isLevel(values, i, scale) && (up || goesOn(values, i))) return { index: i, ratio, up };
    }
  }
  return null;
}

function greatestOf(values: Float64Array): number {
  let most = 0;
  for (const value of values) if (Math.abs(value) > most) most = Math.abs(value);
  return most;
}

/** Readings on both sides lie near one level when those from `at` on are scaled. */
function isLevel(values: Float64Array, at: number, scale: number): boolean {
  const level = values[at - 1]!;
  for (let k = 1; k < READINGS_AROUND; k++) {
    if (Math.abs(values[at - 1 - k]! / level - 1) > 0.5) return false;
    if (Math.abs((values[at + k]! * scale) / level - 1) > 0.5) return false;
  }
  return true;
}

/**
 * The readings from `at` on rise by a twentieth, or collapse, as the rest of a curve does; a broken bar or an
 * extensometer that was taken off stays at a level, give or take its noise.
 */
function goesOn(values: Float64Array, at: number): boolean {
  const rest = values.subarray(at);
  const middle = rest.length >> 1;
  const level = (from: number, to: number) => medianInPlace(rest.slice(from, to));
  const start = level(0, READINGS_AROUND);
  const noise = noiseOf(rest, rest.length - 1).deviation;
  const rise = Math.abs(level(middle, rest.length) - level(0, middle));
  if (rise > Math.max(0.05 * Math.abs(start), 6 * noise)) return true;
  const end = level(rest.length - READINGS_AROUND, rest.length);
  return Math.abs(end) < 0.5 * Math.abs(start) && Math.abs(start) > 10 * noise;
}

/**
 * What is odd about a bar of that section [m2], gauge length and grip distance [m]; null where they are not known: then
 * the widest range of sections is tried. Confirmed layouts are asked as well: a wrong scale does no less harm there.
 */
export function oddities(
  bar: RecordedBar,
  columns: readonly Column[],
  section: number | null,
  gaugeLength: number | null,
  gripDistance: number | null,
): Question[] {
  const questions: Question[] = [];
  const indexOf = (...roles: string[]) =>
    columns.filter(({ role }) => roles.includes(role)).map((c) => c.index);
  const load = bar.channels.force;
  const greatest = (values: Float64Array) => Math.max(signsOf(values).max, 0);
  const stressMost = load ? greatest(load) / (section ?? SECTION_MOST) : greatest(bar.channels.stress!);
  const stressLeast = load ? greatest(load) / (section ?? SECTION_LEAST) : stressMost;
  if (stressLeast < STRESS_LEAST || stressMost > STRESS_MOST)
    questions.push({
      code: 'force-scale',
      sentence: `Is the unit of force right? Bar ${bar.name} would break at ${short((stressLeast < STRESS_LEAST ? stressLeast : stressMost) / 1e6)} MPa; 1 to 500 MPa is expected.`,
      columns: indexOf('force', 'stress'),
    });
  const strain = bar.channels.strain;
  const extension = bar.channels.extension;
  const along = strain ?? extension;
  if (along !== undefined && (strain !== undefined || gaugeLength !== null)) {
    const scale = strain === undefined ? gaugeLength! : 1;
    const slope = slopeOfRise(load ?? bar.channels.stress!, along) * scale;
    const low = load ? slope / (section ?? SECTION_LEAST) : slope;
    const high = load ? slope / (section ?? SECTION_MOST) : slope;
    if (low < MODULUS_LEAST || high > MODULUS_MOST)
      questions.push({
        code: 'strain-scale',
        sentence: `Is the unit of ${strain ? 'strain' : 'extension'} right? Bar ${bar.name} would have a modulus of ${short((low < MODULUS_LEAST ? low : high) / 1e9)} GPa; 0.5 to 50 GPa is expected (per cent and ratio mixed up?).`,
        columns: indexOf('strain', 'extension'),
      });
  }
  const { grip } = bar.channels;
  if (along === undefined && grip !== undefined && load && section !== null && gripDistance !== null) {
    const apparent = (slopeOfRise(load, grip) * gripDistance) / section;
    if (apparent < MODULUS_LEAST / APPARENT_ROOM || apparent > MODULUS_MOST)
      questions.push({
        code: 'strain-scale',
        sentence: `Is the unit of travel right, and the column? Bar ${bar.name} would have an apparent modulus of ${short(apparent / 1e9)} GPa by its grips.`,
        columns: indexOf('grip'),
      });
  }
  const confirmed = columns.some(({ role, from }) => role === 'extension' && from === 'person');
  if (
    extension !== undefined &&
    grip === undefined &&
    !confirmed &&
    load !== undefined &&
    isTravel(extension, load)
  )
    questions.push({
      code: 'extension',
      sentence: `Was the extension of bar ${bar.name} read by an extensometer on the bar, or is it the travel of the grips? It goes on when the force collapses, which an extensometer on the bar does not.`,
      columns: indexOf('extension'),
    });
  return questions;
}

/** Force over strain or extension between a tenth and a quarter of the greatest force, first rise. */
function slopeOfRise(load: Float64Array, along: Float64Array): number {
  const { max } = signsOf(load);
  let from = -1;
  for (let i = 0; i < load.length; i++) {
    if (Number.isNaN(along[i]!)) continue;
    if (from < 0 && load[i]! >= 0.1 * max) from = i;
    if (load[i]! >= 0.25 * max)
      return from < 0 || i === from ? Number.NaN : (load[i]! - load[from]!) / (along[i]! - along[from]!);
  }
  return Number.NaN;
}

/** The force collapses and at least two later readings go on rising. */
function isTravel(extension: Float64Array, force: Float64Array): boolean {
  let peak = 0;
  for (let i = 1; i < force.length; i++) if (force[i]! > force[peak]!) peak = i;
  let after = 0;
  for (let i = peak + 1; i < force.length; i++) {
    if (force[i]! > 0.2 * force[peak]!) continue;
    if (!(extension[i]! > extension[peak]!)) return false;
    after++;
  }
  return after >= 2;
}
