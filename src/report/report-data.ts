import { MEASURES, measureOf } from '../engine/results/measures.ts';
import type { BarsFound } from './bars-found.ts';
import type { ReportMade } from './report-page.ts';
import type { BarsView } from './results-views.ts';

/** The numbers beside the report in full: a line a bar as CSV, everything as JSON. SI in the names of the columns. */

const quoted = (cell: string) => (/[",\n\r]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

export function reportCsv({ series }: BarsFound): string {
  const head = [
    'bar',
    'group',
    'orientation',
    'type',
    'condition',
    'plate',
    'round',
    'counts',
    'left_out',
    'note',
    'spare',
    'width_m',
    'thickness_m',
    'section_m2',
    'mass_kg',
    ...MEASURES.map((name) => `${name.replaceAll(' ', '_')}${name.startsWith('strain') ? '' : '_Pa'}`),
    'modulus_chord_Pa',
    'stress_at_break_Pa',
    'poisson',
    'curve_type',
    'toe_shift',
    'u_rel_strength',
    'u_rel_modulus',
    'layer_time_s',
    'water_at_print',
    'test_order',
    'flags',
    'file',
    'line_first',
    'line_last',
    'sha256',
  ];
  const rows = series.flatMap(({ bars }) =>
    bars.map((bar) => {
      const { facts, reduction: r, origin } = bar;
      return [
        facts.bar,
        facts.group,
        facts.orientation,
        facts.type,
        facts.condition,
        facts.plate,
        facts.round,
        bar.counts ? 'yes' : 'no',
        facts.leftOut?.reason,
        facts.note,
        facts.spare ? 'yes' : 'no',
        bar.width,
        bar.thickness,
        bar.section,
        facts.covariates.mass,
        ...MEASURES.map((measure) => measureOf(bar, measure)),
        r.modulusChord,
        r.stressAtBreak,
        r.poisson,
        r.curveType,
        r.toeShift,
        bar.uncertainty?.relative,
        bar.modulusUncertainty,
        facts.covariates.layerTime,
        facts.covariates.water,
        facts.covariates.testOrder,
        r.flags.map(({ code }) => code).join(' '),
        origin.file,
        origin.lineFirst,
        origin.lineLast,
        origin.hash,
      ].map((cell) => quoted(cell === null || cell === undefined ? '' : String(cell)));
    }),
  );
  return `${[head, ...rows].map((row) => row.join(',')).join('\n')}\n`;
}

export function reportJson(found: BarsFound, view: BarsView, made: ReportMade): string {
  const { job, test, asked, files, series, water, conf } = found;
  return `${JSON.stringify(
    {
      format: 1,
      made,
      campaign: job.campaign,
      invented: job.invented,
      asked,
      conf,
      test,
      answer: { headline: view.headline, answered: view.answered, open: view.open },
      files: files.map(({ file, hash, bytes, reading }) => ({
        file,
        sha256: hash,
        bytes,
        layouts: reading.layouts,
      })),
      cards: job.kit.cards,
      water: Object.fromEntries(water),
      series: series.map(
        ({ condition, bars, groups, comparison, pairs, confEach, settled, covariates, budget }) => ({
          condition,
          settled,
          confEach,
          comparison,
          pairs,
          groups,
          covariates,
          budget,
          bars: bars.map(({ curve, ...bar }) => bar),
        }),
      ),
    },
    null,
    1,
  )}\n`;
}
