import { z } from 'zod';
import { ZERO_CELSIUS } from '../air/constants.ts';
import { type Host, type Kernel, kernel, Refusal } from '../kernel.ts';
import { drawnBackMost, type Followed, runWindows } from './assess.ts';
import { holdChance, holdsGivenJam } from './chance.ts';
import { meanTemperature, startColumn, strandEnthalpy, wallHeat } from './column.ts';
import { type Ensemble, makePlan, median, runEnsemble } from './ensemble.ts';
import { GRIP_SIGMA } from './kernel-defaults.ts';
import { drawnCase } from './kernel-draws.ts';
import {
  caseOf,
  contactValues,
  gridInput,
  gridOf,
  hotEndValues,
  type JobInput,
  jobInput,
  printFrom,
} from './kernel-inputs.ts';
import { partKernels } from './kernels-parts.ts';
import { type Case, makeModel } from './model.ts';
import type { Print } from './print.ts';
import { refuse } from './refusals.ts';
import { emptyRow, emptySums, follow, JUDGED_FROM, startRun } from './simulate.ts';
import { residueLength } from './skin.ts';
import { wholePrint } from './windows.ts';

const MM = 1e3;
/** Medians of the last so many minutes with feed. */
const LAST = 10;
/** Of the windows at most: more steps than this take minutes. */
const HOURS_MOST = 200;

const finiteOrNull = (x: number) => (Number.isFinite(x) ? x : null);
const nullable = z.number().nullable();

function medianCase(job: JobInput): { c: Case; print: Print } {
  const c = caseOf(job, hotEndValues(job.hotEnd), contactValues(job.contact));
  const print = printFrom(job.print);
  refuse(c, print);
  if (print.start[print.count]! > HOURS_MOST * 3600)
    throw new Refusal(
      `The print lasts ${Math.round(print.start[print.count]! / 3600)} h: at most ${HOURS_MOST} h are followed.`,
    );
  return { c, print };
}

const runKernel = kernel({
  name: 'hot-end.run',
  what: 'A print on one hot end, every segment followed',
  inputs: jobInput,
  outputs: z.strictObject({
    sinkEndC: z.number(),
    marginMin: nullable,
    marginMinAtS: nullable,
    marginLast10: z.number(),
    frontLast10Mm: z.number(),
    nozzleN: z.number(),
    residueMm: z.number(),
    exitC: z.number(),
    heatMeltJ: z.number(),
    heatBreakJ: z.number(),
    heatSinkJ: z.number(),
    firstBelow1S: nullable,
    filamentResidual: z.number(),
    wallResidual: z.number(),
  }),
  run(job, host) {
    const { c, print } = medianCase(job);
    const model = makeModel(c, gridOf(job), drawnBackMost(print));
    const column = startColumn(model);
    const run = startRun(model, print, column);
    const strandBefore = strandEnthalpy(model, column);
    const wallBefore = wallHeat(model, column);
    const sums = emptySums(model);
    const plans = wholePrint(print)[0]!.rows;
    const rows = plans.map(() => emptyRow());
    let at = 0;
    let least = Infinity;
    let leastAt = 0;
    for (const [k, plan] of plans.entries()) {
      if (plan.from > at) follow(run, at, plan.from, emptyRow(), sums);
      follow(run, plan.from, plan.to, rows[k]!, sums);
      at = plan.to;
      host.progress?.(print.start[at]! / print.start[print.count]!);
      if (print.start[plan.from]! < JUDGED_FROM || rows[k]!.margin >= least) continue;
      least = rows[k]!.margin;
      leastAt = rows[k]!.at;
    }
    if (print.count > at) follow(run, at, print.count, emptyRow(), sums);
    const last = rows.slice(-LAST);
    const { heatMelt, heatBreak, heatSink, heatAbove, carried, heatWall } = column;
    const exchanged = Math.abs(heatMelt) + Math.abs(heatBreak) + Math.abs(heatSink);
    const strandGained = strandEnthalpy(model, column) - strandBefore;
    const wallGained = wallHeat(model, column) - wallBefore;
    return {
      sinkEndC: column.sink - ZERO_CELSIUS,
      marginMin: finiteOrNull(least),
      marginMinAtS: Number.isFinite(least) ? leastAt : null,
      marginLast10: median(last.map((row) => row.margin)),
      frontLast10Mm: median(last.map((row) => row.front)) * MM,
      nozzleN: median(last.map((row) => row.nozzleForce)),
      residueMm: residueLength(column) * MM,
      exitC: meanTemperature(model, column, 0) - ZERO_CELSIUS,
      heatMeltJ: heatMelt,
      heatBreakJ: heatBreak,
      heatSinkJ: heatSink,
      firstBelow1S: finiteOrNull(run.firstBelow),
      filamentResidual: (strandGained - carried - heatMelt - heatBreak - heatSink - heatAbove) / exchanged,
      wallResidual:
        (wallGained - heatWall + heatBreak + heatSink) /
        Math.max(Math.abs(heatBreak) + Math.abs(heatSink), Math.abs(heatWall)),
    };
  },
});

/** Least judged margin of a run by windows, and of one that was followed whole. */
function leastOf(print: Print, followed: Followed, froms: readonly number[]): number {
  let least = Infinity;
  for (const [k, row] of followed.rows.entries()) {
    if (print.start[froms[k]!]! >= JUDGED_FROM - 1e-6) least = Math.min(least, row.margin);
  }
  return least;
}

const windowsKernel = kernel({
  name: 'hot-end.windows',
  what: 'A print on one hot end by windows with leaps between them, and its error against the whole run',
  inputs: jobInput.extend({ compare: z.boolean().default(false) }),
  outputs: z.strictObject({
    marginMin: nullable,
    residueMm: z.number(),
    windows: z.int(),
    fullMarginMin: nullable.optional(),
    marginRelError: nullable.optional(),
    residueRelError: nullable.optional(),
  }),
  run({ compare, ...job }, host) {
    const { c, print } = medianCase(job);
    const plan = makePlan(print);
    const total = plan.windows.length;
    const followed = runWindows(c, print, plan.windows, gridOf(job), {
      onWindow: (done) => host.progress?.(done / total),
    });
    const least = leastOf(
      print,
      followed,
      plan.windows.flatMap((w) => w.rows.map((row) => row.from)),
    );
    const residue = followed.rows.at(-1)!.residue;
    const result = { marginMin: finiteOrNull(least), residueMm: residue * MM, windows: total };
    if (!compare) return result;
    const whole = wholePrint(print);
    const full = runWindows(c, print, whole, gridOf(job));
    const fullLeast = leastOf(
      print,
      full,
      whole[0]!.rows.map((row) => row.from),
    );
    const fullResidue = full.rows.at(-1)!.residue;
    return {
      ...result,
      fullMarginMin: finiteOrNull(fullLeast),
      marginRelError: finiteOrNull(least / fullLeast - 1),
      residueRelError: fullResidue > 0 ? residue / fullResidue - 1 : residue === 0 ? 0 : null,
    };
  },
});

const ensembleKernel = kernel({
  name: 'hot-end.ensemble',
  what: 'Chance that the drive never slips, for several prints or settings over the same draws',
  inputs: z.strictObject({
    cases: z.record(z.string(), jobInput.omit({ grid: true }).extend({ grid: gridInput.optional() })),
    draws: z.int().min(1).max(4096),
    seed: z.int(),
    base: z.string().optional(),
    jammedIn: z.string().optional(),
    order: z.array(z.string()).optional(),
  }),
  outputs: z.strictObject({
    holds: z.record(z.string(), z.number()),
    se: z.record(z.string(), z.number()),
    marginP50: z.record(z.string(), nullable),
    gain: z.record(z.string(), z.number()).optional(),
    holdsGivenJam: z.record(z.string(), z.number()).optional(),
    rising: z.boolean().optional(),
  }),
  run({ cases, draws, seed, base, jammedIn, order }, host: Host) {
    const names = Object.keys(cases);
    for (const name of [base, jammedIn, ...(order ?? [])]) {
      if (name !== undefined && !names.includes(name))
        throw new Refusal(`"${name}" is none of the cases: ${names.join(', ')}.`);
    }
    const prepared = names.map((name) => medianCase(cases[name]!));
    const answers = new Map<string, Ensemble>();
    for (const [k, name] of names.entries()) {
      const job = cases[name]!;
      const sets = Array.from({ length: draws }, (_, i) => drawnCase(job, seed, i));
      const { c, print } = prepared[k]!;
      answers.set(
        name,
        runEnsemble(print, sets, c, GRIP_SIGMA, (share) => host.progress?.((k + share) / names.length)),
      );
    }
    const each = <T>(value: (answer: Ensemble) => T, skip?: string) =>
      Object.fromEntries(
        names.filter((name) => name !== skip).map((name) => [name, value(answers.get(name)!)]),
      ) as Record<string, T>;
    const holds = each((answer) => answer.holds);
    return {
      holds,
      se: each((answer) => answer.se),
      marginP50: each((answer) => finiteOrNull(median([...answer.least]))),
      ...(base === undefined ? {} : { gain: each((answer) => answer.holds - holds[base]!, base) }),
      ...(jammedIn === undefined
        ? {}
        : {
            holdsGivenJam: each(
              (answer) => holdsGivenJam(answers.get(jammedIn)!.least, answer.least, GRIP_SIGMA),
              jammedIn,
            ),
          }),
      ...(order === undefined
        ? {}
        : { rising: order.every((name, i) => i === 0 || holds[name]! > holds[order[i - 1]!]!) }),
    };
  },
});

const chanceKernel = kernel({
  name: 'hot-end.chance',
  what: 'Chance that the drive holds from least margins of draws, grip integrated; after a jam in the first print, of the second',
  inputs: z.strictObject({
    margins: z.array(z.number().positive()).min(1),
    marginsAfter: z.array(z.number().positive()).min(1).optional(),
    sigma: z.number().positive(),
  }),
  outputs: z.strictObject({ holds: z.number(), se: z.number(), holdsGivenJam: z.number().optional() }),
  run({ margins, marginsAfter, sigma }) {
    if (marginsAfter && marginsAfter.length !== margins.length)
      throw new Refusal(
        `marginsAfter has ${marginsAfter.length} draws and margins ${margins.length}: the same draws are needed.`,
      );
    return {
      ...holdChance(margins, sigma),
      ...(marginsAfter ? { holdsGivenJam: holdsGivenJam(margins, marginsAfter, sigma) } : {}),
    };
  },
});

export const kernels: Kernel[] = [runKernel, windowsKernel, ensembleKernel, chanceKernel, ...partKernels];
