import { performance } from 'node:perf_hooks';
import { type GcodePrint, printOf, readGcodeBytes } from '../src/engine/gcode/print.ts';
import { GcodeReader } from '../src/engine/gcode/reader.ts';
import { timeSurface } from '../src/engine/gcode/retime.ts';
import { trialCard } from '../src/engine/gcode/trial.ts';
import { hashText, uniformStream } from '../src/engine/numerics/random.ts';

// Goal: how fast a file is read, as a share of the rate at which the same process counts its line ends; how time and
// memory grow with the file. Method: a seeded file in memory, both over the same bytes, medians of repeated runs.

const MB = 1e6;
/** Bytes handed over at once, as a file would come. */
const PIECE = 256 * 1024;
const SEED = 'speed/gcode';

/**
 * A print of that many bytes (a little more): layers of short and long lines, with travels, retractions, comments, fan
 * and feed lines between, about 28 bytes a line.
 */
export function gcodeOf(bytes: number, seed: string): Uint8Array {
  const draw = uniformStream(hashText(seed));
  const into = new Uint8Array(bytes + 1024);
  let n = 0;
  const put = (text: string) => {
    for (let k = 0; k < text.length; k++) into[n++] = text.charCodeAt(k);
  };
  put('M140 S100\nM104 S270\nG28\nM190 S100\nM109 S270\nG21\nG90\nM83\n');
  let z = 0;
  while (n < bytes) {
    z += 0.2;
    put(`; layer at ${z.toFixed(2)}\nG1 Z${z.toFixed(3)} F600\nM106 S${Math.floor(51 + 30 * draw())}\n`);
    for (let run = 0; run < 60 && n < bytes; run++) {
      let x = 40 + 120 * draw();
      let y = 40 + 120 * draw();
      put(`G1 E-0.80000 F1800\nG0 X${x.toFixed(3)} Y${y.toFixed(3)} F12000\nG1 E0.80000 F1800\nG1 F2400\n`);
      const step = 0.3 + 3 * draw() ** 3;
      let direction = 6.283 * draw();
      for (let k = 0; k < 100 && n < bytes; k++) {
        direction += draw() < 0.1 ? 1.57 : 0.3 * (draw() - 0.5);
        x += step * Math.cos(direction);
        y += step * Math.sin(direction);
        put(`G1 X${x.toFixed(3)} Y${y.toFixed(3)} E${(0.0334 * step).toFixed(5)}\n`);
      }
    }
  }
  put('G1 E-2 F1200\nM104 S0\nM140 S0\nM107\n');
  return into.subarray(0, n);
}

/** Seconds of counting line ends, and their number. */
function countLines(b: Uint8Array): [seconds: number, lines: number] {
  const start = performance.now();
  let n = 0;
  for (let i = 0; i < b.length; i++) if (b[i] === 10) n++;
  return [(performance.now() - start) / 1000, n];
}

/** Reads as a file would come; `look` is called now and then. */
function printFrom(b: Uint8Array, look: () => void = () => {}): GcodePrint {
  const reader = new GcodeReader(trialCard, b.length);
  for (let at = 0, piece = 0; at < b.length; at += PIECE, piece++) {
    reader.push(b.subarray(at, Math.min(b.length, at + PIECE)));
    if (piece % 16 === 0) look();
  }
  const plain = { container: 'plain', members: [], chosen: null, ask: false } as const;
  return printOf(reader, 'speed', plain, false);
}

/** Seconds of reading, timed ways, heat, passes, flow and ending, without the raster of parts. */
function timed(b: Uint8Array): number {
  const start = performance.now();
  const print = printFrom(b);
  const seconds = (performance.now() - start) / 1000;
  // The result is used, so that nothing can be left out.
  if (!(print.totals.timeS > 0)) throw new Error('nothing was read');
  return seconds;
}

/** Bytes of the columns, and the most that was resident beyond them and the file while it was read. */
function memory(b: Uint8Array): { print: GcodePrint; held: number; beyond: number } {
  globalThis.gc?.();
  const before = process.memoryUsage.rss();
  let most = before;
  const look = () => {
    most = Math.max(most, process.memoryUsage.rss());
  };
  const print = printFrom(b, look);
  look();
  const columns = Object.values(print.segments).filter((column) => ArrayBuffer.isView(column));
  const held = columns.reduce((sum, column) => sum + column.byteLength, 0);
  return { print, held, beyond: most - before - held };
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

const rate = (bytes: number, seconds: number) => `${(bytes / MB / seconds).toFixed(0)} MB/s`;

export async function measure(): Promise<{
  title: string;
  rows: { what: string; value: string; note: string }[];
}> {
  const rows: { what: string; value: string; note: string }[] = [];
  const whole = gcodeOf(100 * MB, SEED);
  const { print: first, held, beyond } = memory(whole);
  const counts = Array.from({ length: 5 }, () => countLines(whole));
  const yard = median(counts.slice(2).map(([seconds]) => seconds));
  rows.push({
    what: 'counting line ends',
    value: rate(whole.length, yard),
    note: `${(whole.length / MB).toFixed(0)} MB, ${counts[0]![1]} lines; median of the last three of five`,
  });
  const seconds = median(Array.from({ length: 3 }, () => timed(whole)));
  rows.push({
    what: 'reading',
    value: rate(whole.length, seconds),
    note: `${first.segments.count} segments, ${(first.totals.timeS / 3600).toFixed(0)} h of printing; median of three`,
  });
  rows.push({
    what: 'reading against counting',
    value: `1 : ${(seconds / yard).toFixed(1)}`,
    note: 'goal 1 : 10 or better, floor 10 MB/s',
  });
  rows.push({
    what: 'columns kept',
    value: `${(held / MB).toFixed(0)} MB`,
    note: `${(held / first.segments.count).toFixed(0)} bytes a segment; 3 million fit in 150 MB`,
  });
  rows.push({
    what: 'memory beyond',
    value: `${(beyond / MB).toFixed(0)} MB`,
    note: 'most that was resident while reading, less file and columns; goal below 64 MB',
  });
  for (const size of [10, 30, 100]) {
    const part = size === 100 ? whole : gcodeOf(size * MB, SEED);
    const one = median(Array.from({ length: 3 }, () => timed(part)));
    rows.push({ what: `a file of ${size} MB`, value: `${one.toFixed(2)} s`, note: rate(part.length, one) });
  }
  const small = gcodeOf(10 * MB, SEED);
  const start = performance.now();
  const print = readGcodeBytes(small, trialCard, 'speed');
  const parts = (performance.now() - start) / 1000;
  const spread = timeSurface(print);
  const summary = (performance.now() - start) / 1000;
  rows.push({
    what: 'first summary of 10 MB',
    value: `${summary.toFixed(2)} s`,
    note: `goal 3 s; with ${print.parts!.parts.length} parts (${parts.toFixed(2)} s) and ${spread.lnTime.length} timings for the spread`,
  });
  return { title: 'G-code', rows };
}
