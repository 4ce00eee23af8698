import { describe, expect, it } from 'vitest';
import { runWindows } from '../../src/engine/hot-end/assess.ts';
import { holdChance } from '../../src/engine/hot-end/chance.ts';
import { makePlan, ratioOf, runDraw } from '../../src/engine/hot-end/ensemble.ts';
import { GRIP_SIGMA } from '../../src/engine/hot-end/kernel-defaults.ts';
import { drawnCase } from '../../src/engine/hot-end/kernel-draws.ts';
import { COARSE, FINE } from '../../src/engine/hot-end/parameters.ts';
import type { Row } from '../../src/engine/hot-end/simulate.ts';
import { wholePrint } from '../../src/engine/hot-end/windows.ts';
import { base, pattern, prepared } from './hot-end-jobs.ts';

// Goal: what windows and grids cost in accuracy, in figures. Method: six prints of 4 to 10 h by windows and whole, on the
// same grid; the chance over the same draws both ways; other draws on both grids. The bands are those of the design.

const prints: Record<string, object> = {
  'flat bars, 4 h': { ...base, print: { pattern: { ...pattern, hours: 4 } } },
  'flat bars, 10 h': { ...base, print: { pattern: { ...pattern, hours: 10 } } },
  'feet with many retractions first, then bars, 6 h': {
    ...base,
    print: {
      pattern: [
        { ...pattern, prints: 8, hours: 1.5 },
        { ...pattern, leadS: 0, hours: 4.5 },
      ],
    },
  },
  'bars, then many retractions at the end, 5 h': {
    ...base,
    print: {
      pattern: [
        { ...pattern, hours: 4 },
        { ...pattern, leadS: 0, prints: 8, flowMm3S: 3, hours: 1 },
      ],
    },
  },
  'bars with stops of two minutes, 4 h': {
    ...base,
    print: { pattern: { ...pattern, stopEvery: 400, stopS: 120, hours: 4 } },
  },
  'PLA in an open machine, 6 h': {
    material: 'PLA',
    nozzleC: 217,
    chamber: { fromC: 25, toC: 28, tauS: 1500 },
    partFan: 1,
    sinkFan: 1,
    print: { pattern: { ...pattern, hours: 6 } },
  },
};

const least = (rows: readonly Row[], judged: readonly boolean[]) =>
  rows.reduce((m, row, k) => (judged[k] ? Math.min(m, row.margin) : m), Infinity);

describe('windows against the whole run', () => {
  for (const [name, job] of Object.entries(prints)) {
    it(`${name}: least margin within 1.3 %, residue within 1.5 %, sink within 1.2 K`, () => {
      const { c, print } = prepared(job);
      const plan = makePlan(print);
      const begun = process.cpuUsage();
      const windows = runWindows(c, print, plan.windows, COARSE);
      const fast = process.cpuUsage(begun).user;
      const whole = wholePrint(print);
      const full = runWindows(c, print, whole, COARSE);
      const slow = process.cpuUsage(begun).user - fast;
      const wholeJudged = whole[0]!.rows.map((row) => print.start[row.from]! >= 59.99);
      const margin = least(windows.rows, plan.judged) / least(full.rows, wholeJudged) - 1;
      const residue = windows.rows.at(-1)!.residue / full.rows.at(-1)!.residue - 1;
      let sink = 0;
      let squares = 0;
      let compared = 0;
      for (const [k, time] of plan.times.entries()) {
        if (!plan.judged[k]) continue;
        // The minute of the whole run that holds most of the row.
        const minute = whole[0]!.rows.findIndex((row) => row.end > time - 30);
        const other = full.rows[minute];
        if (!other) continue;
        sink = Math.max(sink, Math.abs(windows.rows[k]!.sink - other.sink));
        squares += (windows.rows[k]!.margin / other.margin - 1) ** 2;
        compared++;
      }
      const percent = (x: number) => `${(100 * x).toFixed(1)} %`;
      console.log(
        `${name}: margin ${percent(margin)}, residue ${percent(residue)}, sink ${sink.toFixed(2)} K, window by window ${percent(Math.sqrt(squares / compared))} rms; ${plan.windows.length} windows, ${(slow / fast).toFixed(0)} times faster`,
      );
      expect(Math.abs(margin)).toBeLessThan(0.013);
      expect(Math.abs(residue)).toBeLessThan(0.015);
      expect(sink).toBeLessThan(1.2);
    });
  }

  it('the chance over eight draws differs by less than 0.02', () => {
    const { print, job } = prepared({ ...base, print: { pattern: { ...pattern, hours: 4 } } });
    const plan = makePlan(print);
    const whole = wholePrint(print);
    const wholeJudged = whole[0]!.rows.map((row) => print.start[row.from]! >= 59.99);
    const pairs = Array.from({ length: 8 }, (_, i) => {
      const c = drawnCase(job, 1, i);
      return [
        least(runWindows(c, print, plan.windows, COARSE).rows, plan.judged),
        least(runWindows(c, print, whole, COARSE).rows, wholeJudged),
      ] as const;
    });
    const fast = holdChance(
      pairs.map(([w]) => w),
      GRIP_SIGMA,
    ).holds;
    const full = holdChance(
      pairs.map(([, w]) => w),
      GRIP_SIGMA,
    ).holds;
    console.log(`chance by windows ${fast.toFixed(3)}, whole ${full.toFixed(3)}`);
    expect(Math.abs(fast - full)).toBeLessThan(0.02);
  });
});

describe('two levels of grid', () => {
  it('what is left of the difference on draws that did not make the ratio is below 5 % rms for PA6 with fibre', () => {
    const { c, print, job } = prepared({ ...base, print: { pattern: { ...pattern, hours: 4 } } });
    const plan = makePlan(print);
    const draw = (i: number) => drawnCase(job, 1, i);
    const both = (set: ReturnType<typeof draw>) =>
      [runDraw(plan, set, FINE, false), runDraw(plan, set, COARSE, false)] as const;
    const makers = [c, draw(0), draw(1), draw(2)].map(both);
    const ratio = ratioOf(
      makers.map(([fine]) => fine),
      makers.map(([, coarse]) => coarse),
    );
    const left = [3, 4, 5, 6, 7, 8, 9, 10].map((i) => {
      const [fine, coarse] = both(draw(i));
      const corrected = coarse.rows.reduce(
        (m, row, k) => (plan.judged[k] ? Math.min(m, row.margin * ratio[k]!) : m),
        Infinity,
      );
      return corrected / least(fine.rows, plan.judged) - 1;
    });
    const rms = Math.sqrt(left.reduce((sum, x) => sum + x * x, 0) / left.length);
    console.log(
      `ratio fine over coarse ${ratio.at(-1)!.toFixed(3)} at the end; left over ${left.map((x) => (100 * x).toFixed(1)).join(', ')} %, ${(100 * rms).toFixed(1)} % rms`,
    );
    expect(rms).toBeLessThan(0.05);
  });
});
