import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makePrint, PRINT, printOfPatterns, RETRACT, RETURN, TRAVEL } from './print.ts';
import { planWindows, wholePrint, windowBetween } from './windows.ts';

const cycle = {
  lead: 30,
  prints: 25,
  printTime: 0.25,
  flow: 5e-9,
  retract: 0.8e-3,
  retractSpeed: 30e-3,
  travel: 0.3,
  stopEvery: 0,
  stop: 0,
};

describe('windows', () => {
  it('of an even print of 6 h are twelve or more of 100 s, dense early, the last at its end', () => {
    const print = printOfPatterns([{ ...cycle, hours: 6 }]);
    const windows = planWindows(print);
    expect(windows.length).toBeGreaterThanOrEqual(12);
    const gaps = windows.slice(1).map((w, k) => print.start[w.from]! - print.start[windows[k]!.to]!);
    expect(gaps[1]!).toBeLessThan(gaps[7]!);
    expect(windows.at(-1)!.to).toBe(print.count);
    const followed = windows.reduce((s, w) => s + print.start[w.to]! - print.start[w.from]!, 0);
    expect(followed).toBeLessThan(0.08 * print.start[print.count]!);
  });

  it('of a short print are the whole print, a row a minute', () => {
    const print = printOfPatterns([{ ...cycle, hours: 0.25 }]);
    expect(planWindows(print)).toEqual(wholePrint(print));
    expect(wholePrint(print)[0]!.rows.length).toBe(16);
  });

  it('hold the longest stop with the minute after it', () => {
    const print = printOfPatterns([
      { ...cycle, hours: 1.5, stopEvery: 0 },
      { ...cycle, lead: 600, hours: 3 },
    ]);
    const stop = Array.from(print.time.keys()).find((i) => i > 0 && print.time[i] === 600)!;
    const window = planWindows(print).find((w) => w.from < stop && w.to > stop)!;
    expect(print.start[window.from]!).toBeLessThanOrEqual(print.start[stop]! - 39);
    expect(print.start[window.to]!).toBeGreaterThanOrEqual(print.start[stop + 1]! + 60);
  });

  it('hold the stretch with the most retraction', () => {
    const print = printOfPatterns([
      { ...cycle, hours: 2 },
      { ...cycle, lead: 0, prints: 4, hours: 0.05 },
      { ...cycle, lead: 0, hours: 2 },
    ]);
    const busy = print.returns.findIndex((n, i) => n > 0 && print.start[i]! > 2 * 3600 + 120);
    expect(planWindows(print).some((w) => w.from <= busy && w.to >= busy)).toBe(true);
  });

  it('of any print lie in order, apart, on whole strokes, and their rows feed', () => {
    const row = fc.tuple(
      fc.double({ min: 0.01, max: 400, noNaN: true }),
      fc.double({ min: 0, max: 5, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 200 }), (rows) => {
        const segments = rows.flatMap(([t, e]) => [
          [t, e * 1e-3, PRINT],
          [0.03, -0.8e-3, RETRACT],
          [0.3, 0, TRAVEL],
          [0.03, 0.8e-3, RETURN],
        ]);
        const print = makePrint(
          Float64Array.from(segments, (s) => s[0]!),
          Float64Array.from(segments, (s) => s[1]!),
          Uint8Array.from(segments, (s) => s[2]!),
        );
        let last = 0;
        for (const window of planWindows(print)) {
          expect(window.from).toBeGreaterThanOrEqual(last);
          expect(window.to).toBeGreaterThan(window.from);
          expect(print.drawnBack[window.from]).toBe(0);
          let at = window.from;
          for (const r of window.rows) {
            expect(r.from).toBeGreaterThanOrEqual(at);
            expect(r.to).toBeGreaterThan(r.from);
            expect(print.feed.slice(r.from, r.to).some((e) => e > 0)).toBe(true);
            at = r.to;
          }
          expect(at).toBeLessThanOrEqual(window.to);
          last = window.to;
        }
        expect(last).toBeLessThanOrEqual(print.count);
      }),
      { seed: 5, numRuns: 60 },
    );
  });

  it('between two others one more fits half way, and none where they are close', () => {
    const print = printOfPatterns([{ ...cycle, hours: 6 }]);
    const windows = planWindows(print);
    const extra = windowBetween(print, windows[7]!, windows[8]!)!;
    const middle = (print.start[windows[7]!.to]! + print.start[windows[8]!.from]!) / 2;
    expect(Math.abs(print.start[extra.to]! - 60 - middle)).toBeLessThan(10);
    expect(extra.rows.length).toBe(1);
    expect(windowBetween(print, windows[7]!, { ...windows[8]!, from: windows[7]!.to + 400 })).toBeNull();
  });
});
