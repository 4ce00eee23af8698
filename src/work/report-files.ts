import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { BarsFound } from '../report/bars-found.ts';
import { reportCsv, reportJson } from '../report/report-data.ts';
import { type ReportMade, reportPage } from '../report/report-page.ts';
import type { BarsView } from '../report/results-views.ts';
import { HOME } from './home.ts';
import { writeWhole } from './write-whole.ts';

export function version(): string {
  return (JSON.parse(readFileSync(join(HOME, 'package.json'), 'utf8')) as { version: string }).version;
}

/** What a report of that name says of its making. */
export function reportMade(path: string, { seed, draws }: Pick<ReportMade, 'seed' | 'draws'>): ReportMade {
  const stem = basename(path).replace(/\.html?$/i, '');
  return { version: version(), seed, draws, csv: `${stem}.csv`, json: `${stem}.json` };
}

/**
 * Writes the report and its data beside it, each whole or not at all.
 * @returns the names of the files
 * @throws InputFault where they cannot be written
 */
export function writeReport(
  path: string,
  found: BarsFound,
  view: BarsView,
  wish: Pick<ReportMade, 'seed' | 'draws'>,
): string[] {
  const made = reportMade(path, wish);
  const folder = path.slice(0, path.length - basename(path).length);
  writeWhole(join(folder, made.csv), reportCsv(found));
  writeWhole(join(folder, made.json), reportJson(found, view, made));
  writeWhole(path, reportPage(found, view, made));
  return [basename(path), made.csv, made.json];
}
