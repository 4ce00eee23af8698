import type { BarResult } from '../engine/results/bar.ts';
import { fromSi, showNumber, showQuantity } from '../units.ts';
import { pointsOf } from './bars-charts.ts';
import { bareDigits, DASH, digitsOf, STRAIN_DIGITS, STRESS_DIGITS } from './bars-figures.ts';
import type { BarsFound } from './bars-found.ts';
import { conditionWords, reasonWords } from './bars-words.ts';
import { niceAxis } from './nice-ticks.ts';
import type { BarView } from './results-views.ts';

/** One bar with its numbers and the way back from them: curve, file, readings, options. */

const CURVE_TYPES: Readonly<Record<string, string>> = {
  a: 'a, nearly straight to the break',
  b: 'b, yields and falls',
  c: 'c, yields and rises again',
  d: 'd, bent, no yield',
};

export function barView(bar: BarResult, found: BarsFound): BarView {
  const { facts, reduction: r, uncertainty, origin } = bar;
  const stress = (value: number | null) => (value === null ? DASH : digitsOf(value, 'MPa', STRESS_DIGITS));
  const strain = (value: number | null) => (value === null ? DASH : digitsOf(value, '%', STRAIN_DIGITS));
  const modulus = (value: number | null) => (value === null ? DASH : digitsOf(value, 'GPa', STRESS_DIGITS));
  const readings = (values: readonly number[]) =>
    values.map((value) => showNumber(fromSi(value, 'mm'), 2)).join(', ');
  const curve = pointsOf(bar);
  const kind = r.modulusKind === 'extensometer' || r.modulusKind === null ? '' : ` (${r.modulusKind})`;
  return {
    bar: facts.bar,
    group: facts.group,
    condition: conditionWords(facts.condition),
    counts: bar.counts,
    strength: stress(r.strength),
    leftOut: facts.leftOut === null ? null : `${reasonWords(facts.leftOut.reason)}: ${facts.leftOut.note}`,
    note: facts.note,
    spare: facts.spare,
    numbers: [
      {
        what: 'strength',
        value: `${stress(r.strength)}${uncertainty === null ? '' : ` ± ${bareDigits(uncertainty.expanded, 'MPa', 2)} (k = 2)`}`,
      },
      {
        what: 'modulus, regression 0.05 to 0.25 %',
        value: `${modulus(r.modulusRegression)}${r.modulusError === null ? '' : ` ± ${bareDigits(r.modulusError, 'GPa', 2)} standard error`}${kind}`,
      },
      { what: 'modulus, chord', value: `${modulus(r.modulusChord)}${kind}` },
      { what: 'strain at strength', value: strain(r.strainAtStrength) },
      {
        what: 'strain at break',
        value: `${strain(r.strainAtBreak)}${r.strainAtBreakKind === null || r.strainAtBreakKind === 'extensometer' ? '' : `, ${r.strainAtBreakKind}`}`,
      },
      { what: 'stress at break', value: stress(r.stressAtBreak) },
      ...(r.stressMost === r.strength ? [] : [{ what: 'greatest stress', value: stress(r.stressMost) }]),
      ...(r.yieldStress === null
        ? []
        : [{ what: 'yield', value: `${stress(r.yieldStress)} at ${strain(r.yieldStrain)}` }]),
      ...(r.poisson === null
        ? []
        : [{ what: "Poisson's ratio", value: bareDigits(r.poisson, '', STRAIN_DIGITS) }]),
      { what: 'curve', value: r.curveType === null ? DASH : CURVE_TYPES[r.curveType]! },
      {
        what: 'zero of strain',
        value: r.toeShift === 0 ? 'as read' : `moved by ${showNumber(100 * r.toeShift, 3)}\u00a0%`,
      },
    ],
    measured: [
      {
        what: 'width',
        value: `${showNumber(fromSi(bar.width, 'mm'), 3)}\u00a0mm${facts.width.length > 0 ? ` (${readings(facts.width)})` : ''}`,
      },
      {
        what: 'thickness',
        value: `${showNumber(fromSi(bar.thickness, 'mm'), 3)}\u00a0mm${facts.thickness.length > 0 ? ` (${readings(facts.thickness)})` : ''}`,
      },
      {
        what: 'section',
        value: `${showQuantity(bar.section, 'mm2', 4)}, ${bar.sectionFrom === 'readings' ? 'width times thickness' : bar.sectionFrom === 'the file' ? 'by the sizes in the file' : 'as given'}`,
      },
      ...(facts.covariates.mass === null
        ? []
        : [
            {
              what: 'mass',
              value: `${showQuantity(facts.covariates.mass, 'g', 4)}${bar.massSection === null ? '' : `, ${showNumber(100 * bar.massSection, 1)}\u00a0% of a sound bar of that section: a sign of voids, not a correction`}`,
            },
          ]),
    ],
    flags: r.flags.map(({ code, sentence }) => ({ code, sentence })),
    questions: [...bar.questions],
    curve,
    xTicks: niceAxis(0, Math.max(1e-3, ...curve.map(([x]) => x)), 5).ticks,
    yTicks: niceAxis(0, Math.max(1, ...curve.map(([, y]) => y)), 4).ticks,
    from: [
      { what: 'file', value: `${origin.file}, lines ${origin.lineFirst} to ${origin.lineLast}` },
      { what: 'called there', value: origin.name },
      { what: 'SHA-256 of the file', value: origin.hash },
      {
        what: 'reduction',
        value: `toe ${found.test.options.toe === 'none' ? 'as read' : 'from the curve'}, modulus 0.05 to 0.25 %, ${found.test.compliance === null ? 'give of the machine not known' : `give of the machine ${showQuantity(found.test.compliance, 'mm/N')}`}`,
      },
      {
        what: 'tested as number',
        value: facts.covariates.testOrder === null ? DASH : String(facts.covariates.testOrder),
      },
    ],
    plate: facts.plate,
    at: facts.at === null ? null : [fromSi(facts.at[0], 'mm'), fromSi(facts.at[1], 'mm')],
  };
}
