import type { Answer, Comparison, Planned } from '../engine/gcode/against.ts';
import { LINES } from '../engine/gcode/against.ts';
import type { Melt } from '../engine/gcode/bead.ts';
import type { Ending } from '../engine/gcode/ending.ts';
import { levels } from '../engine/gcode/levels.ts';
import { partHeat } from '../engine/gcode/part-heat.ts';
import type { PartKind } from '../engine/gcode/parts.ts';
import type { GcodePrint } from '../engine/gcode/print.ts';
import { showNumber, showQuantity, showSpan, toSi } from '../units.ts';

/** What a person sees of a file that was read: sentences and figures, already printed. Pure text from the result. */
export type Line = Readonly<{ label: string; text: string }>;

/** All of a print but its columns, which may have stayed in a worker. */
type ReadPrint = Omit<GcodePrint, 'segments' | 'arcs' | 'program'>;

const HARD_SPACE = '\u00a0';
const HOUR = 3600;
const MM3_PER_CM3 = 1000;

const shown = (value: number, unit: string, digits = 3) => showQuantity(toSi(value, unit), unit, digits);
const counted = (n: number, one: string, many = `${one}s`) => `${showNumber(n, 0)} ${n === 1 ? one : many}`;

/** Time with its spread: 9 in 10 from `low` to `high`. */
export type TimeRange = Readonly<{ low: number; median: number; high: number }>;

/**
 * The summary of a print, line by line.
 *
 * @param densityGCm3 of the strand, for its mass; null where unknown
 * @param time        total time with its spread [s]; null: the file's own clock alone
 */
export function summaryLines(print: ReadPrint, densityGCm3: number | null, time: TimeRange | null): Line[] {
  const { totals, flow, passes } = print;
  const lines: Line[] = [
    { label: 'Time', text: timeWords(print, time) },
    { label: 'Layers', text: layerWords(print) },
    { label: 'Strand', text: strandWords(print, densityGCm3) },
  ];
  if (passes.count > 0)
    lines.push({
      label: 'Flow',
      text: `${shown(flow.meanMm3S, 'mm3/s', 2)} in the mean, ${shown(flow.maxMm3S, 'mm3/s', 2)} at its peak; 95${HARD_SPACE}% of the printing time at or under ${shown(flow.p95Mm3S, 'mm3/s', 2)}`,
    });
  lines.push({ label: 'Retractions', text: retractionWords(print) });
  const hands = handsWords(totals.handsS);
  if (hands) lines.push({ label: 'Hands', text: hands });
  if (print.ending) lines.push({ label: 'End', text: endingWords(print.ending) });
  const unknown = unknownWords(totals.unknown, totals.macros);
  if (unknown) lines.push({ label: 'Not understood', text: unknown });
  return lines;
}

export function timeWords(print: ReadPrint, time: TimeRange | null): string {
  const { timeS, unseenS } = print.totals;
  const own = time
    ? `${showSpan(time.median)} (${showSpan(time.low)} to ${showSpan(time.high)})`
    : showSpan(timeS);
  return unseenS > 0 ? `${own}, and about ${showSpan(unseenS)} of macros before the first layer` : own;
}

function layerWords({ passes }: ReadPrint): string {
  if (passes.count === 0) return 'none';
  const laid = new Map<number, number>();
  for (let p = 0; p < passes.count; p++) {
    const height = Math.round(passes.heightMm[p]! * 1000) / 1000;
    laid.set(height, (laid.get(height) ?? 0) + passes.volumeMm3[p]!);
  }
  const [usual] = [...laid].reduce((a, b) => (b[1] > a[1] ? b : a));
  const heights = levels(passes);
  const layers = counted(heights.length, passes.spiral ? 'turn' : 'layer');
  // Parts printed one after another pass each height again.
  const inPasses = passes.count > heights.length ? ` in ${showNumber(passes.count, 0)} passes` : '';
  const most = laid.size > 1 ? ', most of ' : ' of ';
  return `${layers}${most}${shown(usual, 'mm')}${inPasses}, ${shown(heights.at(-1)!, 'mm', 4)} high`;
}

function strandWords({ totals }: ReadPrint, densityGCm3: number | null): string {
  const length = shown(totals.laidMm / 1000, 'm');
  if (densityGCm3 === null) return `${length}, ${shown(totals.laidMm3 / MM3_PER_CM3, 'cm3')}`;
  return `${length}, ${shown((totals.laidMm3 / MM3_PER_CM3) * densityGCm3, 'g')}`;
}

function retractionWords({ retractions, totals }: ReadPrint): string {
  const n = retractions.count;
  if (n === 0) return 'none';
  const printing = totals.timeS - totals.dwellS - totals.warmS;
  const perHour = printing > 0 ? `, ${showNumber((n * HOUR) / printing, 0)} an hour of motion` : '';
  const longest = retractions.lengthMm.reduce((a, b) => Math.max(a, b));
  return `${showNumber(n, 0)}${perHour}; longest ${shown(longest, 'mm')}, fastest ${shown(totals.retractMaxMmS, 'mm/s')}`;
}

/** When the program waits for a person, on the clock of the file; empty where it never does. */
export function handsWords(handsS: readonly number[]): string {
  if (handsS.length === 0) return '';
  const listed = handsS.slice(0, HANDS_LISTED).map(showSpan).join(', ');
  const more = handsS.length > HANDS_LISTED ? ` and ${handsS.length - HANDS_LISTED} more` : '';
  return `waits for a person ${handsS.length === 1 ? 'once' : `${handsS.length} times`}, after ${listed}${more}`;
}

const HANDS_LISTED = 6;

export function unknownWords(unknown: number, macros: number): string {
  if (unknown === 0) return '';
  const named =
    macros === 0 ? '' : macros === unknown ? ', all macros' : `, ${showNumber(macros, 0)} of them macros`;
  return `${counted(unknown, 'line')} not understood${named}`;
}

/** The ending in one sentence. */
export function endingWords(ending: Ending): string {
  const drawn =
    ending.drawnBackMm > 0.005 ? `${shown(ending.drawnBackMm, 'mm', 2)} drawn back` : 'nothing drawn back';
  const window = ending.unloadWindowS;
  const out = window === null ? '' : `draw the strand out within ${showSpan(window)} of the end`;
  switch (ending.end) {
    case 'unknown':
      return 'A macro stands after the last material: what it does cannot be read, so you are asked.';
    case 'unloaded':
      return `The strand is drawn back ${shown(ending.drawnBackMm, 'mm', 2)} while hot: the hot end is empty.`;
    case 'waits':
      return `Waits hot for a person, ${drawn}: ${out}.`;
    case 'held':
      return ending.nozzleHeldS === null
        ? `Never turned off by the file, ${drawn}: ${out}.`
        : `Kept hot for ${showSpan(ending.nozzleHeldS)}, ${drawn}: ${out}.`;
    case 'cold': {
      const off =
        (ending.nozzleHeldS ?? 0) < AT_ONCE_S ? 'Off at once' : `Off after ${showSpan(ending.nozzleHeldS!)}`;
      const sets = window === null || window < 1 ? 'before' : `${aboutSpan(window)} after`;
      return `${off}, ${drawn}: the strand sets in the hot end ${sets} the end.`;
    }
  }
}

/** An ending that follows within this is at once [s]. */
const AT_ONCE_S = 10;

function aboutSpan(seconds: number): string {
  if (seconds >= 45 && seconds < 90) return 'about a minute';
  return `about ${showSpan(seconds)}`;
}

/** Lines for a person's own program where nobody can be there at the end; never written into a file by us. */
export type EndingMend = Readonly<{ what: string; lines: readonly string[]; caution: string }>;

export function endingMends(restS: number): EndingMend[] {
  const manual = "Check with your machine's manual.";
  return [
    {
      what: 'Draw the strand out while hot, before the heaters go off.',
      lines: ['M83', 'G1 E-60 F300'],
      caution: manual,
    },
    {
      what: 'Or stay hot until somebody is there: put this before the line that turns the nozzle off (M104 S0).',
      lines: [`G4 S${Math.round(Math.min(STAY_HOT_S, restS))}`],
      caution: `${manual} Heat without anybody there is a fire risk: keep to the rules of your house.`,
    },
  ];
}

/** Two hours, or the allowed rest where that is shorter. */
const STAY_HOT_S = 7200;

const kinds: Readonly<Record<PartKind, string>> = {
  bar: 'solid: a bar',
  support: 'open lines: a support',
  low: 'low: brim, skirt or purge',
  open: 'partly solid',
};

/** One part of the drawing, numbered as there. */
export type PartRow = Readonly<{
  number: number;
  what: string;
  area: string;
  height: string;
  volume: string;
  /** Time until it is printed on again: median and shortest. */
  pass: string;
  /** Median heat per area and time; empty where the polymer is not known. */
  heat: string;
}>;

export function partRows(print: ReadPrint, melt: Melt | null): PartRow[] {
  const { parts, passes } = print;
  if (!parts) return [];
  const flux = melt ? partHeat(parts.passes, passes, melt).fluxWM2 : null;
  return parts.parts.map((part, k) => {
    const rows = Array.from({ length: parts.passes.count }, (_, row) => row).filter(
      (row) => parts.passes.part[row] === k,
    );
    // The last pass has no return: it counts only where it is the only one.
    const returns = (rows.length > 1 ? rows.slice(0, -1) : rows).map((row) => parts.passes.returnS[row]!);
    const shortest = returns.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
    return {
      number: k + 1,
      what: kinds[part.kind],
      area: shown(part.areaMm2, 'mm2'),
      height: shown(part.heightMm, 'mm'),
      volume: shown(part.volumeMm3 / MM3_PER_CM3, 'cm3'),
      pass: returns.length === 0 ? '' : `${showSpan(median(returns))}, shortest ${showSpan(shortest)}`,
      heat:
        flux && rows.length > 0
          ? `${showNumber(median(rows.map((row) => flux[row]!)), 0)}${HARD_SPACE}W/m²`
          : '',
    };
  });
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

/** One of the ten lines of a comparison, with both values. */
export type ComparedLine = Readonly<{ line: string; file: string; plan: string; answer: Answer }>;

export function comparedLines(comparison: Comparison, plan: Planned): ComparedLine[] {
  const { said, answers, neededG } = comparison;
  const none = 'not said';
  const celsius = (value: number | null | undefined) =>
    value === null || value === undefined ? none : shown(value, 'C');
  const maybe = <T>(value: T | null | undefined, print: (value: T) => string) =>
    value === null || value === undefined ? none : print(value);
  const fan = (low: number, high: number) => {
    const [a, b] = [`${Math.round(low * 100)}`, `${Math.round(high * 100)}`];
    return `${a === b ? a : `${a} to ${b}`}${HARD_SPACE}%`;
  };
  const retract = (length: number, speed: number, count: number | undefined) =>
    `${shown(length, 'mm')} at ${shown(speed, 'mm/s')}${count === undefined ? '' : `, ${showNumber(count, 0)} times`}`;
  const tally = (lies: readonly (string | null)[]) => {
    const names = lies.map((lie) => lie ?? 'not told apart');
    return [...new Set(names)]
      .map((name) => `${names.filter((other) => other === name).length} ${name}`)
      .join(', ');
  };
  const values: readonly (readonly [file: string, plan: string])[] = [
    [String(said.bars.length), maybe(plan.bars, (bars) => String(bars.length))],
    [
      said.bars.length > 0 ? tally(comparison.orientations) : none,
      maybe(plan.bars, (bars) => tally(bars.map((bar) => bar.orientation))),
    ],
    [celsius(said.nozzleC), celsius(plan.nozzleC)],
    [celsius(said.bedC), celsius(plan.bedC)],
    [
      said.fanSaid ? fan(said.fanLow, said.fanHigh) : none,
      maybe(plan.fan, ({ least, most }) => fan(least, most)),
    ],
    [
      said.retractMm === null ? none : retract(said.retractMm, said.retractMmS!, said.retractCount),
      maybe(plan.retract, ({ lengthMm, speedMmS, count }) => retract(lengthMm, speedMmS, count)),
    ],
    [maybe(said.layerMm, (h) => shown(h, 'mm')), maybe(plan.layerMm, (h) => shown(h, 'mm'))],
    [showSpan(said.timeS), maybe(plan.timeS, showSpan)],
    [maybe(neededG, (g) => `${shown(g, 'g')} needed`), maybe(plan.leftG, (g) => `${shown(g, 'g')} left`)],
    [
      said.end === null ? none : endWords(said.end, said.heldS),
      maybe(plan.ending, ({ end, heldS }) => endWords(end, heldS ?? null)),
    ],
  ];
  return LINES.map((line, k) => ({ line, file: values[k]![0], plan: values[k]![1], answer: answers[k]! }));
}

function endWords(end: string, heldS: number | null): string {
  return end === 'held' && heldS !== null ? `held for ${showSpan(heldS)}` : end;
}
