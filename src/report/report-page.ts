import type { SeriesResult } from '../engine/results/results.ts';
import type { Job } from '../job.ts';
import { fromSi, showNumber, showQuantity } from '../units.ts';
import { bareDigits, DASH, STRAIN_DIGITS, STRESS_DIGITS } from './bars-figures.ts';
import type { BarsFound } from './bars-found.ts';
import { conditionWords, sentenceCase } from './bars-words.ts';
import { dryingWords, spoolWords } from './plate-facts.ts';
import { reportStyle } from './report-style.ts';
import { barSvg, covariateSvg, curvesSvg, escaped, everyBarSvg, sheetSvg } from './report-svg.ts';
import type { BarsView, BarView, SeriesView } from './results-views.ts';

/** What the report says of its own making. */
export type ReportMade = Readonly<{
  version: string;
  seed: number;
  draws: number;
  /** Names of the files beside it. */
  csv: string;
  json: string;
}>;

/**
 * The report as one HTML file that opens without a network: the report clause of ISO 527-1 (from memory), and what the
 * standard does not ask for: plates, seeds, hashes, what the series cannot show. Every number leads to its bar, from
 * there to its curve, file, plate and spool.
 */
export function reportPage(found: BarsFound, view: BarsView, made: ReportMade): string {
  const { job } = found;
  const title = `Tensile test of printed bars: ${view.campaign}`;
  const foot = `${view.campaign} · ${job.test.on ?? 'no date'} · seed ${made.seed} · Bonedry ${made.version}`;
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<title>${escaped(title)}</title><style>${reportStyle(foot)}</style></head><body><article>
<p class="dim">Test report${job.test.on === null ? '' : ` · ${job.test.on}`}${view.invented ? ' · Example, invented' : ''}</p>
<h1>${escaped(title)}</h1>
${list([
  ['Asked', view.method.find(({ what }) => what === 'question')?.value ?? ''],
  ['Standard', view.method.find(({ what }) => what === 'standard')?.value ?? ''],
  ['Material', spoolWords(job)],
])}
<h2>Answer</h2><p><b>${escaped(view.headline)}.</b> ${escaped(view.lead)}</p>
${view.open === null ? '' : `<p>${escaped(view.open)}</p>`}
${view.series.map((series, k) => seriesSections(series, found.series[k]!, view)).join('')}
${doneSection(found)}
${limitsSection(view)}
<section class="page"><h2 id="bars">Every bar, and where its numbers come from</h2>${view.bars.map(barSection).join('')}</section>
<section class="page"><h2 id="plates">Plates, spool and water</h2>${view.plates
    .map(
      (plate) =>
        `<section class="keep" id="plate-${escaped(plate.plate)}"><h3>Plate ${escaped(plate.plate)}</h3><div class="two narrow"><div>${sheetSvg(plate)}</div>${list(plate.facts.map(({ what, value }) => [what, value]))}</div></section>`,
    )
    .join('')}</section>
${filesSection(found, view, made)}
<section class="keep"><h2>Cautions</h2>${view.cautions.map(({ hazard, words }) => `<p class="caution"><b>${escaped(hazard)}</b> ${escaped(words)}</p>`).join('')}</section>
</article></body></html>
`;
}

function list(rows: readonly (readonly [string, string])[]): string {
  return `<dl>${rows.map(([what, value]) => `<dt>${escaped(sentenceCase(what))}</dt><dd>${escaped(value)}</dd>`).join('')}</dl>`;
}

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const cells = (row: readonly string[], tag: string) =>
    row.map((cell) => `<${tag}>${cell}</${tag}>`).join('');
  return `<div class="wide"><table><thead><tr>${cells(head, 'th')}</tr></thead><tbody>${rows.map((row) => `<tr>${cells(row, 'td')}</tr>`).join('')}</tbody></table></div>`;
}

const bullets = (items: readonly string[]) =>
  items.length === 0 ? '' : `<ul>${items.map((item) => `<li>${item}</li>`).join('')}</ul>`;

/** Groups, what may be said, curves, one page a group, covariates of the bars of one condition. */
function seriesSections(series: SeriesView, result: SeriesResult, view: BarsView): string {
  const names = series.groups.map(({ group }) => group);
  const rows = series.groups.map((row) => [
    `<a href="#group-${escaped(row.group)}">${escaped(sentenceCase(row.group))}</a><small>${escaped(row.built)}</small>`,
    row.bars,
    row.strength,
    row.spread,
    row.cv,
    `<span title="${escaped(row.boundWords)}">${row.bound}</span>`,
    row.modulus,
    row.strainAtStrength,
    row.strainAtBreak,
  ]);
  const heading = view.series.length > 1 ? `<h2>${escaped(sentenceCase(series.condition))}</h2>` : '';
  const leftOut = series.leftOut.map(
    ({ bar, words, effect }) => `${barLink(bar)} ${escaped(`${words}. ${effect}`)}`,
  );
  return `${heading}
${table(['Built', 'bars', 'strength<br>MPa', 'spread s<br>MPa', 's / mean<br>%', '9 in 10 above,<br>95 % sure, MPa', 'modulus<br>GPa', 'strain at<br>strength, %', 'strain at<br>break, %'], rows)}
${bullets(series.groups.flatMap(({ group, notes, bound, boundWords }) => [...notes, ...(bound === '–' ? [`No bound: ${boundWords}`] : [])].map((words) => `${escaped(sentenceCase(group))}: ${escaped(words)}`)))}
<div class="wide">${everyBarSvg(series.everyBar)}</div>
<p class="small dim">Every bar, strength in MPa. Open mark: left out. Line: mean and 95 % interval. Bracket: 9 in 10 bars lie above, 95 % sure. A mark leads to its bar.</p>
<h2>What can be said</h2><ul class="say">${series.say.map(({ words, small }) => `<li>${escaped(words)}<small>${escaped(small)}</small></li>`).join('')}</ul>
${series.more.map((words) => `<p>${escaped(words)}</p>`).join('')}
<h2>Left out, and why</h2>${leftOut.length === 0 ? '<p>None.</p>' : bullets(leftOut)}<p>No bar was left out for its value.</p>
${series.asked.map(({ bar, words }) => `<p>Asked: ${barLink(bar)}. ${escaped(words)}</p>`).join('')}
<section class="page"><h2>Every curve</h2><div class="wide">${curvesSvg(series.curves, names)}</div>
<p class="small dim">Stress over strain up to the break; mark: the strength, open where the bar is left out.</p></section>
${series.groups.map((row) => groupPage(row.group, result)).join('')}
<section class="keep"><h2>What should not matter, against strength</h2><div class="grid">${series.covariates
    .map(
      (one) =>
        `<div class="keep">${covariateSvg(one)}<p class="small">${escaped(one.finding)}${one.mixedUp === null ? '' : ` <b>${escaped(one.mixedUp)}</b>`}</p></div>`,
    )
    .join('')}</div></section>`;
}

const barLink = (bar: string) => `<a href="#bar-${escaped(bar)}">${escaped(bar)}</a>`;

/** Individual results of one group, with the sizes that the standard asks for. */
function groupPage(group: string, { bars: all }: SeriesResult): string {
  const bars = all.filter(({ facts }) => facts.group === group);
  const size = (value: number) => showNumber(fromSi(value, 'mm'), 2);
  const figure = (value: number | null, unit: string, digits: number) =>
    value === null ? DASH : bareDigits(value, unit, digits);
  const rows = bars.map(({ facts, counts, width, thickness, reduction: r, uncertainty }) => [
    barLink(facts.bar) + (counts ? '' : ' (left out)') + (facts.spare ? ' (spare)' : ''),
    `<a href="#plate-${escaped(facts.plate)}">${escaped(facts.plate)}</a>`,
    size(width),
    size(thickness),
    figure(r.strength, 'MPa', STRESS_DIGITS),
    figure(uncertainty?.expanded ?? null, 'MPa', 2),
    figure(r.modulusRegression, 'GPa', STRESS_DIGITS),
    figure(r.modulusChord, 'GPa', STRESS_DIGITS),
    figure(r.strainAtStrength, '%', STRAIN_DIGITS),
    figure(r.strainAtBreak, '%', STRAIN_DIGITS),
    r.curveType ?? DASH,
    r.flags.map(({ code }) => code).join(' '),
  ]);
  const head = [
    'Bar',
    'plate',
    'width<br>mm',
    'thickness<br>mm',
    'strength<br>MPa',
    'U (k = 2)<br>MPa',
    'modulus<br>GPa',
    'by chord<br>GPa',
    'strain at<br>strength, %',
    'strain at<br>break, %',
    'curve',
    'flags',
  ];
  const sizes = (['width', 'thickness'] as const).map((what) => {
    const values = bars.map((bar) => bar[what]);
    const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
    return [`${sentenceCase(what)}, mm`, '', ...[mean, Math.min(...values), Math.max(...values)].map(size)];
  });
  return `<section class="page" id="group-${escaped(group)}"><h2>${escaped(sentenceCase(group))}: every result</h2>${table(head, rows)}${table(['', '', 'mean', 'least', 'greatest'], sizes)}</section>`;
}

/** A blank that only a person can fill prints as a ruled gap. */
const gap = (value: string | null) => (value === null ? '<span class="gap"></span>' : escaped(value));

function doneSection({ job, series, files }: BarsFound): string {
  const { test, settings } = job;
  const speed = (value: number | null) => gap(value === null ? null : showQuantity(value, 'mm/min'));
  const machine = job.kit.cards['test-machine'];
  const conditions = series.map(({ condition }) => conditionWords(condition)).join('; ');
  const bars = series.reduce((sum, one) => sum + one.bars.length, 0);
  const rows: [string, string][] = [
    ['day of the test', gap(test.on)],
    ['material and spool', escaped(spoolWords(job))],
    ['drying', escaped(dryingWords(job))],
    ['printed with', escaped(settingsWords(job, settings))],
    ['bars tested', `${bars}, from ${files.length} file${files.length === 1 ? '' : 's'}`],
    ['conditioning', `${escaped(conditions)}; ${gap(test.kept)}`],
    [
      'air at the machine',
      gap(
        test.climate === null
          ? null
          : `${showQuantity(test.climate.temperature, 'C')}, ${showQuantity(test.climate.humidity, '%RH')}`,
      ),
    ],
    ['speed', `modulus ${speed(test.speed.modulus)}, then ${speed(test.speed.rest)}`],
    [
      'machine, extensometer, caliper',
      escaped(
        `card ${machine?.name ?? '–'}${machine?.from === 'assumed' ? ', assumed' : ''}: ${errorWords(job)}`,
      ),
    ],
    ['grips and their pressure', gap(test.grips)],
    ['gauge length, grip distance', escaped(lengthsWords(job))],
  ];
  return `<section class="page"><h2>What was done</h2><dl>${rows.map(([what, value]) => `<dt>${escaped(sentenceCase(what))}</dt><dd>${value}</dd>`).join('')}</dl></section>`;
}

function lengthsWords({ test }: Job): string {
  const shown = (value: number | null) => (value === null ? 'as the type has it' : showQuantity(value, 'mm'));
  return `${shown(test.gaugeLength)}, ${shown(test.gripDistance)}`;
}

function errorWords({ entries }: Job): string {
  const words = (['force error', 'extensometer error', 'caliper error'] as const).map((name) => {
    const entry = entries[`test-machine.${name}`];
    const { law } = entry ?? {};
    const width =
      law?.kind === 'even' && entry !== undefined
        ? `±${showNumber(fromSi((law.high - law.low) / 2, entry.unit), 2)} ${entry.unit}`
        : '–';
    return `${name} ${width}`;
  });
  return words.join(', ');
}

function settingsWords(job: Job, { nozzle, bed, layer, retract }: Job['settings']): string {
  const parts = [
    ...(nozzle === undefined ? [] : [`nozzle ${showQuantity(nozzle, 'C')}`]),
    ...(bed === undefined ? [] : [`bed ${showQuantity(bed, 'C')}`]),
    ...(layer === undefined ? [] : [`layer ${showQuantity(layer, 'mm')}`]),
    ...(retract === undefined ? [] : [`retraction ${showQuantity(retract.length, 'mm')}`]),
    `printer ${job.kit.cards['printer']?.name ?? '–'}`,
  ];
  return `${parts.join(', ')}; what the print files say wins`;
}

function limitsSection(view: BarsView): string {
  return `<section class="keep"><h2>Uncertainty</h2>${bullets(view.budget.map(escaped))}</section>
<section class="keep"><h2>Method</h2>${list(view.method.map(({ what, value }) => [what, value]))}</section>
<section class="keep"><h2>Deviations from the standard</h2>${bullets([
    'Bars are printed, not moulded or machined; their faces are ridged.',
    'Slack and toe are treated as each bar says; the way of the standard (preload alone) is "as read".',
    ...view.lacking.map(escaped),
  ])}</section>
<section class="keep"><h2>What this does not say</h2>${bullets(view.weak.map(escaped))}</section>`;
}

function barSection(bar: BarView): string {
  const rows = (lines: BarView['numbers']) => list(lines.map(({ what, value }) => [what, value]));
  return `<section class="keep" id="bar-${escaped(bar.bar)}"><h3>${escaped(bar.bar)}: ${escaped(bar.strength)} <span class="dim">${escaped(bar.group)}, ${escaped(bar.condition)}, plate <a href="#plate-${escaped(bar.plate)}">${escaped(bar.plate)}</a>${bar.at === null ? '' : ` at ${showNumber(bar.at[0], 0)} x ${showNumber(bar.at[1], 0)} mm`}</span></h3>
${bar.leftOut === null ? '' : `<p><b>Left out.</b> ${escaped(bar.leftOut)}</p>`}${bar.counts && bar.note !== '' ? `<p>Noted: ${escaped(bar.note)}</p>` : ''}
<div class="two narrow"><div>${barSvg(bar)}</div><div>${rows(bar.numbers)}</div></div>${rows(bar.measured)}
${bullets([...bar.flags.map(({ sentence }) => escaped(sentence)), ...bar.questions.map(escaped)])}${rows(bar.from)}</section>`;
}

/** Files with their hashes, cards with their sources, seed, version: what is needed to compute it again. */
function filesSection({ job }: BarsFound, view: BarsView, made: ReportMade): string {
  const files = view.files.map(
    ({ file, hash, bars, evidence, notes, columns }) =>
      `<section class="keep"><h3>${escaped(file)}</h3>${list([
        ['SHA-256', hash],
        ['bars', bars.join(', ')],
        [
          'columns',
          columns
            .map(({ heading, role, unit }) => `${heading || '–'}: ${role}${unit === '' ? '' : `, ${unit}`}`)
            .join('; '),
        ],
      ])}${bullets([...evidence, ...notes].map(escaped))}</section>`,
  );
  const used = Object.values(job.entries).filter(({ readBy }) => readBy.includes('Bars'));
  const cards = used.map(({ key, card, source, from }) => [
    escaped(key),
    escaped(card),
    escaped(from),
    escaped(source),
  ]);
  return `<section class="page"><h2 id="files">Files, cards, seed</h2>${files.join('')}
${list([
  ['version', `Bonedry ${made.version}`],
  ['seed and draws', `${made.seed}, ${made.draws}: water of the strand at the prints`],
  [
    'data beside this page',
    `${made.csv} (a line a bar), ${made.json} (everything, options and hashes included)`,
  ],
])}${table(['Value', 'card', 'from', 'source'], cards)}</section>`;
}
