import { drawPlace, drawSpool, seededDraw } from '../../src/engine/moisture/ensemble.ts';
import { kernels } from '../../src/engine/moisture/kernels.ts';
import { columnOf, makeOutcome, type Plan, simulate } from '../../src/engine/moisture/spool.ts';
import { makeScratch } from '../../src/engine/moisture/spool-state.ts';
import { normalOf } from '../../src/engine/moisture/spreads.ts';
import { weighingSd } from '../../src/engine/moisture/weigh-in.ts';
import { bedBox, spreads } from './dry-scenes.ts';

// Truths drawn from the prior are dried on a bed and weighed at 2, 4, 6 and 8 h with the errors that the model states;
// the weighing kernel, which knows the readings alone, must find them back.

const HOURS = [2, 4, 6, 8];
const SCALE_SD = 0.29;
const prior = {
  polymer: spreads.polymer,
  spool: spreads.spool,
  box: { ...spreads.box, ...bedBox },
  start_wt: { ln: [1, 0.35, 0.3, 2.5] },
} as never;

export type Coverage = {
  start: number;
  left: number;
  effective: number;
  spreadLeft: number;
  rmsLeft: number;
  rmsStart: number;
  priorRmsStart: number;
};

/** Share of truths that lie in the 90 % interval found for them. Truths and draws have the same grid. */
export function coverage(truths: number, cells: number, shells: number): Coverage {
  const grid = { rings: cells, layers: cells, shells };
  const kernel = kernels.find((k) => k.name === 'moisture.weigh')!;
  const scratch = makeScratch(grid);
  let start = 0;
  let left = 0;
  let effective = 0;
  let offStart = 0;
  let offLeft = 0;
  let offPrior = 0;
  let spreadLeft = 0;
  for (let truth = 0; truth < truths; truth++) {
    const draw = seededDraw(1001, truth);
    const place = drawPlace((prior as { box: never }).box, {}, draw);
    const plan: Plan = {
      stretches: [{ place, time: 8 * 3600, step: 240, flips: [4 * 3600] }],
      samples: HOURS.map((h) => h * 3600),
    };
    const spool = drawSpool(prior, draw, place.roomTemperature);
    const outcome = simulate(spool, plan, scratch, makeOutcome(plan, grid));
    const model = { scaleSd: SCALE_SD / 1000, shareOfLoss: 0.05, always: 2e-4 };
    const weighings = Array.from(columnOf(outcome, 'lost'), (loss, k) => ({
      hours: HOURS[k]!,
      loss_g: 1000 * (loss + weighingSd(model, loss) * normalOf(2002, `error ${k}`, truth)),
    }));
    const found = kernel.run(
      kernel.inputs.parse({
        ...(prior as object),
        hours: 8,
        flips_h: [4],
        weighings,
        scaleSd_g: SCALE_SD,
        draws: 200,
        seed: 7,
        grid: { cells: [cells, cells], nodes: shells, dt_s: 240 },
      }),
      {} as never,
    ) as { start_wt: number[]; left_wt: number[]; effective: number; believable: boolean };
    if (!found.believable) continue; // counts as not covered
    const trueStart = draw('start_wt', (prior as { start_wt: never }).start_wt);
    const trueLeft = 100 * outcome.ends[0]!.mean;
    if (trueStart >= found.start_wt[0]! && trueStart <= found.start_wt[2]!) start++;
    if (trueLeft >= found.left_wt[0]! && trueLeft <= found.left_wt[2]!) left++;
    effective += found.effective / truths;
    offStart += (found.start_wt[1]! - trueStart) ** 2 / truths;
    offPrior += (1 - trueStart) ** 2 / truths;
    offLeft += (found.left_wt[1]! - trueLeft) ** 2 / truths;
    spreadLeft += (found.left_wt[2]! - found.left_wt[0]!) / truths;
  }
  return {
    start: start / truths,
    left: left / truths,
    effective,
    spreadLeft,
    rmsStart: Math.sqrt(offStart),
    rmsLeft: Math.sqrt(offLeft),
    priorRmsStart: Math.sqrt(offPrior),
  };
}
