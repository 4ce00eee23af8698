import { z } from 'zod';
import { ZERO_CELSIUS } from '../air/constants.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import {
  boxInput,
  boxValues,
  gridInput,
  polymerInput,
  polymerValues,
  spoolInput,
  spoolValues,
  toPlace,
  toPolymer,
  toWinding,
} from './kernel-inputs.ts';
import { columnOf, makeOutcome, type Plan, simulate } from './spool.ts';
import { makeScratch } from './spool-state.ts';

const HOUR = 3600;
/** More steps than this are refused: a run of them takes minutes. */
export const STEPS_MOST = 200_000;

const curve = z.array(z.number());

/** Whole steps: hours and flips of the kernels are rounded to them. */
export function wholeSteps(hours: number, dt: number): number {
  return Math.round((hours * HOUR) / dt) * dt;
}

const finiteOrNull = (x: number) => (Number.isFinite(x) ? x : null);

export const spoolKernel: Kernel = kernel({
  name: 'moisture.spool',
  what: 'Water and heat of a spool in its box over some hours',
  inputs: z.strictObject({
    polymer: polymerInput,
    spool: spoolInput.default({}),
    box: boxInput.default({}),
    c0: z.number().min(0).max(1),
    T_start: z.number().min(273.15).max(473.15),
    hours: z.number().positive(),
    flips_h: z.array(z.number().min(0)).default([]),
    grid: gridInput.default({ cells: [8, 8], nodes: 8, dt_s: 120 }),
    target_wt: z.number().positive().lt(100).optional(),
    limit_wt: z.number().positive().lt(100).optional(),
    series: z.boolean().optional(),
  }),
  outputs: z.strictObject({
    mean_wt: z.number(),
    worst_wt: z.number(),
    outer_wt: z.number(),
    Tmean_C: z.number(),
    Tmin_C: z.number(),
    Tair_C: z.number(),
    rh_air: z.number(),
    loss_g: z.number(),
    waterBalance_g: z.number(),
    heatBalance: z.number(),
    hoursToTarget: z.number().nullable(),
    hoursToLimit: z.number().nullable(),
    series: z
      .strictObject({
        hours: curve,
        mean_wt: curve,
        worst_wt: curve,
        outer_wt: curve,
        Tmin_C: curve,
        Tmean_C: curve,
        Tmax_C: curve,
        Tair_C: curve,
        rh_air: curve,
        loss_g: curve,
      })
      .optional(),
  }),
  run: (of) => {
    const polymer = toPolymer(polymerValues(of.polymer));
    const winding = toWinding(spoolValues(of.spool), polymer);
    const place = toPlace(boxValues(of.box));
    const dt = of.grid.dt_s;
    const time = wholeSteps(of.hours, dt);
    if (time <= 0) throw new Refusal(`${of.hours} h is less than half a step of ${dt} s.`);
    if (time / dt > STEPS_MOST)
      throw new Refusal(
        `${of.hours} h in steps of ${dt} s are more than ${STEPS_MOST} steps: take longer ones.`,
      );
    const plan: Plan = {
      stretches: [
        { place, time, step: dt, flips: of.flips_h.map((h) => wholeSteps(h, dt)).sort((a, b) => a - b) },
      ],
      samples: of.series ? Array.from({ length: Math.round(time / dt) + 1 }, (_, i) => i * dt) : [],
      targets: of.target_wt === undefined ? [] : [of.target_wt / 100],
      limits: of.limit_wt === undefined ? [] : [of.limit_wt / 100],
    };
    const grid = { rings: of.grid.cells[0], layers: of.grid.cells[1], shells: of.grid.nodes };
    const spool = { polymer, winding, water: of.c0, temperature: of.T_start };
    const outcome = simulate(spool, plan, makeScratch(grid), makeOutcome(plan, grid));
    const end = outcome.ends[0]!;
    const percent = (column: 'mean' | 'worst' | 'outer') =>
      Array.from(columnOf(outcome, column), (x) => 100 * x);
    const celsius = (column: 'temperatureLeast' | 'temperatureMean' | 'temperatureMost' | 'airTemperature') =>
      Array.from(columnOf(outcome, column), (x) => x - ZERO_CELSIUS);
    return {
      mean_wt: 100 * end.mean,
      worst_wt: 100 * end.worst,
      outer_wt: 100 * end.outer,
      Tmean_C: end.temperatureMean - ZERO_CELSIUS,
      Tmin_C: end.temperatureLeast - ZERO_CELSIUS,
      Tair_C: end.airTemperature - ZERO_CELSIUS,
      rh_air: end.airHumidity,
      loss_g: 1000 * end.lost,
      waterBalance_g: 1000 * outcome.waterBalance,
      heatBalance: outcome.heatBalance,
      hoursToTarget: finiteOrNull((outcome.dryAfter[0] ?? Number.POSITIVE_INFINITY) / HOUR),
      hoursToLimit: finiteOrNull((outcome.wetAfter[0] ?? Number.POSITIVE_INFINITY) / HOUR),
      ...(of.series
        ? {
            series: {
              hours: plan.samples!.map((t) => t / HOUR),
              mean_wt: percent('mean'),
              worst_wt: percent('worst'),
              outer_wt: percent('outer'),
              Tmin_C: celsius('temperatureLeast'),
              Tmean_C: celsius('temperatureMean'),
              Tmax_C: celsius('temperatureMost'),
              Tair_C: celsius('airTemperature'),
              rh_air: Array.from(columnOf(outcome, 'airHumidity')),
              loss_g: Array.from(columnOf(outcome, 'lost'), (x) => 1000 * x),
            },
          }
        : {}),
    };
  },
});
