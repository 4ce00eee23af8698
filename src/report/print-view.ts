import { compareSaid, type Planned } from '../engine/gcode/against.ts';
import type { Melt } from '../engine/gcode/bead.ts';
import { timeQuantiles } from '../engine/gcode/retime.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import { tableAt } from '../engine/numerics/table.ts';
import type { Entry } from '../job.ts';
import { showNumber, showSpan } from '../units.ts';
import { cutOffNote, faultList } from './gcode-faults.ts';
import { comparedLines, endingWords, partRows, summaryLines, type TimeRange } from './gcode-words.ts';
import { problemView } from './problem-view.ts';
import type { PrintView } from './views.ts';

/** What a print is shown beside: cards that its figures depend on, the plate it is, what that plate plans. */
export type PrintContext = Readonly<{
  /** Name of the file as the person knows it. */
  file: string;
  entries: Readonly<Record<string, Entry>>;
  plate: string | null;
  planned: Planned | null;
  /** How the bars among its parts lie, by their number; missing where their sides fit no bar. */
  lying?: ReadonlyMap<number, string>;
}>;

/** What a print asks of the kit, every figure printed. */
export function printView(
  print: PrintSummary,
  { file, entries, plate, planned, lying }: PrintContext,
): PrintView {
  const number = (key: string) => {
    const value = entries[key]?.value;
    return typeof value === 'number' ? value : null;
  };
  const density = number('strand.density');
  const time = timeRange(print, entries);
  const faults = faultList(print);
  const cutOff = cutOffNote(print);
  const rows = partRows(print, meltOf(print, entries));
  const bars = (print.parts?.parts ?? []).filter((part) => part.kind === 'bar').length;
  const problems = [
    ...faults.stops.map((problem) => problemView(problem, 'stop')),
    ...(cutOff ? [problemView(cutOff, 'note')] : []),
    ...faults.notes.map((problem) => problemView(problem, 'note')),
    ...(faults.more ? [{ sentence: faults.more, file, line: null, level: 'note' as const }] : []),
  ];
  const comparison = planned && print.usable ? compareSaid(print.said, planned) : null;
  return {
    file,
    plate,
    time: showSpan(time.median),
    layers: print.passes.count > 0 ? showNumber(print.passes.count, 0) : '–',
    bars: bars > 0 ? String(bars) : '–',
    usable: print.usable,
    headline: headlineOf(file, print, bars, time),
    facts: summaryLines(print, density === null ? null : density / 1000, time).map(({ label, text }) => ({
      what: label,
      value: text,
    })),
    sheet: {
      box: boxOf(print),
      parts: (print.parts?.parts ?? []).map((part, k) => {
        const row = rows[k]!;
        return {
          number: k + 1,
          kind: part.kind === 'open' ? ('other' as const) : part.kind,
          words: row.what,
          box: [...part.boxMm],
          outline: [pairs(part.outlineMm)],
          orientation: lying?.get(k + 1) ?? null,
          rows: [
            { what: 'Area', value: row.area },
            { what: 'Height', value: row.height },
            { what: 'Volume', value: row.volume },
            { what: 'Layer time', value: row.pass },
            { what: 'Heat', value: row.heat },
          ].filter(({ value }) => value !== ''),
        };
      }),
    },
    ending: print.ending ? endingWords(print.ending) : 'Nothing is laid.',
    problems,
    against: comparison
      ? comparedLines(comparison, planned!).map(({ line, ...rest }) => ({ what: line, ...rest }))
      : null,
  };
}

function headlineOf(file: string, print: PrintSummary, bars: number, time: TimeRange): string {
  if (!print.usable) return `${file} cannot be used for a verdict until its faults are looked at`;
  const what = bars === 0 ? 'no solid bar' : bars === 1 ? 'one bar' : `${bars} bars`;
  return `${file}: ${what}, ${showSpan(time.median)} of printing`;
}

/** Time of the print with its spread: accelerations, corner rounding and the clock scatter as on their cards. */
export function timeRange(print: PrintSummary, entries: Readonly<Record<string, Entry>>): TimeRange {
  const scatter = (key: string) => {
    const law = entries[key]?.law;
    return law?.kind === 'factor' ? Math.log(law.factor) : 0;
  };
  const spread = {
    lnFactor: scatter('printer.acceleration printing'),
    lnDelta: scatter('printer.corner rounding'),
    lnClock: scatter('printer.clock factor'),
  };
  const [low, median, high] = timeQuantiles(print.times, print.card, spread, [0.05, 0.5, 0.95]) as [
    number,
    number,
    number,
  ];
  return { low, median, high };
}

/** Heat that a bead brings, from nozzle to bed, by the strand's card; null where the file or the card lacks a value. */
function meltOf(print: PrintSummary, entries: Readonly<Record<string, Entry>>): Melt | null {
  const { nozzleC, bedC } = print.said;
  const value = (key: string) => entries[key]?.value;
  const density = value('strand.density');
  const capacity = value('strand.heat capacity');
  const fusion = value('strand.heat of fusion');
  if (nozzleC === null || bedC === null || typeof density !== 'number' || typeof fusion !== 'number')
    return null;
  const table = typeof capacity === 'object' && capacity !== null ? capacity : null;
  if (!table) return null;
  return {
    rhoKgM3: density,
    cJKgK: meanOver(table, bedC + 273.15, nozzleC + 273.15),
    meltJKg: fusion,
    fromC: nozzleC,
    toC: bedC,
  };
}

/** Mean of a table between two temperatures [K], by the trapezoids of ten slices. */
function meanOver(table: Parameters<typeof tableAt>[1], from: number, to: number): number {
  const slices = 10;
  let sum = 0;
  for (let k = 0; k <= slices; k++) {
    const weight = k === 0 || k === slices ? 0.5 : 1;
    sum += weight * tableAt(from + ((to - from) * k) / slices, table);
  }
  return sum / slices;
}

function pairs(flat: readonly number[]): [number, number][] {
  return Array.from({ length: flat.length / 2 }, (_, k) => [flat[2 * k]!, flat[2 * k + 1]!]);
}

function boxOf(print: PrintSummary): [number, number, number, number] {
  const boxes = (print.parts?.parts ?? []).map((part) => part.boxMm);
  if (boxes.length === 0) return [0, 0, 0, 0];
  return [
    Math.min(...boxes.map((box) => box[0])),
    Math.min(...boxes.map((box) => box[1])),
    Math.max(...boxes.map((box) => box[2])),
    Math.max(...boxes.map((box) => box[3])),
  ];
}
