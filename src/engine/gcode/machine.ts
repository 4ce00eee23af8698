import { type ArcGeometry, arcByCentre, arcByRadius } from './arc.ts';
import type { GcodeCard } from './card.ts';
import { Clock } from './clock.ts';
import { type FaultCode, type FaultDetail, Faults, type Level } from './faults.ts';
import { LookAhead } from './look-ahead.ts';
import { STRAIGHT } from './motion.ts';
import { PassColumns } from './passes.ts';
import { ProgramColumns } from './program.ts';
import { PRIME, PRINT, RETRACT, RETURN, SegmentColumns, TRAVEL, WIPE } from './segments.ts';

/** Bits of words in a mask, by letter. */
export const bit = (letter: string) => 1 << (letter.charCodeAt(0) - 65);
const wordE = bit('E');
const wordF = bit('F');
const wordI = bit('I');
const wordJ = bit('J');
const wordR = bit('R');
export const wordX = bit('X');
export const wordY = bit('Y');
export const wordZ = bit('Z');
/** Places of the values of words, by letter. */
const atE = 4;
const atF = 5;
const atI = 8;
const atJ = 9;
const atR = 17;
const atX = 23;
const atY = 24;
const atZ = 25;

/** Taken for moves before the first F of a file [mm/min]. */
const FEED_UNSAID = 1500;
/** Strand laid under this is the rounding of a return [mm]. */
export const LAID_LEAST = 1e-9;
/** Way under this is the rounding of a sum of relative moves [mm]. */
const WAY_LEAST = 1e-9;

// Places in `Machine.numbers`. Positions are those of the machine [mm].
const X = 0;
const Y = 1;
const Z = 2;
/** Number in the file = position less this. */
export const SHIFT = 3;
/** Number of the strand axis as the file counts it. */
export const STRAND = 6;
/** Feed of the file [mm/s], before the feed factor. */
const FEED = 7;
export const FEED_SHARE = 8;
export const FLOW_SHARE = 9;
/** 1 or 25.4. */
export const SCALE = 10;
/** Strand per unit of E: 1, or 1/area where E is a volume. */
export const STRAND_PER_E = 11;
export const A_PRINT = 12;
export const A_TRAVEL = 13;
export const A_RETRACT = 14;
/** Drawn back and not yet given back [mm]. */
export const DEBT = 15;
export const LAID_SUM = 16;
export const LAID_PRINT_SUM = 17;
export const STRAND_SUM = 18;
export const PRINT_WAY = 19;
export const TRAVEL_WAY = 20;
export const RETRACT_SUM = 21;
export const RETRACT_SPEED_MOST = 22;
// The move before: its end direction, acceleration and squared speed, for the corner.
const DIR_X = 23;
const DIR_Y = 24;
const DIR_Z = 25;
const A_BEFORE = 26;
const V2_BEFORE = 27;
const NUMBER_COUNT = 28;

/**
 * The machine that a file drives, as far as reading needs it: position, strand, speeds. A move comes as a mask of
 * words and their values in `words`; out come rows of segments, timed by look-ahead and clock.
 *
 * Numbers live in one typed array, so that nothing is allocated per line. Positions are those of the machine: a shift
 * by G92 changes the numbers of the file, not the place on the sheet.
 */
export class Machine {
  readonly card: GcodeCard;
  readonly words = new Float64Array(26);
  readonly numbers = new Float64Array(NUMBER_COUNT);
  readonly segments = new SegmentColumns();
  readonly program = new ProgramColumns();
  readonly passes = new PassColumns();
  readonly faults = new Faults();
  readonly clock: Clock;
  /** Line being read. */
  line = 0;
  /** Rows expected in all, set by the reader when it knows the size; 0 unknown. */
  rowsExpected = 0;

  absolute = true;
  strandAbsolute = true;
  /** M82 or M83 has been met: from then on E follows only these. */
  strandModeSaid = false;
  drawnBackByController = false;
  tool = 0;
  toolSaid = false;
  /** Tool at the first laid material; -1 before. */
  toolFirst = -1;
  /** Line of the T that changed to the tool in use, 0 where none did; and whether something was laid since. */
  toolLine = 0;
  toolUsed = true;
  nozzleTargetSaid = false;
  /** Material was laid before any nozzle target above 0. */
  laidUnheated = false;
  /** The first macro; noted if it stands before the first laid material. */
  macroLine = 0;
  macroText = '';
  macros = 0;
  /** Lines not understood, macros included. */
  unknown = 0;
  macroBeforeLaid = false;
  /** Last segment that laid material; -1 before. */
  lastLaid = -1;
  absoluteMovesWithStrand = 0;
  absoluteMovesLayingNothing = 0;
  /** Segments that draw back. */
  drawings = 0;
  printMoves = 0;
  printMovesRising = 0;

  private readonly report: (code: FaultCode, level: Level, detail?: FaultDetail) => void;
  private readonly ahead = new LookAhead();
  private readonly arcOf: ArcGeometry = { cx: 0, cy: 0, radius: 0, sweep: 0 };
  private readonly delta: number;
  private readonly vmax: number;
  private feedSaid = false;
  private tail = { segment: -1, macros: 0, homed: 0 };
  /** The move before goes on into the next without a stop. */
  private chained = false;

  /** `report` books a fault of the line being read, with its words. */
  constructor(card: GcodeCard, report: (code: FaultCode, level: Level, detail?: FaultDetail) => void) {
    this.card = card;
    this.report = report;
    this.delta = card.deltaMm;
    this.vmax = card.maxMmS;
    this.clock = new Clock(card);
    const s = this.numbers;
    s[FEED] = FEED_UNSAID / 60;
    s[FEED_SHARE] = 1;
    s[FLOW_SHARE] = 1;
    s[SCALE] = 1;
    s[STRAND_PER_E] = 1;
    s[A_PRINT] = card.printMmS2;
    s[A_TRAVEL] = card.travelMmS2;
    s[A_RETRACT] = card.retractMmS2;
  }

  faultHere(code: FaultCode, level: Level, detail?: FaultDetail): void {
    this.report(code, level, detail);
  }

  note(code: FaultCode, detail?: FaultDetail): void {
    this.report(code, 'note', detail);
  }

  /** G90, G91: E follows until M82 or M83 has been met. */
  positions(absolute: boolean): void {
    this.absolute = absolute;
    if (!this.strandModeSaid) this.strandAbsolute = absolute;
  }

  /** M82, M83. */
  strandMode(absolute: boolean): void {
    this.strandModeSaid = true;
    this.strandAbsolute = absolute;
  }

  /** Books the T line that chose the tool in use, if nothing was laid with it. */
  unusedTool(): void {
    if (!this.toolUsed) this.faults.add(this.toolLine, 'tool', 'note', { unused: this.tool });
  }

  /** What stands after the last laid material, begun afresh whenever more is laid. */
  afterLaid(): { macros: number; homed: number } {
    if (this.tail.segment !== this.lastLaid) this.tail = { segment: this.lastLaid, macros: 0, homed: 0 };
    return this.tail;
  }

  /** The next move starts from rest, and the one before ends there. */
  stop(): void {
    this.chained = false;
  }

  /** G0 to G3 (`mode`) with the words of `mask`. */
  move(mode: number, mask: number): void {
    const s = this.numbers;
    const w = this.words;
    const scale = s[SCALE]!;
    if (mask & wordF && !(w[atF]! > 0)) {
      this.report('feed', 'stop');
      return;
    }
    const x0 = s[X]!;
    const y0 = s[Y]!;
    const z0 = s[Z]!;
    let x1 = x0;
    let y1 = y0;
    let z1 = z0;
    if (this.absolute) {
      if (mask & wordX) x1 = w[atX]! * scale + s[SHIFT]!;
      if (mask & wordY) y1 = w[atY]! * scale + s[SHIFT + 1]!;
      if (mask & wordZ) z1 = w[atZ]! * scale + s[SHIFT + 2]!;
    } else {
      if (mask & wordX) x1 += w[atX]! * scale;
      if (mask & wordY) y1 += w[atY]! * scale;
      if (mask & wordZ) z1 += w[atZ]! * scale;
    }
    const dx = x1 - x0;
    const dy = y1 - y0;
    const dz = z1 - z0;

    // Unit vectors at the start and the end of the way.
    let way: number;
    let inX = 0;
    let inY = 0;
    let inZ = 0;
    let outX: number;
    let outY: number;
    let radius = 0;
    if (mode < 2) {
      way = Math.sqrt(dx * dx + dy * dy + dz * dz);
      if (way > WAY_LEAST) {
        inX = dx / way;
        inY = dy / way;
        inZ = dz / way;
      } else way = 0;
      outX = inX;
      outY = inY;
    } else {
      const arc = this.arcOf;
      const wrong =
        mask & (wordI | wordJ)
          ? arcByCentre(
              arc,
              x0,
              y0,
              x1,
              y1,
              mask & wordI ? w[atI]! * scale : 0,
              mask & wordJ ? w[atJ]! * scale : 0,
              mode === 2,
            )
          : mask & wordR
            ? arcByRadius(arc, x0, y0, x1, y1, w[atR]! * scale, mode === 2)
            : 'arc-centre';
      if (wrong) {
        this.report(wrong, 'stop');
        return;
      }
      radius = arc.radius;
      const flat = radius * Math.abs(arc.sweep);
      way = Math.hypot(flat, dz);
      const turn = Math.sign(arc.sweep);
      inZ = dz / way;
      const share = flat / way;
      inX = (-turn * (y0 - arc.cy) * share) / radius;
      inY = (turn * (x0 - arc.cx) * share) / radius;
      // The end may lie off the circle within the slack: its tangent is made a unit vector too.
      const radiusEnd = Math.hypot(x1 - arc.cx, y1 - arc.cy);
      outX = (-turn * (y1 - arc.cy) * share) / radiusEnd;
      outY = (turn * (x1 - arc.cx) * share) / radiusEnd;
    }

    if (mask & wordF) {
      s[FEED] = (w[atF]! * scale) / 60;
      this.feedSaid = true;
    }
    let dE = 0;
    if (mask & wordE) {
      const e = w[atE]! * scale;
      if (this.strandAbsolute) {
        dE = e - s[STRAND]!;
        s[STRAND] = e;
      } else {
        dE = e;
        s[STRAND] = s[STRAND]! + e;
      }
      dE *= s[STRAND_PER_E]! * s[FLOW_SHARE]!;
    }
    if (way === 0 && dE === 0) {
      if (mask & wordE) this.countStrandMove(0);
      return;
    }
    if (!this.feedSaid) {
      this.feedSaid = true;
      this.report('no-feed', 'note');
    }

    // Kind, and what is laid after the debt is paid.
    let laid = 0;
    let kind = TRAVEL;
    let accel = s[A_TRAVEL]!;
    if (dE > 0) {
      const debt = s[DEBT]!;
      const pay = Math.min(dE, debt);
      s[DEBT] = debt - pay;
      laid = dE - pay;
      kind = laid <= LAID_LEAST ? RETURN : dx !== 0 || dy !== 0 || radius > 0 ? PRINT : PRIME;
      accel = s[A_PRINT]!;
    } else if (dE < 0) {
      s[DEBT] = s[DEBT]! - dE;
      s[RETRACT_SUM] = s[RETRACT_SUM]! - dE;
      kind = way > 0 ? WIPE : RETRACT;
      this.drawings++;
    }
    if (mask & wordE) this.countStrandMove(laid);
    const speedSaid = s[FEED]! * s[FEED_SHARE]!;
    let speed = Math.min(speedSaid, this.vmax);
    const ahead = this.ahead;
    const k = ahead.count;
    if (way > 0) {
      if (radius > 0) {
        // v <= sqrt(a r) on an arc [gcode-1].
        const bend = Math.sqrt(accel * radius);
        if (bend < speed) speed = bend;
      }
      const v2 = speed * speed;
      let cap = 0;
      if (this.chained) {
        const cosine = inX * s[DIR_X]! + inY * s[DIR_Y]! + inZ * s[DIR_Z]!;
        const v2Before = s[V2_BEFORE]!;
        cap = Math.min(v2, v2Before);
        if (cosine < -STRAIGHT) cap = 0;
        else if (cosine <= STRAIGHT) {
          const half = Math.sqrt((1 + cosine) * 0.5);
          const a = Math.min(accel, s[A_BEFORE]!);
          const corner = (a * this.delta * half) / (1 - half);
          if (corner < cap) cap = corner;
        }
      }
      this.chained = true;
      s[DIR_X] = outX;
      s[DIR_Y] = outY;
      s[DIR_Z] = inZ;
      s[A_BEFORE] = accel;
      s[V2_BEFORE] = v2;
      ahead.length[k] = way;
      ahead.cap[k] = cap;
    } else {
      accel = s[A_RETRACT]!;
      this.chained = false;
      ahead.length[k] = dE < 0 ? -dE : dE;
      ahead.cap[k] = 0;
    }
    ahead.speed[k] = speed;
    ahead.accel[k] = accel;
    ahead.count = k + 1;

    const rows = this.segments;
    if (rows.count === rows.capacity) rows.grow(this.rowsExpected);
    const n = rows.count;
    if (radius > 0) {
      const arc = this.arcOf;
      const row = rows.addArc(arc.cx, arc.cy, radius, arc.sweep);
      rows.arc[n] = row;
    }
    rows.x0[n] = x0;
    rows.y0[n] = y0;
    rows.z0[n] = z0;
    rows.x1[n] = x1;
    rows.y1[n] = y1;
    rows.z1[n] = z1;
    rows.dE[n] = dE;
    rows.laid[n] = laid;
    rows.speed[n] = speedSaid;
    rows.kind[n] = kind;
    rows.count = n + 1;
    s[X] = x1;
    s[Y] = y1;
    s[Z] = z1;

    s[STRAND_SUM] = s[STRAND_SUM]! + dE;
    if (kind === PRINT) {
      s[PRINT_WAY] = s[PRINT_WAY]! + way;
      s[LAID_PRINT_SUM] = s[LAID_PRINT_SUM]! + laid;
      this.printMoves++;
      if (dz !== 0) this.printMovesRising++;
      const passes = this.passes;
      const off = z1 - passes.zNow;
      if (off > passes.step || off < -passes.step) passes.begin(n, z1, this.line);
    } else if (kind === TRAVEL || kind === WIPE) s[TRAVEL_WAY] = s[TRAVEL_WAY]! + way;
    if (laid > LAID_LEAST) {
      s[LAID_SUM] = s[LAID_SUM]! + laid;
      if (this.lastLaid < 0 || !this.toolUsed) this.layAfresh();
      this.lastLaid = n;
    }
    if (dE < 0) {
      const strandSpeed = way > 0 ? (-dE * speedSaid) / way : speedSaid;
      if (strandSpeed > s[RETRACT_SPEED_MOST]!) s[RETRACT_SPEED_MOST] = strandSpeed;
    }
    if (ahead.count === ahead.length.length) this.settle(false);
  }

  /** The strand alone, by the controller (G10, G11): no words, no feed factor, no change of the number of E. */
  moveStrand(dE: number, speed: number): void {
    const s = this.numbers;
    const feed = s[FEED]!;
    const said = this.feedSaid;
    const strand = s[STRAND]!;
    const absolute = this.strandAbsolute;
    const factors = [s[FEED_SHARE]!, s[FLOW_SHARE]!, s[STRAND_PER_E]!, s[SCALE]!] as const;
    s[FEED] = speed;
    s[FEED_SHARE] = s[FLOW_SHARE] = s[STRAND_PER_E] = s[SCALE] = 1;
    this.feedSaid = true;
    this.strandAbsolute = false;
    this.words[atE] = dE;
    this.move(1, wordE);
    [s[FEED_SHARE], s[FLOW_SHARE], s[STRAND_PER_E], s[SCALE]] = factors;
    s[FEED] = feed;
    s[STRAND] = strand;
    this.feedSaid = said;
    this.strandAbsolute = absolute;
  }

  /** Puts the named axes (bits of X, Y, Z) home: their position and number become 0. */
  home(mask: number): void {
    const s = this.numbers;
    for (const [axis, word] of [wordX, wordY, wordZ].entries()) {
      if (!(mask & word)) continue;
      s[X + axis] = 0;
      s[SHIFT + axis] = 0;
    }
    this.afterLaid().homed |= mask;
    this.stop();
  }

  /** G92: sets numbers, moves nothing. Returns true where X, Y or Z is shifted. */
  setNumbers(mask: number): boolean {
    const s = this.numbers;
    const w = this.words;
    const named = mask & (wordX | wordY | wordZ | wordE);
    let shifted = false;
    for (const [axis, word] of [wordX, wordY, wordZ].entries()) {
      if (named !== 0 && !(mask & word)) continue;
      const shift = s[X + axis]! - (mask & word ? w[atX + axis]! * s[SCALE]! : 0);
      if (shift !== s[SHIFT + axis]) shifted = true;
      s[SHIFT + axis] = shift;
    }
    if (named === 0 || mask & wordE) s[STRAND] = mask & wordE ? w[atE]! * s[SCALE]! : 0;
    return shifted;
  }

  position(): [number, number, number] {
    return [this.numbers[X]!, this.numbers[Y]!, this.numbers[Z]!];
  }

  /** Lets the clock take what the look-ahead has made final; `last`: all. */
  settle(last: boolean): void {
    const { ahead, segments, program, clock } = this;
    const final = ahead.settle(last);
    clock.pass(ahead, final, program, segments.t, segments.dt, program.t);
    ahead.drop(final);
    if (last) clock.stepsUpTo(segments.count, program, program.t);
  }

  /** A line that names a macro: it may do anything unseen. */
  macro(text: () => string): void {
    this.macros++;
    this.unknown++;
    this.afterLaid().macros++;
    if (this.macroLine > 0) return;
    this.macroLine = this.line;
    this.macroText = text();
  }

  /** The sign of relative E read as absolute: moves that carry E above 0 and lay nothing. */
  private countStrandMove(laid: number): void {
    if (!this.strandAbsolute || !(this.words[atE]! > 0)) return;
    this.absoluteMovesWithStrand++;
    if (laid <= LAID_LEAST) this.absoluteMovesLayingNothing++;
  }

  /** First material of the file, or of a tool that was just chosen. */
  private layAfresh(): void {
    this.toolUsed = true;
    if (this.lastLaid < 0) {
      this.toolFirst = this.tool;
      this.macroBeforeLaid = this.macroLine > 0;
      this.laidUnheated = !this.nozzleTargetSaid;
    } else if (this.tool !== this.toolFirst)
      this.faults.add(this.toolLine, 'second-tool', 'stop', { tool: this.tool });
  }
}
