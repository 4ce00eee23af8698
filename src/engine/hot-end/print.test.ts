import { describe, expect, it } from 'vitest';
import { Refusal } from '../kernel.ts';
import { PRINT, printOfPath, printOfPatterns, printOfRows, RETRACT, RETURN, TRAVEL } from './print.ts';

const pattern = {
  lead: 5,
  prints: 4,
  printTime: 0.25,
  flow: 5e-9,
  retract: 0.8e-3,
  retractSpeed: 30e-3,
  travel: 0.3,
  stopEvery: 2,
  stop: 10,
};

/** Rows [clock, s, strand mm, laid mm, kind of the reader]. */
function path(rows: readonly (readonly [number, number, number, number, number])[]) {
  return {
    count: rows.length,
    t: Float64Array.from(rows, (r) => r[0]),
    dt: Float32Array.from(rows, (r) => r[1]),
    dE: Float32Array.from(rows, (r) => r[2]),
    laid: Float32Array.from(rows, (r) => r[3]),
    kind: Uint8Array.from(rows, (r) => r[4]),
  };
}

describe('a print for the hot end', () => {
  it('of a pattern has its cycles, strokes and stops, and gives back what it draws back', () => {
    const print = printOfPatterns([{ ...pattern, cycles: 5 }]);
    expect(print.count).toBe(1 + 5 * 7 + 2);
    expect(print.returns[print.count]).toBe(5);
    expect(print.drawnBack[print.count]).toBe(0);
    expect(Math.max(...print.drawnBack)).toBeCloseTo(0.8e-3, 12);
    expect(print.fed[print.count]! * (Math.PI / 4) * 1.75e-3 ** 2).toBeCloseTo(5 * 5e-9, 15);
    expect(print.start[print.count]).toBeCloseTo(5 + 5 * (1.3 + 1.6 / 30) + 20, 9);
  });

  it('of hours does not count the stops', () => {
    const print = printOfPatterns([{ ...pattern, hours: 1 }]);
    expect(print.returns[print.count]).toBe(Math.ceil(3600 / (1.3 + 1.6 / 30)));
  });

  it('of rows names the first segment that is wrong, counted from 1', () => {
    const bad: [unknown[], string][] = [
      [[1, 2, 'wipe'], 'segment 2 has the kind "wipe"'],
      [[-1, 2, 'print'], 'segment 2 lasts -1 s'],
      [[Number.NaN, 2, 'print'], 'segment 2 lasts'],
      [[1, null, 'print'], 'segment 2 feeds null mm'],
      [[1, -2, 'print'], 'segment 2 is a print that feeds -2 mm'],
      [[1, 0.5, 'travel'], 'segment 2 is a travel that feeds 0.5 mm'],
      [[1, 0.5, 'retract'], 'segment 2 is a retract that feeds 0.5 mm'],
      [[], 'segment 2 has the kind nothing'],
    ];
    for (const [row, words] of bad) {
      expect(() => printOfRows([[1, 2, 'print'], row])).toThrow(Refusal);
      expect(() => printOfRows([[1, 2, 'print'], row])).toThrow(words);
    }
  });

  it('of a tool path begins half a minute before the first strand, keeps waits as stops, joins short moves', () => {
    const { print, from } = printOfPath(
      path([
        [0, 10, 0, 0, 1],
        [400, 0.02, 0.05, 0.05, 0],
        [400.02, 0.02, 0.05, 0.05, 0],
        [400.04, 0.5, 1, 1, 0],
        [400.54, 0.05, -0.5, 0, 2],
        [400.59, 0.01, -0.3, 0, 3],
        [403.6, 0.03, 0.8, 0, 4],
        [403.63, 0.5, 1, 1, 5],
      ]),
      0.05,
    );
    expect(from).toBe(370);
    expect([...print.kind]).toEqual([TRAVEL, PRINT, PRINT, RETRACT, RETRACT, TRAVEL, RETURN, PRINT]);
    expect(print.time[0]).toBeCloseTo(30, 9);
    expect(print.time[1]).toBeCloseTo(0.04, 6);
    expect(print.feed[1]).toBeCloseTo(0.1e-3, 9);
    expect(print.time[5]).toBeCloseTo(3, 6);
    expect(print.drawnBack[5]).toBeCloseTo(0.8e-3, 9);
    expect(print.returns[print.count]).toBe(1);
  });

  it('of a tool path that feeds nothing is refused', () => {
    expect(() => printOfPath(path([[0, 10, 0, 0, 1]]), 0.05)).toThrow(Refusal);
  });
});
