import { runWindows } from '../src/engine/hot-end/assess.ts';
import { makePlan, runDraw } from '../src/engine/hot-end/ensemble.ts';
import { drawnCase } from '../src/engine/hot-end/kernel-draws.ts';
import {
  caseOf,
  contactValues,
  hotEndValues,
  jobInput,
  printFrom,
} from '../src/engine/hot-end/kernel-inputs.ts';
import { COARSE, FINE } from '../src/engine/hot-end/parameters.ts';
import { wholePrint } from '../src/engine/hot-end/windows.ts';
import { causeTable } from '../src/engine/jam/kernel-defaults.ts';
import { familyBands, hazards } from '../src/engine/jam/why.ts';

/** Runs of each measurement after one that warms up. */
const REPEATS = 5;

/** A 10 h print in even cycles: base print of the trade facts, 150 000 segments. */
const job = jobInput.parse({
  material: 'PA6CF',
  nozzleC: 270,
  chamber: { fromC: 25, toC: 58, tauS: 1500 },
  partFan: 0.2,
  sinkFan: 1,
  print: {
    pattern: {
      leadS: 30,
      prints: 25,
      printS: 0.25,
      flowMm3S: 5,
      retractMm: 0.8,
      retractMmS: 30,
      travelS: 0.3,
      stopEvery: 0,
      stopS: 0,
      hours: 10,
    },
  },
});

/** Least time of a few runs [s]: the machine's own noise only ever adds. */
function least(work: () => void): number {
  work();
  let best = Infinity;
  for (let k = 0; k < REPEATS; k++) {
    const begun = performance.now();
    work();
    best = Math.min(best, performance.now() - begun);
  }
  return best / 1000;
}

export async function measure(): Promise<{
  title: string;
  rows: { what: string; value: string; note: string }[];
}> {
  const c = caseOf(job, hotEndValues(job.hotEnd), contactValues(job.contact));
  const print = printFrom(job.print);
  const hours = print.start[print.count]! / 3600;
  const plan = makePlan(print);
  const coarse = least(() => runDraw(plan, c, COARSE, true));
  const fine = least(() => runDraw(plan, c, FINE, false));
  // Whole runs of half an hour stand for the hour: their cost is in proportion to time.
  const half = { ...job, print: { pattern: { ...(job.print as { pattern: object }).pattern, hours: 0.5 } } };
  const short = printFrom(jobInput.parse(half).print);
  const whole = wholePrint(short);
  const wholeCoarse = 2 * least(() => runWindows(c, short, whole, COARSE));
  const wholeFine = 2 * least(() => runWindows(c, short, whole, FINE));
  const drawn = least(() => runDraw(plan, drawnCase(job, 1, 3), COARSE, true));
  const rates = hazards(
    causeTable,
    { creep: { chance: 0.2 }, damp: { chance: 0.1 }, fibre: { chance: 0.03 } },
    2,
    6,
  );
  const why = least(() => familyBands(causeTable, rates, { stopped: true, clicks: true }, 2000, 1));
  const s = (seconds: number) =>
    seconds < 1 ? `${(seconds * 1e3).toFixed(0)} ms` : `${seconds.toFixed(2)} s`;
  return {
    title: 'Hot end',
    rows: [
      {
        what: 'segment by segment, coarse grid, an hour of print',
        value: s(wholeCoarse),
        note: 'design 1.7 s',
      },
      { what: 'segment by segment, fine grid, an hour of print', value: s(wholeFine), note: 'design 7 s' },
      {
        what: `windows, coarse grid, a draw of a ${hours.toFixed(0)} h print`,
        value: s(coarse),
        note: `design 0.6 to 0.9 s; ${((1e3 * coarse) / hours).toFixed(0)} ms per printed hour; ${plan.windows.length} windows of ${print.count} segments`,
      },
      { what: 'the same, another draw', value: s(drawn), note: '' },
      { what: 'windows, fine grid, a draw', value: s(fine), note: 'four of them make the ratio' },
      {
        what: '64 draws and their four fine runs, one core',
        value: s(64 * coarse + 4 * fine),
        note: 'sum of the above; goal 40 s on two cores',
      },
      {
        what: '16 draws and their four fine runs, one core',
        value: s(16 * coarse + 4 * fine),
        note: 'sum of the above; goal 10 s on two cores',
      },
      {
        what: 'windows against the whole run',
        value: `${((wholeCoarse * hours) / coarse).toFixed(0)} times faster`,
        note: 'its error: npm run prove',
      },
      { what: 'why, 2000 draws of the table', value: s(why), note: 'goal 1 s' },
    ],
  };
}
