import type { GcodeCard } from './card.ts';
import { commandOf, isCommandLetter, letterT, motionMode, type Reading, selectTool } from './commands.ts';
import type { FaultCode, FaultDetail, Level } from './faults.ts';
import {
  cleaned,
  EXACT_DIGITS,
  excerpt,
  isBlank,
  isLetter,
  isMacro,
  letterIndex,
  numberAt,
  numberedLine,
  QUOTE,
  scan,
} from './line.ts';
import { bit, Machine, wordX, wordY, wordZ } from './machine.ts';

const LINE_FEED = 10;
const RETURN_TO_START = 13;
const SEMICOLON = 59;

/** Longest line that is looked at: what stands beyond is comment, or the line is a fault. */
const LINE_MOST = 65536;
/** Digits before and after the point that one integer each can hold. */
const INTEGER_DIGITS = 9;
/** The decimal point, counted from the digit 0. */
const POINT = 46 - 48;
const POWERS = Float64Array.from({ length: INTEGER_DIGITS + 1 }, (_, k) => 10 ** k);

const COMMAND_G = bit('G');
/** Words that make a line without a command repeat the last motion. */
const MOTION_WORDS = bit('X') | bit('Y') | bit('Z') | bit('E') | bit('F') | bit('I') | bit('J') | bit('R');

/**
 * Reads G-code as it comes, in pieces cut anywhere. Most lines are plain moves: those go through one loop over bytes
 * that allocates nothing; every line that loop does not understand is read again from its start by the rules in full.
 */
export class GcodeReader {
  readonly machine: Machine;
  line = 0;
  bytes = 0;
  private readonly size: number;
  private readonly words: Float64Array;
  private readonly carry = new Uint8Array(LINE_MOST + 2);
  private carried = 0;
  private readonly clean = new Uint8Array(LINE_MOST + 2);
  /** The last piece ended with a carriage return: a line feed at the next start belongs to it. */
  private feedOwed = false;
  /** Last G0 to G3; -1 before. */
  private mode = -1;
  /** The line being read, for its excerpt. */
  private source: Uint8Array = this.carry;
  private from = 0;
  private to = 0;

  /** @param size bytes expected in all, 0 where unknown: room is made once instead of by doubling */
  constructor(card: GcodeCard, size = 0) {
    this.size = size;
    this.machine = new Machine(card, (code, level, detail) => this.fault(code, level, detail));
    this.words = this.machine.words;
  }

  push(piece: Uint8Array): void {
    const n = piece.length;
    this.bytes += n;
    let p = this.skipFeed(piece, 0);
    if (this.carried > 0) {
      let end = p;
      while (end < n && !isLineEnd(piece[end]!)) end++;
      this.keep(piece, p, end);
      if (end === n) return;
      this.carry[this.carried] = LINE_FEED;
      const length = this.carried + 1;
      this.carried = 0;
      this.lines(this.carry, 0, length);
      this.feedOwed = piece[end] === RETURN_TO_START;
      p = this.skipFeed(piece, end + 1);
    }
    let last = n;
    while (last > p && !isLineEnd(piece[last - 1]!)) last--;
    if (last > p) {
      this.lines(piece, p, last);
      this.feedOwed = last === n && piece[n - 1] === RETURN_TO_START;
    }
    this.keep(piece, last, n);
    if (this.size > 0) this.machine.rowsExpected = (this.machine.segments.count * this.size) / this.bytes;
  }

  /** Reads the last line and lets the machine come to rest. */
  end(): void {
    if (this.carried > 0) {
      this.carry[this.carried] = LINE_FEED;
      const length = this.carried + 1;
      this.carried = 0;
      this.lines(this.carry, 0, length);
    }
    this.machine.settle(true);
  }

  private skipFeed(piece: Uint8Array, p: number): number {
    if (!this.feedOwed || p >= piece.length) return p;
    this.feedOwed = false;
    return piece[p] === LINE_FEED ? p + 1 : p;
  }

  /** Keeps the start of a line whose end is still to come, no more of it than is ever looked at. */
  private keep(piece: Uint8Array, from: number, to: number): void {
    const room = Math.min(to - from, LINE_MOST + 1 - this.carried);
    if (room <= 0) return;
    this.carry.set(piece.subarray(from, from + room), this.carried);
    this.carried += room;
  }

  /** Whole lines; the byte before `to` ends the last of them, so no loop inside runs past it. */
  private lines(b: Uint8Array, from: number, to: number): void {
    this.source = b;
    let p = from;
    let line = this.line;
    while (p < to) {
      line++;
      this.machine.line = line;
      let end = this.plainLine(b, p);
      if (end < 0) {
        end = p;
        while (!isLineEnd(b[end]!)) end++;
        this.line = line;
        this.from = p;
        this.to = end;
        this.anyLine(b, p, end);
      }
      p = end + 1;
      if (b[end] === RETURN_TO_START && p < to && b[p] === LINE_FEED) p++;
    }
    this.line = line;
  }

  /**
   * The lines that files are made of: comments, G0 to G3 and lines that repeat one, with plain numbers. This loop is
   * where the time goes. It allocates nothing and changes nothing before the whole line has been understood.
   *
   * @returns where the line ends; -1 for any other line
   */
  private plainLine(b: Uint8Array, start: number): number {
    let p = start;
    let c = b[p]!;
    while (c === 32 || c === 9) c = b[++p]!;
    let mode = this.mode;
    const commanded = c === 71 || c === 103;
    if (commanded) {
      c = b[++p]!;
      // G01 is G1.
      if (c === 48 && b[p + 1]! >= 48 && b[p + 1]! <= 57) c = b[++p]!;
      mode = c - 48;
      if (mode < 0 || mode > 3) return -1;
      c = b[++p]!;
      if ((c >= 48 && c <= 57) || c === 46) return -1;
    } else if (c === SEMICOLON || c === LINE_FEED || c === RETURN_TO_START) {
      while (c !== LINE_FEED && c !== RETURN_TO_START) c = b[++p]!;
      return p;
    } else if (mode < 0 || letterIndex(c) > 25 || !(MOTION_WORDS & (1 << letterIndex(c)))) return -1;

    const words = this.words;
    // The command's own letter counts as used: a second command on the line is a fault, not a word.
    let mask = commanded ? COMMAND_G : 0;
    for (;;) {
      while (c === 32 || c === 9) c = b[++p]!;
      const letter = (c & 0xdf) - 65;
      if (letter >>> 0 > 25) break;
      c = b[++p]!;
      while (c === 32 || c === 9) c = b[++p]!;
      const negative = c === 45;
      if (negative || c === 43) c = b[++p]!;
      // Digits before and after the point are gathered as integers; one division then rounds once.
      const first = p;
      let whole = 0;
      let digit = c - 48;
      while (digit >>> 0 < 10) {
        whole = (Math.imul(whole, 10) + digit) | 0;
        digit = b[++p]! - 48;
      }
      const wholeDigits = p - first;
      let value = whole;
      if (digit === POINT) {
        const point = ++p;
        let part = 0;
        digit = b[p]! - 48;
        while (digit >>> 0 < 10) {
          part = (Math.imul(part, 10) + digit) | 0;
          digit = b[++p]! - 48;
        }
        const partDigits = p - point;
        const digits = wholeDigits + partDigits;
        if (partDigits > INTEGER_DIGITS || digits > EXACT_DIGITS || digits === 0) return -1;
        const power = POWERS[partDigits]!;
        value = (whole * power + part) / power;
      } else if (wholeDigits === 0) return -1;
      if (wholeDigits > INTEGER_DIGITS) return -1;
      const word = 1 << letter;
      if (mask & word) return -1;
      mask |= word;
      words[letter] = negative ? -value : value;
      c = digit + 48;
    }
    if (c === SEMICOLON) while (c !== LINE_FEED && c !== RETURN_TO_START) c = b[++p]!;
    else if (c !== LINE_FEED && c !== RETURN_TO_START) return -1;
    if (p - start > LINE_MOST) return -1;
    this.from = start;
    this.to = p;
    this.mode = mode;
    this.machine.move(mode, mask);
    return p;
  }

  /** One line by the rules in full. */
  private anyLine(b: Uint8Array, from: number, to: number): void {
    const machine = this.machine;
    if (this.line === 1 && b[from] === 0xef && b[from + 1] === 0xbb && b[from + 2] === 0xbf) from += 3;
    if (to - from > LINE_MOST) {
      to = from + LINE_MOST;
      if (!b.subarray(from, to).includes(SEMICOLON)) {
        this.fault('malformed', 'stop');
        return;
      }
    }
    const sum = numberedLine(b, from, to);
    if (sum) {
      if (sum.found !== sum.expected) {
        this.fault('checksum', 'stop', { expected: sum.expected, found: sum.found });
        return;
      }
      to = sum.end;
    }
    const line = this.clean;
    const length = cleaned(b, from, to, line);
    if (length === 0) return;

    const letter = letterIndex(line[0]!);
    let number = Number.NaN;
    let end = -1;
    if (isCommandLetter(letter)) {
      let p = 1;
      while (p < length && isBlank(line[p]!)) p++;
      number = numberAt(line, p, length);
      end = scan.end;
    }
    const command = end > 0 && letter !== letterT ? commandOf(letter, number) : undefined;
    if (isMacro(line, length, command?.reading === 'strict' ? end : 0))
      machine.macro(() => excerpt(b, this.from, this.to));
    else if (end > 0 && letter === letterT) selectTool(machine, number);
    else if (end > 0 && !command) machine.unknown++;
    else if (command) {
      const mask = this.wordsOf(command.reading, line, end, length, 1 << letter);
      if (mask < 0) return;
      const mode = motionMode(letter, number);
      if (mode >= 0) this.mode = mode;
      command.run(machine, mask);
    } else if (letter > 25 || !(MOTION_WORDS & (1 << letter))) this.fault('not-a-command', 'note');
    else if (this.mode < 0) this.fault('not-a-command', 'stop');
    else {
      const mask = this.wordsOf('strict', line, 0, length, 0);
      if (mask >= 0) machine.move(this.mode, mask);
    }
  }

  /**
   * Words of a line from `p` on: a mask, their values in `machine.words`; -1 where the line is not to be used.
   * `used`: the command's own letter, which may not come again.
   */
  private wordsOf(reading: Reading, line: Uint8Array, p: number, length: number, used: number): number {
    if (reading === 'none') return 0;
    if (reading === 'axes') return axesNamed(line, p, length);
    const words = this.machine.words;
    let mask = used;
    const first = p;
    let last = -1;
    for (;;) {
      while (p < length && (isBlank(line[p]!) || (reading === 'lenient' && line[p] === QUOTE))) p++;
      if (p >= length) return mask;
      const start = p;
      const letter = letterIndex(line[p++]!);
      while (p < length && isBlank(line[p]!)) p++;
      const value = letter < 26 ? numberAt(line, p, length) : Number.NaN;
      if (letter > 25 || scan.end < 0) {
        // What hangs on to a word without a blank is a fault of that word: X12..4, X2o.
        const hangs = last >= 0 && start > first && !isBlank(line[start - 1]!);
        return this.badWord('malformed', reading, mask, line, hangs ? last : start, length);
      }
      p = scan.end;
      if (mask & (1 << letter)) return this.badWord('repeated-word', reading, mask, line, start, length);
      mask |= 1 << letter;
      words[letter] = value;
      last = start;
    }
  }

  private badWord(
    code: FaultCode,
    reading: Reading,
    mask: number,
    line: Uint8Array,
    from: number,
    length: number,
  ): number {
    let to = from;
    while (to < length && !isBlank(line[to]!)) to++;
    const named = isLetter(line[from] ?? 0);
    const strict = reading === 'strict';
    this.fault(code, strict ? 'stop' : 'note', {
      ...(named ? { letter: String.fromCharCode(line[from]!) } : {}),
      value: excerpt(line, named ? from + 1 : from, to),
    });
    return strict ? -1 : mask;
  }

  private fault(code: FaultCode, level: Level, detail?: FaultDetail): void {
    const { faults } = this.machine;
    // An excerpt costs a string: none is made for a fault that is only counted.
    const text = faults.wants(code, level) ? excerpt(this.source, this.from, this.to) : '';
    faults.add(this.machine.line, code, level, { text, ...detail });
  }
}

function isLineEnd(c: number): boolean {
  return c === LINE_FEED || c === RETURN_TO_START;
}

/** G28: the letters X, Y, Z on the rest of the line; all where there are none. */
function axesNamed(line: Uint8Array, p: number, length: number): number {
  let mask = 0;
  for (; p < length; p++) if (isLetter(line[p]!)) mask |= 1 << letterIndex(line[p]!);
  mask &= wordX | wordY | wordZ;
  return mask || wordX | wordY | wordZ;
}
