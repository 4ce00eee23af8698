import { ascii } from '../units.ts';
import type { BarsView, SeriesView } from './results-views.ts';
import { wrapped } from './text.ts';

/** Broken bars for a terminal: the same words as the page, in plain ASCII. */
export function barsText(view: BarsView): string {
  const many = view.series.length > 1;
  const lines = [
    ...wrapped(`${view.headline}.`),
    ...wrapped(view.lead),
    ...view.series.flatMap((series) => seriesLines(series, many)),
    ...(view.lacking.length > 0 ? ['', ...view.lacking.flatMap((words) => wrapped(words))] : []),
    '',
    ...view.budget.slice(0, 2).flatMap((words) => wrapped(words)),
    '',
    ...view.cautions.slice(0, 1).flatMap(({ hazard, words }) => wrapped(`Caution: ${hazard} ${words}`)),
  ];
  return `${ascii(lines.join('\n'))}\n`;
}

function seriesLines(series: SeriesView, many: boolean): string[] {
  const width = Math.max(8, ...series.groups.map(({ group }) => group.length)) + 2;
  const head = `${' '.repeat(width)} bars   strength, MPa   9 in 10 above, 95 % sure   modulus, GPa`;
  const rows = series.groups.map(
    ({ group, bars, strength, bound, modulus }) =>
      `${group.padEnd(width)} ${bars.padStart(6).slice(-6)} ${strength.padStart(14)} ${bound.padStart(26)} ${modulus.padStart(14)}`,
  );
  return [
    '',
    ...(many ? [`${series.condition}:`] : []),
    head,
    ...rows,
    ...series.groups.flatMap(({ group, notes }) => notes.flatMap((words) => wrapped(`  ${group}: ${words}`))),
    '',
    ...series.say.flatMap(({ words, small }) => [...wrapped(words), ...wrapped(`  ${small}`)]),
    ...series.more.flatMap((words) => wrapped(words)),
    ...series.leftOut.flatMap(({ bar, words, effect }) => wrapped(`Left out: ${bar}. ${words}. ${effect}`)),
    ...series.asked.flatMap(({ words }) => wrapped(`Question: ${words}`)),
    ...series.covariates.flatMap(({ name, finding, mixedUp }) => [
      ...wrapped(`${name}: ${finding}`),
      ...(mixedUp === null ? [] : wrapped(`  ${mixedUp}`)),
    ]),
  ];
}
