import { Refusal, type Source } from '../kernel.ts';
import { type GcodeCard, strandArea } from './card.ts';
import { gcodeBytes, type Opened } from './container.ts';
import { type Ending, endingOf } from './ending.ts';
import type { Fault, FaultCode, Level } from './faults.ts';
import { type Flow, flowOf } from './flow.ts';
import {
  DEBT,
  LAID_PRINT_SUM,
  LAID_SUM,
  PRINT_WAY,
  RETRACT_SPEED_MOST,
  RETRACT_SUM,
  STRAND_SUM,
  TRAVEL_WAY,
  wordX,
  wordY,
  wordZ,
} from './machine.ts';
import { type Parts, partsOf } from './parts.ts';
import { type Passes, passesOf } from './passes.ts';
import { HANDS, type Program } from './program.ts';
import { GcodeReader } from './reader.ts';
import { type Retractions, retractionsOf } from './retractions.ts';
import type { Arcs, Segments } from './segments.ts';

/** What was read from one file: plain data that crosses to a worker. Lengths in mm, times in s, heat in C. */
export type GcodePrint = Readonly<{
  name: string;
  container: Opened['container'];
  /** Member of a zip that was read. */
  member: string | null;
  bytes: number;
  lines: number;
  card: GcodeCard;
  segments: Segments;
  arcs: Arcs;
  program: Program;
  passes: Passes;
  /** Null where they were not asked for, or nothing is printed. */
  parts: Parts | null;
  retractions: Retractions;
  flow: Flow;
  totals: Totals;
  /** Null where nothing is laid. */
  ending: Ending | null;
  /** The first hundred, by line; the whole file (line 0) last. */
  faults: readonly Fault[];
  /** How often each was met in all. */
  faultCounts: readonly Readonly<{ code: FaultCode; level: Level; count: number }>[];
  /** No fault stops: the file may be used for a verdict. */
  usable: boolean;
}>;

export type Totals = Readonly<{
  printPathMm: number;
  /** Wipes included. */
  travelPathMm: number;
  /** Primes included. */
  laidMm: number;
  laidMm3: number;
  netEMm: number;
  /** Segments that draw back. */
  retractions: number;
  retractMm: number;
  retractMaxMmS: number;
  /** Waits and dwells included. */
  timeS: number;
  /** G4, homing, probing. */
  dwellS: number;
  /** Waits for heaters. */
  warmS: number;
  /** Clock at each wait for a person. */
  handsS: readonly number[];
  /** Lines not understood, macros included. */
  unknown: number;
  macros: number;
  /** What macros before the first layer may take, from the card; stands beside `timeS`. */
  unseenS: number;
  /** Null: nothing laid. */
  tool: number | null;
}>;

export type ReadOptions = Readonly<{
  /** Member of a zip that holds several. */
  member?: string;
  /** Share of the bytes read, 0..1; throws where the work is to stop. */
  progress?: (share: number) => void;
  /** Find the parts on the sheet (default true). */
  parts?: boolean;
  /** Read E as if M83 stood first: what a person may choose after the fault `e-mode`. */
  strandRelative?: boolean;
}>;

/** Moves of relative E read as absolute: at least so many carry E, and more than this share of them lay nothing. */
const STRAND_MOVES_LEAST = 5;
const STRAND_MOVES_IDLE_SHARE = 0.5;
/** Mean section of a bead that some machine could lay [mm2]. */
const SECTION_LEAST_MM2 = 0.005;
const SECTION_MOST_MM2 = 2;

/**
 * Reads one print from a file, plain or inside a zip, as a stream.
 *
 * @throws Refusal where the file cannot be read at all; what is wrong inside stands in `faults`
 */
export function readGcode(source: Source, card: GcodeCard, options: ReadOptions = {}): GcodePrint {
  let reader: GcodeReader | null = null;
  const opened = gcodeBytes(source, options.member, (piece, size) => {
    if (!reader) {
      reader = new GcodeReader(card, size);
      if (options.strandRelative) reader.machine.strandMode(false);
    }
    reader.push(piece);
    options.progress?.(Math.min(1, reader.bytes / size));
  });
  return printOf(reader ?? new GcodeReader(card), source.name, opened, options.parts ?? true);
}

/** Reads one print from bytes in memory. */
export function readGcodeBytes(
  bytes: Uint8Array,
  card: GcodeCard,
  name: string,
  options: Pick<ReadOptions, 'parts'> = {},
): GcodePrint {
  const reader = new GcodeReader(card, bytes.length);
  reader.push(bytes);
  return printOf(
    reader,
    name,
    { container: 'plain', members: [], chosen: null, ask: false },
    options.parts ?? true,
  );
}

/** Ends the reading and draws the conclusions. */
export function printOf(reader: GcodeReader, name: string, opened: Opened, wantsParts: boolean): GcodePrint {
  reader.end();
  const { machine } = reader;
  const { card, numbers, faults, clock } = machine;
  const area = strandArea(card);
  const program = machine.program.finish();
  const { segments, arcs } = machine.segments.finish();
  const anyLaid = machine.lastLaid >= 0;
  const macroFirst = machine.macroLine > 0 && (machine.macroBeforeLaid || !anyLaid);
  if (macroFirst) faults.add(machine.macroLine, 'macro', 'note', { text: machine.macroText });
  machine.unusedTool();
  const passes = passesOf(
    machine.passes,
    segments,
    card,
    { moves: machine.printMovesRising, all: machine.printMoves },
    faults,
  );
  if (!anyLaid) faults.add(0, 'nothing-printed', 'stop');
  else {
    if (
      machine.absoluteMovesWithStrand >= STRAND_MOVES_LEAST &&
      machine.absoluteMovesLayingNothing > STRAND_MOVES_IDLE_SHARE * machine.absoluteMovesWithStrand
    )
      faults.add(0, 'e-mode', 'stop');
    const section = (numbers[LAID_PRINT_SUM]! * area) / numbers[PRINT_WAY]!;
    if (section < SECTION_LEAST_MM2 || section > SECTION_MOST_MM2)
      faults.add(0, 'bead-section', 'stop', { found: section });
    // Beside a fault that stops, the missing temperature is most often a part of it.
    if (machine.laidUnheated && faults.stops === 0) faults.add(0, 'no-temperature', 'note');
  }

  const handsS: number[] = [];
  for (let k = 0; k < program.count; k++) if (program.what[k] === HANDS) handsS.push(program.t[k]!);
  const tail = machine.afterLaid();
  const stand = {
    lastLaid: machine.lastLaid,
    totalS: clock.now,
    debtMm: numbers[DEBT]!,
    parkMm: machine.position(),
    homed: (['X', 'Y', 'Z'] as const).filter((_, axis) => tail.homed & [wordX, wordY, wordZ][axis]!),
    macros: tail.macros,
  };
  return {
    name,
    container: opened.container,
    member: opened.chosen,
    bytes: reader.bytes,
    lines: reader.line,
    card,
    segments,
    arcs,
    program,
    passes,
    parts: wantsParts && passes.count > 0 ? partsOf(segments, arcs, passes, card) : null,
    retractions: retractionsOf(segments, arcs),
    flow: flowOf(segments, area),
    totals: {
      printPathMm: numbers[PRINT_WAY]!,
      travelPathMm: numbers[TRAVEL_WAY]!,
      laidMm: numbers[LAID_SUM]!,
      laidMm3: numbers[LAID_SUM]! * area,
      netEMm: numbers[STRAND_SUM]!,
      retractions: machine.drawings,
      retractMm: numbers[RETRACT_SUM]!,
      retractMaxMmS: numbers[RETRACT_SPEED_MOST]!,
      timeS: clock.now,
      dwellS: clock.dwell,
      warmS: clock.warm,
      handsS,
      unknown: machine.unknown,
      macros: machine.macros,
      unseenS: macroFirst ? card.startS : 0,
      tool: anyLaid ? machine.toolFirst : null,
    },
    ending: anyLaid ? endingOf(segments, arcs, program, stand, card) : null,
    faults: faults.sorted(),
    faultCounts: faults.totals(),
    usable: faults.stops === 0,
  };
}

/** Refuses a print that has nothing to end or to compare. */
export function laidEnding(print: GcodePrint): Ending {
  if (!print.ending)
    throw new Refusal(`${print.name} lays no material: export it again, or choose the file that prints.`);
  return print.ending;
}
