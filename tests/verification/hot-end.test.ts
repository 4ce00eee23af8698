import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runWindows } from '../../src/engine/hot-end/assess.ts';
import { driversOf, holdChance, holdsGivenJam, weightsAfter } from '../../src/engine/hot-end/chance.ts';
import { moveStrand, startColumn, strandEnthalpy } from '../../src/engine/hot-end/column.ts';
import {
  crossing,
  finish,
  makePlan,
  ratioIsSound,
  ratioOf,
  runDraw,
} from '../../src/engine/hot-end/ensemble.ts';
import { GRIP_SIGMA } from '../../src/engine/hot-end/kernel-defaults.ts';
import { drawnCase } from '../../src/engine/hot-end/kernel-draws.ts';
import { makeModel } from '../../src/engine/hot-end/model.ts';
import { nozzlePressure } from '../../src/engine/hot-end/nozzle.ts';
import { COARSE, FINE, seriesAt } from '../../src/engine/hot-end/parameters.ts';
import { residueAfter } from '../../src/engine/hot-end/skin.ts';
import { stepWall } from '../../src/engine/hot-end/wall.ts';
import { planWindows, wholePrint } from '../../src/engine/hot-end/windows.ts';
import { Refusal } from '../../src/engine/kernel.ts';
import { besselJ } from '../../src/engine/numerics/bessel.ts';
import { bisect } from '../../src/engine/numerics/bisection.ts';
import { ask, base, COARSE_INPUT, pattern, prepared } from './hot-end-jobs.ts';

// Goal: the hot end solves its equations. Method: heat books that close, known solutions and orders of convergence,
// limits where the answer is known, the fast way against the slow one, and inputs that must be refused.

const short = { ...base, print: { pattern: { ...pattern, cycles: 12 } } };

describe('heat books', () => {
  it('close for strand and wall in any print, to rounding', () => {
    const job = fc.record({
      material: fc.constantFrom('PLA', 'PETG', 'ABS', 'PA12', 'PA6CF'),
      toC: fc.double({ min: 25, max: 70, noNaN: true }),
      retractMm: fc.constantFrom(0, 0.4, 2, 6),
      flowMm3S: fc.double({ min: 0.5, max: 12, noNaN: true }),
      travelS: fc.double({ min: 0, max: 5, noNaN: true }),
    });
    fc.assert(
      fc.property(job, ({ material, toC, ...changed }) => {
        const out = ask('run', {
          ...short,
          material,
          chamber: { fromC: 25, toC, tauS: 600 },
          print: { pattern: { ...pattern, cycles: 12, ...changed } },
          grid: COARSE_INPUT,
        });
        expect(Math.abs(out['filamentResidual'] as number)).toBeLessThan(1e-11);
        expect(Math.abs(out['wallResidual'] as number)).toBeLessThan(1e-9);
      }),
      { seed: 11, numRuns: 12 },
    );
  });

  it('count what moving the strand carries in and out, up and down', () => {
    const { c } = prepared(short);
    const model = makeModel(c, COARSE, 5e-3);
    const column = startColumn(model);
    const before = strandEnthalpy(model, column);
    for (const feed of [1.3e-3, -0.8e-3, 0.8e-3, 5e-3, -3e-3]) moveStrand(model, column, feed, 543, 310);
    expect((strandEnthalpy(model, column) - before) / column.carried).toBeCloseTo(1, 10);
    expect(Math.abs(column.carried)).toBeGreaterThan(1);
  });

  it('of a strand that is drawn back and returned leave it as it was but for the melt that came in', () => {
    const { c } = prepared(short);
    const model = makeModel(c, FINE, 1e-3);
    const column = startColumn(model);
    const before = column.temperature.slice();
    moveStrand(model, column, -0.8e-3, 543.15, 310);
    moveStrand(model, column, 0.8e-3, 543.15, 310);
    // Eight cells left at the top and came back cold; below them nothing has changed.
    const same = column.temperature.length - 8 * model.shells.count;
    expect(column.temperature.slice(0, same)).toEqual(before.slice(0, same));
  });
});

describe('known solutions', () => {
  it('a strand in plug flow loses its cold core as the Graetz series says, and finer shells, cells and steps bring it nearer', () => {
    // theta = sum 4/b_n^2 exp(-b_n^2 alpha L/(v R^2)), b_n zeros of J0 (Carslaw and Jaeger 1959, from memory).
    const [L, v, R, alpha] = [4e-3, 2e-3, 0.875e-3, 1.157e-7];
    const zeros = Array.from({ length: 12 }, (_, n) =>
      bisect((x) => besselJ(0, x), (n + 0.5) * Math.PI, (n + 1) * Math.PI),
    );
    const exact = zeros.reduce(
      (sum, b) => sum + (4 / (b * b)) * Math.exp((-b * b * alpha * L) / (v * R * R)),
      0,
    );
    const error = (shells: number, dxM: number, dtS: number) =>
      Math.abs((ask('meltHeat', { L, v, R, alpha, shells, dxM, dtS })['theta'] as number) / exact - 1);
    const coarse = error(4, 4e-5, 5e-3);
    const fine = error(8, 2e-5, 1.25e-3);
    expect(fine).toBeLessThan(0.005);
    expect(coarse / fine, `errors ${coarse}, ${fine}`).toBeGreaterThan(2.5);
  });

  it('a still strand in a cold bore cools along its length as a fin does, with second order in the cells', () => {
    const exact = Math.sqrt((4 * 300) / (1.0 * 1.75e-3));
    const error = (dxM: number) =>
      Math.abs(
        (ask('fin', { k: 1.0, h: 300, d: 1.75e-3, dxM, dtS: 0.001 })['decayPerM'] as number) / exact - 1,
      );
    const order = Math.log2(error(4e-4) / error(2e-4));
    expect(order, `observed order ${order}`).toBeGreaterThan(1.7);
    expect(order, `observed order ${order}`).toBeLessThan(2.3);
  });

  it('the wall that is left alone comes to the steady state that it solves at once', () => {
    const { c } = prepared(short);
    const model = makeModel(c, FINE, 0);
    const air = { nozzle: 543.15, chamber: 330, air: 335, partFan: 0.2 };
    const none = new Float64Array(model.breakBins + 1);
    const steady = new Float64Array(model.breakBins);
    const sinkSteady = stepWall(model, steady, 335, air, none, Infinity);
    const wall = new Float64Array(model.breakBins).fill(400);
    let sink = 335;
    for (let k = 0; k < 3000; k++) sink = stepWall(model, wall, sink, air, none, 0.5);
    expect(sink).toBeCloseTo(sinkSteady, 6);
    for (let k = 0; k < wall.length; k++) expect(wall[k]).toBeCloseTo(steady[k]!, 6);
  });

  it('the nozzle follows its flow with the local exponent of the melt', () => {
    const nozzle = { radius: 2e-4, land: 8e-4, topRadius: 1e-3, coneTangent: Infinity, entrance: 0 };
    const dP = (flow: number) => nozzlePressure(nozzle, flow, Math.log(800), Math.log(1.2e5), 0.42);
    const slope = Math.log(dP(5.05e-9) / dP(4.95e-9)) / Math.log(5.05 / 4.95);
    const thinned = (800 * ((4 * 5e-9) / (Math.PI * 8e-12))) / 1.2e5;
    const local = 1 - (0.58 * thinned ** 0.58) / (1 + thinned ** 0.58);
    // The exponent itself falls with the rate, so the pressure rises a little less than it says.
    expect(slope).toBeGreaterThan(local - 0.05);
    expect(slope).toBeLessThan(local + 0.05);
  });

  it('residue over a leap is that of many single returns', () => {
    let r = 0.1;
    const n = 20000;
    for (let k = 0; k < n; k++) r = (r + (0.7 / n) * (1 - r)) * Math.exp(-0.4 / n);
    expect(residueAfter(0.1, 0.7, 0.4)).toBeCloseTo(r, 4);
    expect(residueAfter(0.1, 0, 0)).toBe(0.1);
    expect(residueAfter(0.3, 50, 0)).toBeCloseTo(1, 12);
  });
});

describe('order of the time step', () => {
  it('is first once a step feeds less than a cell: halving it halves the change of the heat through the break', () => {
    // Lines of 0.25 s in 6, 12 and 24 steps. Longer steps feed more than a cell: they jump over places of the lattice,
    // and the heat drops by 1 % at once, whatever the order.
    const heat = (steps: number) =>
      ask('run', {
        ...base,
        chamber: { fromC: 55, toC: 55, tauS: 2400 },
        print: { pattern: { ...pattern, cycles: 60 } },
        grid: { dxMm: 0.1, dtS: 0.25 / steps, shells: 4 },
      })['heatBreakJ'] as number;
    const [coarse, middle, fine] = [heat(6), heat(12), heat(24)];
    const ratio = (coarse - middle) / (middle - fine);
    expect(ratio, `ratio ${ratio} of ${coarse}, ${middle}, ${fine} J`).toBeGreaterThan(1.6);
    expect(ratio, `ratio ${ratio} of ${coarse}, ${middle}, ${fine} J`).toBeLessThan(2.5);
  });
});

describe('limits', () => {
  const margin = (changed: object, cycles = 60) =>
    ask('run', {
      ...base,
      chamber: { fromC: 45, toC: 45, tauS: 100 },
      grid: COARSE_INPUT,
      print: { pattern: { ...pattern, cycles } },
      ...changed,
    });

  it('a print without a retraction leaves no residue on the wall and has the larger margin', () => {
    const with_ = margin({});
    const without = margin({ print: { pattern: { ...pattern, retractMm: 0, cycles: 60 } } });
    expect(without['residueMm']).toBe(0);
    expect(with_['residueMm'] as number).toBeGreaterThan(0.01);
    expect(without['marginMin'] as number).toBeGreaterThan(1.3 * (with_['marginMin'] as number));
  });

  it('longer retractions raise the front and lower the margin', () => {
    const long = margin({ print: { pattern: { ...pattern, retractMm: 2, cycles: 60 } } });
    const usual = margin({});
    expect(long['frontLast10Mm'] as number).toBeGreaterThan(0.5 + (usual['frontLast10Mm'] as number));
    expect(long['marginMin'] as number).toBeLessThan(0.8 * (usual['marginMin'] as number));
  });

  it('margin is in proportion to the grip', () => {
    const one = margin({ hotEnd: { F_grip: 60 } }, 15);
    const two = margin({ hotEnd: { F_grip: 120 } }, 15);
    // The grip also caps the stress under which the strand creeps, which this print does not reach.
    expect((two['marginMin'] as number) / (one['marginMin'] as number)).toBeCloseTo(2, 6);
  });

  it('a hole of 0.1 mm asks for more than any drive gives: a clear verdict, no number that is none', () => {
    const out = margin({ hotEnd: { D_noz: 1e-4 } }, 20);
    expect(out['marginMin'] as number).toBeLessThan(0.3);
    expect(out['firstBelow1S'] as number).toBeGreaterThan(60);
  });

  it('a print shorter than the minute that is not judged has no margin', () => {
    expect(margin({}, 2)['marginMin']).toBeNull();
  });

  it('front at slow and fast feed without retractions: less wall is wetted as the speed rises', () => {
    // Kattinger et al. 2023, Additive Manufacturing 76, 103762 (abstract).
    const front = (flowMm3S: number, nozzleC: number) =>
      ask('run', {
        material: 'PLA',
        nozzleC,
        chamber: { fromC: 28, toC: 28, tauS: 100 },
        partFan: 1,
        sinkFan: 1,
        grid: COARSE_INPUT,
        print: { pattern: { ...pattern, printS: 0.5, retractMm: 0, travelS: 0, flowMm3S, cycles: 15 } },
      })['frontLast10Mm'] as number;
    const [slow, fast, hot] = [front(1, 210), front(10, 210), front(1, 230)];
    expect(slow - fast).toBeGreaterThan(0.8);
    expect(Math.abs(hot - slow)).toBeLessThan(0.3);
  });
});

describe('windows and leaps', () => {
  it('a print whose windows cover it is the whole run, bit for bit', () => {
    const { c, print } = prepared({ ...base, print: { pattern: { ...pattern, cycles: 30 } } });
    const windows = runWindows(c, print, planWindows(print), COARSE);
    const whole = runWindows(c, print, wholePrint(print), COARSE);
    expect(windows.rows).toEqual(whole.rows);
  });

  it('half an hour more in windows keeps the sink within 2 K and the least margin within 5 % of the whole run', () => {
    const { c, print } = prepared({ ...base, print: { pattern: { ...pattern, hours: 1 } } });
    const plan = planWindows(print);
    expect(plan.length).toBeGreaterThan(5);
    const windows = runWindows(c, print, plan, COARSE);
    const whole = runWindows(c, print, wholePrint(print), COARSE);
    const least = (rows: readonly { margin: number }[]) =>
      Math.min(...rows.slice(1).map((row) => row.margin));
    expect(Math.abs(windows.rows.at(-1)!.sink - whole.rows.at(-1)!.sink)).toBeLessThan(2);
    expect(Math.abs(least(windows.rows) / least(whole.rows) - 1)).toBeLessThan(0.05);
  });

  it('a run taken up from a mark goes on as if it had not been put down', () => {
    const { c, print } = prepared({ ...base, print: { pattern: { ...pattern, hours: 1 } } });
    const plan = planWindows(print);
    const whole = runWindows(c, print, plan, COARSE, { marks: true });
    const rest = runWindows(c, print, plan.slice(3), COARSE, { from: whole.marks[2]! });
    expect(rest.rows).toEqual(whole.rows.slice(-rest.rows.length));
  });
});

describe('chances', () => {
  it('over grips agree with counting many grips', () => {
    const a = [1.4, 0.9, 2.2, 1.1];
    const b = [2.0, 1.3, 2.5, 1.6];
    const n = 1000;
    const grips = Array.from({ length: n }, (_, k) => Math.exp(0.25 * normalQuantileBySearch((k + 0.5) / n)));
    let held = 0;
    let both = 0;
    let jammed = 0;
    for (let i = 0; i < a.length; i++) {
      for (const grip of grips) {
        const holdsA = a[i]! * grip >= 1;
        const holdsB = b[i]! * grip >= 1;
        held += holdsA ? 1 : 0;
        jammed += holdsA ? 0 : 1;
        both += !holdsA && holdsB ? 1 : 0;
      }
    }
    expect(holdChance(a, 0.25).holds).toBeCloseTo(held / (4 * n), 3);
    expect(holdsGivenJam(a, b, 0.25)).toBeCloseTo(both / jammed, 2);
  });

  it('after a jam the draws that hold least weigh most, after a clean print the others', () => {
    const least = [0.5, 1, 2];
    const jam = weightsAfter(least, 0.25, true);
    const clean = weightsAfter(least, 0.25, false);
    expect(jam[0]!).toBeGreaterThan(jam[1]!);
    expect(jam[1]!).toBeGreaterThan(jam[2]!);
    expect(clean[2]!).toBeGreaterThan(clean[1]!);
    expect(jam.reduce((x, y) => x + y, 0)).toBeCloseTo(3, 12);
  });

  it('a curve that crosses a value is read straight between its points', () => {
    const times = Float64Array.of(0, 100, 200);
    expect(crossing(times, Float64Array.of(1, 0.95, 0.85), 0.9)).toBeCloseTo(150, 9);
    expect(crossing(times, Float64Array.of(1, 0.95, 0.92), 0.9)).toBeNull();
    expect(crossing(times, Float64Array.of(0.2, 0.1, 0.1), 0.9)).toBe(0);
    expect([0.74, 0.75, 1.15, 1.16].map(ratioIsSound)).toEqual([false, true, true, false]);
  });
});

describe('ensembles', () => {
  const { print, job } = prepared({ ...base, print: { pattern: { ...pattern, retractMm: 1.2, hours: 10 } } });
  const plan = makePlan(print);
  const draws = Array.from({ length: 6 }, (_, i) => drawnCase(job, 1, i));

  it('follow one more window where the chance crosses 0.9 or 0.5 within a long gap, and never rise', () => {
    const sets = draws.map((c) => runDraw(plan, c, COARSE, true));
    const ones = new Float64Array(plan.times.length).fill(1);
    const answer = finish(plan, draws, sets, COARSE, ones, 1, GRIP_SIGMA);
    const added = answer.times.filter((t) => !plan.times.includes(t));
    expect(added.length).toBeGreaterThan(0);
    for (const t of added) {
      const k = answer.times.indexOf(t);
      const [before, after] = [answer.times[k - 1]!, answer.times[k + 1]!];
      expect(after - before).toBeGreaterThan(1200);
      expect(Math.abs(t - (before + after) / 2)).toBeLessThan(120);
      // What is followed half way lies between what lay on both sides of it.
      const residues = draws.map((_, i) =>
        answer.residue.slice(i * answer.times.length, (i + 1) * answer.times.length),
      );
      for (const r of residues) {
        expect(r[k]!).toBeGreaterThan(0.97 * Math.min(r[k - 1]!, r[k + 1]!));
        expect(r[k]!).toBeLessThan(1.03 * Math.max(r[k - 1]!, r[k + 1]!));
      }
    }
    for (let k = 1; k < answer.holdsBy.length; k++)
      expect(answer.holdsBy[k]!).toBeLessThanOrEqual(answer.holdsBy[k - 1]!);
    expect(answer.holdsBy.at(-1)).toBeCloseTo(answer.holds, 12);
    for (const [c, at] of [0.9, 0.5].entries()) {
      const found = answer.crossings[c];
      expect(found === null).toBe(answer.holds >= at);
    }
  });

  it('a draw is the same whatever else is drawn, and a value that the job names is certain', () => {
    expect(drawnCase(job, 1, 3)).toEqual(draws[3]);
    expect(drawnCase(job, 2, 3)).not.toEqual(draws[3]);
    const named = { ...job, hotEnd: { ...job.hotEnd, R_sink: 5 } };
    expect(drawnCase(named, 1, 3).hotEnd.sinkResistance).toBe(5);
    expect(drawnCase(named, 1, 3).hotEnd.leak).toBe(draws[3]!.hotEnd.leak);
  });

  it('the ratio of two grids is the median over the sets, so that one that tips over does not spoil it', () => {
    const set = (margin: number) => ({ rows: [{ margin }] as never, marks: [] });
    const ratio = ratioOf([0.9, 0.92, 0.94, 0.2].map(set), [1, 1, 1, 1].map(set));
    expect(ratio[0]).toBeCloseTo(0.91, 12);
  });

  it('what drives the margin is found by rank', () => {
    const least = Float64Array.of(1, 2, 3, 4, 5);
    const drivers = driversOf(
      { noise: Float64Array.of(1, 3, 2, 1, 2), lift: Float64Array.of(9, 7, 4, 2, 1) },
      least,
    );
    expect(drivers[0]).toEqual({ name: 'lift', correlation: -1 });
    expect(Math.abs(drivers[1]!.correlation)).toBeLessThan(0.5);
  });
});

describe('series', () => {
  it('hold their ends, run straight between points and step at a doubled time', () => {
    const series = { times: Float64Array.of(10, 20, 20, 30), values: Float64Array.of(1, 2, 5, 5) };
    expect([0, 10, 15, 19.999, 20, 25, 99].map((t) => +seriesAt(series, t).toFixed(3))).toEqual([
      1, 1, 1.5, 2, 5, 5, 5,
    ]);
    expect(seriesAt({ from: 300, to: 330, time: 100 }, 100)).toBeCloseTo(330 - 30 / Math.E, 9);
  });
});

describe('what cannot be computed', () => {
  const refused = (changed: object, words: string) => {
    expect(() => ask('run', { ...short, ...changed })).toThrow(Refusal);
    expect(() => ask('run', { ...short, ...changed })).toThrow(words);
  };

  it('is refused in one sentence each', () => {
    refused({ nozzleC: 20 }, 'The nozzle has 20 C where strand is fed');
    refused({ print: { segments: [[10, 0, 'travel']] } }, 'feeds no strand at all');
    refused({ print: { segments: [[0, 0, 'travel']] } }, 'no segment that takes time');
    refused(
      {
        print: {
          segments: [
            [10, 20, 'print'],
            [1, -20, 'retract'],
          ],
        },
      },
      'segment 2 draws the strand back by 20 mm',
    );
    refused({ hotEnd: { D_b: 1.7e-3 } }, 'not wider than the strand');
    refused({ hotEnd: { R_sink: -1 } }, 'sink resistance -1');
    refused({ hotEnd: { OD_break: 1.9e-3 } }, 'no wall');
    refused({ material: 'wood' }, '"wood" is no material');
    refused({ nozzleC: 900 }, 'The nozzle has 900 C');
    refused({ chamber: [[0, -80]] }, 'The chamber has -80 C');
    refused(
      {
        chamber: [
          [10, 20],
          [5, 20],
        ],
      },
      'goes back in time at its point 2',
    );
  });

  it('strand drawn back without a travel or a return is printed away, not refused', () => {
    const out = ask('run', {
      ...short,
      grid: COARSE_INPUT,
      print: {
        segments: [
          [80, 100, 'print'],
          [0.05, -0.8, 'retract'],
          [80, 100, 'print'],
        ],
      },
    });
    expect(out['marginMin'] as number).toBeGreaterThan(0);
  });

  it('any inputs within bounds give numbers, or one sentence', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    const job = fc.record({
      material: fc.constantFrom('PLA', 'PETG', 'ABS', 'PC', 'PA12', 'PA6CF'),
      nozzleC: number(150, 420),
      chamber: fc.record({ fromC: number(-20, 90), toC: number(-20, 150), tauS: number(1, 1e5) }),
      partFan: number(0, 1),
      sinkFan: number(0, 1.5),
      hotEnd: fc.record({
        D_noz: number(5e-5, 2e-3),
        D_b: number(1.76e-3, 2.6e-3),
        F_grip: number(1, 500),
        R_sink: number(0.1, 60),
        R_contact: number(0.01, 50),
        t_p: number(1e-3, 5),
      }),
      contact: fc.record({
        eps_res: number(0, 1),
        f_eta: number(0.01, 100),
        f_th: number(0.01, 100),
        chi: number(0, 1),
        scrape_len: number(0.01, 1000),
      }),
      print: fc.record({
        segments: fc
          .array(fc.tuple(number(0.01, 20), number(0, 60), number(0, 16), number(0, 20)), {
            minLength: 1,
            maxLength: 12,
          })
          .map((rows) =>
            rows.flatMap(([t, e, back, wait]) => [
              [t, e, 'print'],
              [0.03, -back, 'retract'],
              [wait, 0, 'travel'],
              [0.03, back, 'return'],
            ]),
          ),
      }),
    });
    let computed = 0;
    fc.assert(
      fc.property(job, (inputs) => {
        let out: Record<string, unknown>;
        try {
          out = ask('run', { ...inputs, grid: COARSE_INPUT });
        } catch (error) {
          if (error instanceof Refusal) return;
          throw error;
        }
        computed++;
        for (const value of Object.values(out)) expect(value === null || Number.isFinite(value)).toBe(true);
      }),
      { seed: 3, numRuns: 150 },
    );
    expect(computed).toBeGreaterThan(50);
  });
});

/** Quantile of the standard normal from its density alone: independent of the code under test. */
function normalQuantileBySearch(p: number): number {
  let low = -9;
  let high = 9;
  const share = (x: number) => {
    const n = 200;
    const h = x / n;
    let sum = 0;
    for (let k = 0; k < n; k += 2) {
      const f = (z: number) => Math.exp(-0.5 * z * z);
      sum += f(k * h) + 4 * f((k + 1) * h) + f((k + 2) * h);
    }
    return 0.5 + (sum * h) / 3 / Math.sqrt(2 * Math.PI);
  };
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (share(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
