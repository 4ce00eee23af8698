import { STRAIN_HIGH, STRAIN_LOW } from './modulus.ts';
import type { Flag, Reduction } from './reduction.ts';

/** What a reader of the number has to know about its curve, a sentence each. */

/** Readings in the modulus window, and share of the variance that its line explains, below which it is doubted. */
const READINGS_LEAST = 10;
const R2_LEAST = 0.995;
/** Difference between regression and the parabola's chord above which the toe reaches into the window. */
const TOE_DIFFERENCE = 0.02;
/** Preload stress up to modulus/2000 (ISO 527-1, from memory). */
const PRELOAD_DIVISOR = 2000;
/** A greatest stress that stands this share above the readings on both sides is a fault of the record. */
const SPIKE_SHARE = 0.2;

export type FlagFacts = Readonly<{
  source: 'extensometer' | 'grips' | null;
  /** Strain at which the extensometer began, where that is not zero. */
  offset: number;
  toeApplied: boolean;
  parabolaChord: number | null;
  slipInWindow: boolean;
  /** Index of the greatest stress. */
  peak: number;
}>;

const percent = (share: number, digits = 3) => `${Number((100 * share).toPrecision(digits))} %`;
const mm = (length: number) => `${Number((1000 * length).toPrecision(3))} mm`;
const mpa = (stress: number) => `${Number((stress / 1e6).toPrecision(3))} MPa`;
const WINDOW = `${percent(STRAIN_LOW)} to ${percent(STRAIN_HIGH)}`;

export function flagsOf(r: Omit<Reduction, 'flags'>, facts: FlagFacts): Flag[] {
  const flags: Flag[] = [];
  const add = (code: Flag['code'], sentence: string) => flags.push({ code, sentence });
  const modulus = r.modulusRegression ?? r.modulusChord;
  if (r.readingsAfterBreak > 0)
    add(
      'tail',
      r.readingsAfterBreak === 1
        ? 'One reading after the break is left out.'
        : `${r.readingsAfterBreak} readings after the break are left out.`,
    );
  const besides = Math.max(
    r.stress[facts.peak - 1] ?? r.stressMost,
    r.stress[facts.peak + 1] ?? r.stressMost,
  );
  if (r.stressMost - besides > SPIKE_SHARE * r.stressMost)
    add(
      'spike',
      `The greatest stress, ${mpa(r.stressMost)}, is one reading alone, far above those on both sides (${mpa(besides)} at most). Look at the record before the strength is used.`,
    );
  if (facts.source === null) add('no_strain', 'No strain and no travel: the strength alone can be told.');
  if (facts.source === 'grips')
    add(
      'grips',
      r.modulusKind === 'travel less compliance'
        ? 'No extensometer: strains come from the travel of the grips less the give of the machine. Not a modulus of the standard.'
        : 'No extensometer: strains are nominal, travel over grip distance, and the modulus is apparent. Not a modulus of the standard.',
    );
  if (facts.offset !== 0)
    add(
      'offset',
      `The extensometer began at ${percent(facts.offset)}, not at zero; strains count from there.`,
    );
  if (facts.toeApplied)
    add('toe', `Strain zero moved by ${percent(r.toeShift)}: slack, or a curled bar pulled straight.`);
  const chord = facts.parabolaChord;
  if (chord !== null && modulus !== null && Math.abs(modulus / chord - 1) > TOE_DIFFERENCE)
    add(
      'toe_modulus',
      `The toe reaches into the window of the modulus: ${percent(Math.abs(modulus / chord - 1), 2)} between its regression and the first rise as a whole.`,
    );
  if (r.slips.length > 0) {
    const times = r.slips.length === 1 ? 'once' : `${r.slips.length} times`;
    add(
      'slip',
      `Slipped ${times} in the grips, at ${r.slips.map(({ stress }) => mpa(stress)).join(', ')}. The strength stays${
        r.slipTravel > 0 ? `; ${mm(r.slipTravel)} of travel are taken out of the nominal strains` : ''
      }.`,
    );
  }
  if (facts.slipInWindow)
    add('slip_modulus', `It slipped between ${WINDOW} strain without an extensometer: there is no modulus.`);
  else if (facts.source !== null && (r.modulusReadings < READINGS_LEAST || modulus === null))
    add(
      'few',
      modulus === null
        ? `No modulus: the strain was not read up to ${percent(STRAIN_HIGH)}, or by less than 3 readings in ${WINDOW}.`
        : `Only ${r.modulusReadings} readings between ${WINDOW} strain; at least ${READINGS_LEAST} are wanted for a modulus.`,
    );
  if (r.modulusR2 !== null && r.modulusR2 < R2_LEAST)
    add('bent', `The curve is no line between ${WINDOW} strain (r2 = ${r.modulusR2.toFixed(4)}).`);
  if (r.extensometerEnd !== null)
    add(
      'ext_off',
      `The extensometer was off from ${r.strain === null || r.extensometerEnd === 0 ? 'the start' : percent(r.strain[r.extensometerEnd - 1]!)} on; strain behind that is nominal, by the travel of the grips.`,
    );
  if (modulus !== null && r.stress[0]! > modulus / PRELOAD_DIVISOR)
    add(
      'preload',
      `Preload of ${mpa(r.stress[0]!)} is above modulus/${PRELOAD_DIVISOR} = ${mpa(modulus / PRELOAD_DIVISOR)}.`,
    );
  return flags;
}
