import { REASONS } from '../engine/curves/validity.ts';
import { NOT_SAID } from '../engine/results/facts.ts';
import type { GroupFigures } from '../engine/results/group-figures.ts';
import type { SeriesResult } from '../engine/results/results.ts';
import { showNumber, showQuantity } from '../units.ts';
import { barView } from './bar-view.ts';
import { CHANCE, covariateView, curvesChart, everyBar } from './bars-charts.ts';
import {
  bareDigits,
  DASH,
  digitsOf,
  plusMinus,
  STRAIN_DIGITS,
  STRESS_DIGITS,
  spreadOf,
} from './bars-figures.ts';
import type { BarsFound } from './bars-found.ts';
import {
  boundSaying,
  builtWords,
  comparisonSaying,
  conditionWords,
  countWords,
  cvWords,
  distributionSaying,
  fewWords,
  headlineOf,
  pairSaying,
  reasonWords,
  sentenceCase,
  shareWords,
  weibullSaying,
} from './bars-words.ts';
import { listed } from './link-words.ts';
import { platesOf } from './plate-facts.ts';
import type { BarsView, GroupRow, SeriesView } from './results-views.ts';

/** Everything that a page shows of broken bars, from what was found of them. */
export function barsView(found: BarsFound): BarsView {
  const { job, series, asked, untested, without } = found;
  const [main] = series;
  const bars = series.flatMap((one) => one.bars);
  const answered = job.question === null ? null : (main?.settled ?? false);
  return {
    campaign: job.campaign,
    invented: job.invented,
    headline: main ? headlineOf(main, asked) : 'No bar is broken yet',
    lead: leadOf(found),
    answered,
    open: answered === false ? openWords(main) : null,
    series: series.map((one) => seriesView(one, found)),
    bars: bars.map((bar) => barView(bar, found)),
    plates: platesOf(found),
    files: found.files.map(({ file, hash, recorded, reading, questions }) => ({
      file,
      hash,
      bars: recorded.map(({ name, bar }) => bar ?? name),
      evidence: [...reading.evidence],
      notes: [...reading.notes, ...questions.map(({ sentence }) => sentence)],
      columns: reading.columns.map(({ heading, role, unit }) => ({ heading, role, unit: unit ?? '' })),
    })),
    reasons: REASONS.map(({ code, words }) => ({ code, words })),
    lacking: [
      ...(untested.length > 0 ? [`No curve yet of ${listed(untested)}.`] : []),
      ...without.map(({ sentence }) => sentence),
      ...(found.waterless === null ? [] : [`Water at the prints: ${found.waterless}`]),
    ],
    blanks: blanksOf(found),
    budget: main ? budgetWords(main) : [],
    method: methodLines(found),
    weak: weakWords(found),
    cautions: CAUTIONS,
  };
}

const CAUTIONS = [
  {
    hazard: 'A strength from bars is not a permit to load a part.',
    words:
      'Have the design checked by whoever may sign for it; the manual, the safety sheet and local codes come first.',
  },
  {
    hazard: 'Bars that break throw pieces and carbon dust.',
    words:
      "Eye protection and the machine's guard; fracture faces and dust are not for bare hands or lungs. The machine's manual comes first.",
  },
];

function openWords(main: SeriesResult | undefined): string {
  if (!main) return 'No bar is broken yet.';
  if (main.pairs.length === 0) return 'Only one group of the question has bars that count.';
  const none = main.pairs.find(({ answer }) => answer.verdict === 'none');
  if (none) return main.comparison?.message ?? none.answer.sentence;
  const open = main.pairs.filter(({ answer }) => answer.verdict === 'open');
  if (open.length === 0) return 'A group of the question has no bar that counts.';
  return moreOf(main).join(' ') || 'The interval leaves it open.';
}

/** What would settle each pair that is open. */
function moreOf({ pairs }: SeriesResult): string[] {
  return pairs.flatMap(({ pair, answer }) =>
    answer.more === null
      ? []
      : [
          `${sentenceCase(pair[0])} and ${pair[1]}: ${answer.more.sentence.charAt(0).toLowerCase()}${answer.more.sentence.slice(1)}`,
        ],
  );
}

function leadOf({ series, job }: BarsFound): string {
  const [main] = series;
  if (!main) return 'Bring in the curves of the test machine.';
  const all = series.flatMap(({ bars }) => bars);
  const count = all.filter(({ counts }) => counts).length;
  const { speed } = job.test;
  const speeds = [...new Set([speed.modulus, speed.rest])].filter((value) => value !== null);
  const strain = new Set(main.bars.map(({ reduction }) => reduction.modulusKind));
  return [
    `${count === all.length ? `All ${count}` : `${count} of ${all.length}`} bars count. ${sentenceCase(conditionWords(main.condition))}${series.length > 1 ? `; ${series.length - 1} other condition${series.length > 2 ? 's' : ''} on ${series.length > 2 ? 'their' : 'its'} own` : ''}`,
    ...(speeds.length > 0
      ? [`pulled at ${listed(speeds.map((value) => showQuantity(value, 'mm/min')))}`]
      : []),
    strain.has('extensometer')
      ? 'strain from the extensometer'
      : strain.has('travel less compliance')
        ? 'strain from the grips less the give of the machine'
        : 'strain from the grips, nominal',
    '± and intervals are 95\u00a0%.',
  ]
    .join('; ')
    .replace(/; ±/, '. ±')
    .concat(job.invented ? ' Invented data.' : '');
}

function seriesView(series: SeriesResult, found: BarsFound): SeriesView {
  const { asked } = found;
  const names = series.groups.map(({ group }) => group);
  const present = <T>(value: T | null): T[] => (value === null ? [] : [value]);
  return {
    condition: conditionWords(series.condition),
    groups: series.groups.map((group) => groupRow(group)),
    say: [
      ...series.pairs.map((one) => pairSaying(one, series, asked)),
      ...present(comparisonSaying(series)),
      ...series.groups.flatMap((group) => present(boundSaying(group))),
      ...present(distributionSaying(series.groups)),
      ...series.groups.flatMap((group) => present(weibullSaying(group))),
    ],
    more: moreOf(series),
    leftOut: series.groups.flatMap((group) =>
      group.leftOut.map(({ bar, with: withIt }) => {
        const { facts } = series.bars.find((one) => one.facts.bar === bar)!;
        const mean = group.measures.strength?.mean;
        return {
          bar,
          words: `${sentenceCase(reasonWords(facts.leftOut!.reason))}: ${facts.leftOut!.note}`,
          effect:
            mean === undefined
              ? ''
              : `With it, ${group.group} would be ${digitsOf(withIt.mean, 'MPa', STRESS_DIGITS)} instead of ${bareDigits(mean, 'MPa', STRESS_DIGITS)}.`,
        };
      }),
    ),
    asked: askedBars(series),
    everyBar: everyBar(series, 'strength'),
    everyModulus: everyBar(series, 'modulus'),
    curves: curvesChart(series.bars, names),
    covariates: series.covariates.map((one) => covariateView(one, names)),
  };
}

function askedBars({ groups, bars }: SeriesResult): SeriesView['asked'] {
  return groups.flatMap(({ group, measures }) => {
    const strength = measures.strength;
    if (!strength?.asked) return [];
    const { bar, without } = strength.asked;
    const own = bars.find(({ facts }) => facts.bar === bar)!;
    const below = own.strength < strength.mean;
    return [
      {
        bar,
        words: `${bar} lies far ${below ? 'below' : 'above'} the others of ${group}. Look at its fracture face: void, cold layer, grip? It stays in. Without it the mean would be ${digitsOf(without.mean, 'MPa', STRESS_DIGITS)} instead of ${bareDigits(strength.mean, 'MPa', STRESS_DIGITS)}.${own.facts.note === '' ? '' : ` Noted: ${own.facts.note}.`}`,
      },
    ];
  });
}

function groupRow(group: GroupFigures): GroupRow {
  const { strength, modulus } = group.measures;
  return {
    group: group.group,
    built: `${builtWords(group.orientation)}, ${group.type}`,
    plates: group.plates.join(', '),
    bars: countWords(group),
    strength: plusMinus(strength, 'MPa', STRESS_DIGITS),
    spread: spreadOf(strength?.s ?? null, 'MPa'),
    cv: cvWords(strength?.cv ?? null),
    bound: group.bound?.value == null ? DASH : bareDigits(group.bound.value, 'MPa', STRESS_DIGITS),
    boundWords:
      group.bound === null
        ? 'no bar counts'
        : group.bound.value === null
          ? (group.bound.missing ?? 'too few bars')
          : group.bound.name,
    modulus: plusMinus(modulus, 'GPa', STRESS_DIGITS),
    strainAtStrength: plusMinus(group.measures['strain at strength'], '%', STRAIN_DIGITS),
    strainAtBreak: plusMinus(group.measures['strain at break'], '%', STRAIN_DIGITS),
    notes: fewWords(group),
  };
}

/** What the report of the standard asks for and only a person can say. */
function blanksOf({ job, series }: BarsFound): BarsView['blanks'] {
  const { test } = job;
  const blanks: BarsView['blanks'] = [];
  const ask = (is: boolean, what: string, path: string, hint: string) => {
    if (is) blanks.push({ what, path, hint });
  };
  ask(test.on === null, 'day of the test', 'test.on', '2027-03-22');
  ask(
    series.some(({ condition }) => condition === NOT_SAID),
    'how the bars were kept before the test',
    'test.conditioning',
    'dry as printed',
  );
  ask(test.kept === null, 'where and how long they were kept', 'test.kept', 'sealed with desiccant, 9 days');
  ask(test.climate === null, 'air at the machine', 'test.climate', '23 C, 50 %RH');
  ask(
    test.speed.modulus === null && test.speed.rest === null,
    'speed of the test',
    'test.speed.rest',
    '5 mm/min',
  );
  ask(test.grips === null, 'kind and pressure of the grips', 'test.grips', 'wedges, tightened by hand');
  return blanks;
}

function budgetWords({ budget }: SeriesResult): string[] {
  if (budget === null) return ['The uncertainty of the sections is not known.'];
  const percent = (share: number) => `${showNumber(100 * share, 0)}\u00a0%`;
  return [
    `A single strength is uncertain by ${showNumber(200 * budget.relative, 1)}\u00a0% (k = 2): force ${percent(budget.force)} of its square, width ${percent(budget.width)}, thickness ${percent(budget.thickness)}.`,
    `Measure the ${budget.largest} better first. ${budget.advice}`,
    'Between groups from one machine the common part cancels: it is in absolute values alone, and left out of ratios.',
  ];
}

function methodLines({ job, asked, conf, test, series }: BarsFound): BarsView['method'] {
  const types = [...new Set(series.flatMap(({ bars }) => bars.map(({ facts }) => facts.type)))];
  const iso = types.some((type) => !type.startsWith('D638'));
  return [
    {
      what: 'standard',
      value: `${iso ? 'ISO 527-1 and -2' : 'ASTM D638'}${types.length > 0 ? `, type ${listed(types)}` : ''} (limits of the standard from memory: compare with your copy)`,
    },
    {
      what: 'question',
      value: `${asked.measure} of ${listed(asked.compare.length > 0 ? asked.compare : job.groups.map(({ name }) => name))}; the smallest difference that matters is ${shareWords(asked.smallest)}${asked.assumed ? ' (assumed: nobody said)' : ''}, to be seen ${showNumber(100 * asked.power, 0)} times in 100`,
    },
    {
      what: 'intervals',
      value: `${showNumber(100 * conf, 0)}\u00a0%; of several pairs together (Bonferroni); means by t (ISO 2602)`,
    },
    {
      what: 'strain',
      value: `gauge length ${test.gaugeLength === null ? 'as the type has it' : showQuantity(test.gaugeLength, 'mm')}, grips ${test.gripDistance === null ? 'as the type has it' : `${showQuantity(test.gripDistance, 'mm')} apart`}; toe ${test.options.toe === 'none' ? 'as read' : 'from the curve'}`,
    },
    {
      what: 'bars that do not count',
      value: `left out by a person for a physical reason alone (${REASONS.map(({ code }) => code).join(', ')}); the outlier test of Grubbs only asks`,
    },
    { what: 'covariates', value: `shown, never corrected for. ${CHANCE}` },
  ];
}

function weakWords({ job, series }: BarsFound): string[] {
  const spool = 'Nothing about another spool or another machine: one of each was used.';
  const wet =
    'Nothing about wet, hot, cold or long loading. Polyamide takes up water and softens; numbers of another condition are other numbers.';
  const grips = series.some(({ bars }) =>
    bars.some(({ reduction }) => reduction.modulusKind !== 'extensometer'),
  )
    ? ['Where there was no extensometer, modulus and strains are not those of the standard.']
    : [];
  return [
    wet,
    spool,
    'Printed faces are ridged: a caliper rides on the ridges and makes the section too large, so strengths too small; this is in the uncertainty and not corrected.',
    ...grips,
    ...(job.invented ? ['All data are invented.'] : []),
  ];
}
