import type { GcodeCard } from './card.ts';
import { commandOf, isCommandLetter, letterT, motionMode, type Reading, selectTool } from './commands.ts';
import type { FaultCode, FaultDetail, Level } from './faults.ts';
import {
  cleaned,
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
/** Digits before and after the point that one integer each can hold; and in all, for a division that rounds once. */
const INTEGER_DIGITS = 9;
const EXACT_DIGITS = 15;
const POWERS = Float64Array.from({ length: INTEGER_DIGITS + 1 }, (_, k) => 10 ** k);

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
    const machine = this.machine;
    const words = machine.words;
    this.source = b;
    let p = from;
    let line = this.line;
    while (p < to) {
      const start = p;
      line++;
      let c = b[p]!;
      while (c === 32 || c === 9) c = b[++p]!;
      plain: {
        let mode = this.mode;
        if (c === 71 || c === 103) {
          c = b[++p]!;
          // G01 is G1.
          if (c === 48 && b[p + 1]! >= 48 && b[p + 1]! <= 57) c = b[++p]!;
          mode = c - 48;
          if (mode < 0 || mode > 3) break plain;
          c = b[++p]!;
          if ((c >= 48 && c <= 57) || c === 46) break plain;
        } else if (c === SEMICOLON || c === LINE_FEED || c === RETURN_TO_START) {
          while (c !== LINE_FEED && c !== RETURN_TO_START) c = b[++p]!;
          p++;
          if (c === RETURN_TO_START && p < to && b[p] === LINE_FEED) p++;
          continue;
        } else if (mode < 0 || letterIndex(c) > 25 || !(MOTION_WORDS & (1 << letterIndex(c)))) break plain;

        let mask = 0;
        for (;;) {
          while (c === 32 || c === 9) c = b[++p]!;
          const letter = (c & 0xdf) - 65;
          if (letter >>> 0 > 25) break;
          c = b[++p]!;
          while (c === 32 || c === 9) c = b[++p]!;
          const negative = c === 45;
          if (negative || c === 43) c = b[++p]!;
          const first = p;
          let whole = 0;
          let digit = c - 48;
          while (digit >>> 0 < 10) {
            whole = (Math.imul(whole, 10) + digit) | 0;
            digit = b[++p]! - 48;
          }
          const wholeDigits = p - first;
          c = b[p]!;
          let value = whole;
          if (c === 46) {
            const point = p;
            let part = 0;
            digit = b[++p]! - 48;
            while (digit >>> 0 < 10) {
              part = (Math.imul(part, 10) + digit) | 0;
              digit = b[++p]! - 48;
            }
            const partDigits = p - point - 1;
            c = b[p]!;
            if (partDigits > INTEGER_DIGITS || wholeDigits + partDigits > EXACT_DIGITS) break plain;
            if (wholeDigits + partDigits === 0) break plain;
            const power = POWERS[partDigits]!;
            value = (whole * power + part) / power;
          } else if (wholeDigits === 0) break plain;
          if (wholeDigits > INTEGER_DIGITS) break plain;
          const word = 1 << letter;
          if (mask & word) break plain;
          mask |= word;
          words[letter] = negative ? -value : value;
        }
        if (c === SEMICOLON) while (c !== LINE_FEED && c !== RETURN_TO_START) c = b[++p]!;
        else if (c !== LINE_FEED && c !== RETURN_TO_START) break plain;
        if (p - start > LINE_MOST) break plain;
        machine.line = line;
        this.from = start;
        this.to = p;
        this.mode = mode;
        machine.move(mode, mask);
        p++;
        if (c === RETURN_TO_START && p < to && b[p] === LINE_FEED) p++;
        continue;
      }
      p = start;
      while (!isLineEnd(b[p]!)) p++;
      this.line = line;
      machine.line = line;
      this.from = start;
      this.to = p;
      this.anyLine(b, start, p);
      if (b[p++] === RETURN_TO_START && p < to && b[p] === LINE_FEED) p++;
    }
    this.line = line;
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
    if (isMacro(line, length, command?.reading === 'strict' ? end : 0)) machine.macro();
    else if (end > 0 && letter === letterT) selectTool(machine, number);
    else if (end > 0 && !command) machine.unknown++;
    else if (command) {
      const mask = this.wordsOf(command.reading, line, end, length);
      if (mask < 0) return;
      const mode = motionMode(letter, number);
      if (mode >= 0) this.mode = mode;
      command.run(machine, mask);
    } else if (letter > 25 || !(MOTION_WORDS & (1 << letter))) this.fault('not-a-command', 'note');
    else if (this.mode < 0) this.fault('not-a-command', 'stop');
    else {
      const mask = this.wordsOf('strict', line, 0, length);
      if (mask >= 0) machine.move(this.mode, mask);
    }
  }

  /** Words of a line from `p` on: a mask, their values in `machine.words`; -1 where the line is not to be used. */
  private wordsOf(reading: Reading, line: Uint8Array, p: number, length: number): number {
    if (reading === 'none') return 0;
    if (reading === 'axes') return axesNamed(line, p, length);
    const words = this.machine.words;
    let mask = 0;
    let wordStart = p;
    for (;;) {
      while (p < length && (isBlank(line[p]!) || (reading === 'lenient' && line[p] === QUOTE))) p++;
      if (p >= length) return mask;
      const c = line[p]!;
      if (!isLetter(c)) break;
      wordStart = p++;
      while (p < length && isBlank(line[p]!)) p++;
      const value = numberAt(line, p, length);
      if (scan.end < 0) break;
      p = scan.end;
      const letter = letterIndex(c);
      if (mask & (1 << letter)) return this.badWord('repeated-word', reading, mask, line, wordStart, length);
      mask |= 1 << letter;
      words[letter] = value;
    }
    return this.badWord(
      'malformed',
      reading,
      mask,
      line,
      p > wordStart && isBlank(line[p - 1]!) ? p : wordStart,
      length,
    );
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
      ...(named ? { letter: String.fromCharCode(line[from]!).toUpperCase() } : {}),
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
