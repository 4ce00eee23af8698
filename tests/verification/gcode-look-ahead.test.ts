import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LookAhead } from '../../src/engine/gcode/look-ahead.ts';
import { cornerSpeedSquared, pathTime } from '../../src/engine/gcode/motion.ts';
import { readGcodeBytes } from '../../src/engine/gcode/print.ts';
import { timeOf } from '../../src/engine/gcode/retime.ts';
import { trialCard } from '../../src/engine/gcode/trial.ts';

// Goal: the time of a path is right, and does not depend on how the path is fed in.
// Method: an independent integration along the path in small steps; the plain backward and forward pass over a whole
// chain; and what must hold for any path (more acceleration never takes longer, collinear cuts change nothing).

const SEED = 20261125;
type Move = { length: number; speed: number; accel: number; cap: number };

/** Squared speed at fine steps along the path: the largest curve under all limits, found by sweeping both ways. */
function phasePlaneTime(moves: readonly Move[], step: number): number {
  const s2: number[] = [];
  const ds: number[] = [];
  const accel: number[] = [];
  const limit: number[] = [];
  for (const move of moves) {
    const n = Math.max(4, Math.ceil(move.length / step));
    for (let k = 0; k < n; k++) {
      ds.push(move.length / n);
      accel.push(move.accel);
      limit.push(k === 0 ? Math.min(move.cap, move.speed ** 2) : move.speed ** 2);
    }
  }
  limit.push(0);
  const count = ds.length;
  for (let k = 0; k <= count; k++) s2[k] = limit[k]!;
  s2[0] = 0;
  for (let k = count - 1; k >= 0; k--) s2[k] = Math.min(s2[k]!, s2[k + 1]! + 2 * accel[k]! * ds[k]!);
  for (let k = 0; k < count; k++) s2[k + 1] = Math.min(s2[k + 1]!, s2[k]! + 2 * accel[k]! * ds[k]!);
  let time = 0;
  // The mean of both speeds is exact where the speed changes evenly in time; only the cell of a peak errs.
  for (let k = 0; k < count; k++) time += (2 * ds[k]!) / (Math.sqrt(s2[k]!) + Math.sqrt(s2[k + 1]!));
  return time;
}

function lookAheadTime(moves: readonly Move[]): number {
  const ahead = new LookAhead();
  let time = 0;
  const take = (last: boolean) => {
    const n = ahead.settle(last);
    for (let k = 0; k < n; k++) time += ahead.dt[k]!;
    ahead.drop(n);
  };
  for (const { length, speed, accel, cap } of moves) {
    ahead.add(length, speed, accel, cap);
    if (ahead.full) take(false);
  }
  take(true);
  return time;
}

/** The textbook passes over the whole chain at once. */
function wholeChain(moves: readonly Move[]): Float64Array {
  const n = moves.length;
  const v2 = new Float64Array(n + 1);
  for (let i = n - 1; i > 0; i--)
    v2[i] = Math.min(moves[i]!.cap, v2[i + 1]! + 2 * moves[i]!.accel * moves[i]!.length);
  for (let i = 0; i < n; i++)
    v2[i + 1] = Math.min(v2[i + 1]!, v2[i]! + 2 * moves[i]!.accel * moves[i]!.length);
  return v2;
}

const move = fc.record({
  length: fc.double({ min: 0.05, max: 12, noNaN: true }),
  speed: fc.double({ min: 5, max: 300, noNaN: true }),
  accel: fc.double({ min: 300, max: 9000, noNaN: true }),
  turn: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 180, noNaN: true })),
});
type Drawn = { length: number; speed: number; accel: number; turn: number };

function chain(drawn: readonly Drawn[]): Move[] {
  return drawn.map((one, k) => {
    const before = drawn[k - 1];
    if (!before) return { ...one, cap: 0 };
    const corner = cornerSpeedSquared(
      Math.min(one.accel, before.accel),
      trialCard.deltaMm,
      Math.cos((one.turn * Math.PI) / 180),
    );
    return { ...one, cap: Math.min(one.speed ** 2, before.speed ** 2, corner) };
  });
}

describe('look-ahead', () => {
  it('gives the time of an integration along the path in steps of 0.002 mm, to a millionth', () => {
    // Slow or tiny moves would need finer steps: there the integration errs, not the look-ahead.
    const steady = fc.record({
      length: fc.double({ min: 2, max: 12, noNaN: true }),
      speed: fc.double({ min: 60, max: 300, noNaN: true }),
      accel: fc.double({ min: 300, max: 9000, noNaN: true }),
      turn: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 180, noNaN: true })),
    });
    fc.assert(
      fc.property(fc.array(steady, { minLength: 1, maxLength: 25 }), (drawn) => {
        const moves = chain(drawn);
        const fine = phasePlaneTime(moves, 2e-3);
        expect(Math.abs(lookAheadTime(moves) / fine - 1)).toBeLessThan(1e-6);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('hands out, from a stream, the very speeds of the whole chain', () => {
    // Longer than what is held at once, with stretches of tiny moves on which no joint reaches its cap.
    const draw = fc
      .sample(fc.array(move, { minLength: 4000, maxLength: 4000 }), { seed: SEED, numRuns: 3 })
      .flat();
    const tiny = Array.from({ length: 9000 }, () => ({ length: 0.01, speed: 500, accel: 300, turn: 0 }));
    const moves = chain([...draw, ...tiny, ...draw]);
    const v2 = wholeChain(moves);
    const ahead = new LookAhead();
    const got: number[] = [];
    const take = (last: boolean) => {
      const n = ahead.settle(last);
      got.push(...ahead.dt.subarray(0, n));
      ahead.drop(n);
    };
    for (const { length, speed, accel, cap } of moves) {
      ahead.add(length, speed, accel, cap);
      if (ahead.full) take(false);
    }
    take(true);
    expect(got.length).toBe(moves.length);
    for (const [i, { length, speed, accel }] of moves.entries()) {
      const peak2 = accel * length + 0.5 * (v2[i]! + v2[i + 1]!);
      const vi = Math.sqrt(v2[i]!);
      const vo = Math.sqrt(v2[i + 1]!);
      const rest = length - (2 * speed * speed - v2[i]! - v2[i + 1]!) / (2 * accel);
      const time =
        peak2 <= speed * speed
          ? Math.max(0, 2 * Math.sqrt(peak2) - vi - vo) / accel
          : (2 * speed - vi - vo) / accel + (rest > 0 ? rest / speed : 0);
      if (got[i] !== time) expect(got[i], `move ${i}`).toBe(time);
    }
  });

  it('never takes longer with twice the acceleration', () => {
    fc.assert(
      fc.property(fc.array(move, { minLength: 1, maxLength: 40 }), (drawn) => {
        const once = lookAheadTime(chain(drawn));
        const twice = lookAheadTime(chain(drawn.map((one) => ({ ...one, accel: 2 * one.accel }))));
        expect(twice).toBeLessThanOrEqual(once * (1 + 1e-12));
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('takes the same time when each straight move is cut into ten', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 200 }), fc.integer({ min: 0, max: 200 })), {
          minLength: 3,
          maxLength: 30,
        }),
        (points) => {
          const cut = points.flatMap((point, k) => {
            const from = points[k - 1];
            if (!from) return [point];
            return Array.from({ length: 10 }, (_, j): [number, number] => [
              from[0] + ((point[0] - from[0]) * (j + 1)) / 10,
              from[1] + ((point[1] - from[1]) * (j + 1)) / 10,
            ]);
          });
          const whole = pathTime(points, 100, 3000, 0.02);
          expect(Math.abs(pathTime(cut, 100, 3000, 0.02) - whole)).toBeLessThan(1e-6);
        },
      ),
      { seed: SEED, numRuns: 100 },
    );
  });
});

describe('a file timed again from its columns', () => {
  const text = Array.from(
    { length: 400 },
    (_, k) =>
      `G1 X${(100 + 60 * Math.cos(k / 3)).toFixed(3)} Y${(100 + 40 * Math.sin(k / 2)).toFixed(3)} E0.4 F${1200 + 40 * (k % 60)}` +
      (k % 50 === 49
        ? '\nG1 E-0.8 F1800\nG4 P200\nG1 E0.8\nG3 X100 Y100 R200 E2\nG2 X100 Y100 Z0.4 I5 J9 E2'
        : ''),
  ).join('\n');
  const bytes = new TextEncoder().encode(
    `G90\nM83\nM109 S270\nG1 Z0.2 F600\nM204 T4000\n${text}\nM204 P1500\nG1 X0 Y0 E3\n`,
  );

  it('takes the time that reading gave, to the digits of the columns', () => {
    const print = readGcodeBytes(bytes, trialCard, 'made', { parts: false });
    expect(print.arcs.cx.length).toBe(16);
    expect(Math.abs(timeOf(print, trialCard) / print.totals.timeS - 1)).toBeLessThan(1e-6);
  });

  it('takes with another card the time of reading with that card', () => {
    const print = readGcodeBytes(bytes, trialCard, 'made', { parts: false });
    const other = {
      ...trialCard,
      printMmS2: 900,
      travelMmS2: 1500,
      retractMmS2: 700,
      deltaMm: 0.06,
      maxMmS: 30,
    };
    const read = readGcodeBytes(bytes, other, 'made', { parts: false }).totals.timeS;
    expect(Math.abs(timeOf(print, other) / read - 1)).toBeLessThan(1e-6);
    expect(Math.abs(read / print.totals.timeS - 1)).toBeGreaterThan(0.02);
  });
});
