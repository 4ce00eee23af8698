import { z } from 'zod';
import { ZERO_CELSIUS } from '../air/constants.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { stepAcross, stepAlong } from '../numerics/chains.ts';
import { contactMedians, hotEndMedians } from './kernel-defaults.ts';
import {
  type ContactValues,
  caseOf,
  type HotEndValues,
  jobInput,
  materialNamed,
  strandOf,
} from './kernel-inputs.ts';
import { makeModel } from './model.ts';
import { nozzlePressure } from './nozzle.ts';
import { FINE } from './parameters.ts';
import { makeShells } from './shells.ts';
import { residueAfter, wornOver } from './skin.ts';
import { atTemperature, enthalpyTable, meltStress, TABLE_FROM, TABLE_SIZE } from './strand.ts';
import { stepWall } from './wall.ts';

/** Kernels that show one part of the model each, on a case that can be solved by hand. */

const positive = z.number().positive();
const notNegative = z.number().min(0);

const residueKernel = kernel({
  name: 'hot-end.residue',
  what: 'Residue of one ring of wall through a stretch that is not followed',
  inputs: z.strictObject({
    r0: z.number().min(0).max(1),
    laid: notNegative,
    returns: notNegative,
    fedM: notNegative,
    scrapeM: positive,
    hotS: notNegative,
  }),
  outputs: z.strictObject({ r: z.number() }),
  run: ({ r0, laid, returns, fedM, scrapeM, hotS }) => ({
    r: residueAfter(r0, laid * returns, wornOver(fedM, scrapeM, hotS)),
  }),
});

const breakKernel = kernel({
  name: 'hot-end.break',
  what: 'Sink and wall of the break in the steady state, without a strand',
  inputs: z.strictObject({
    chamberC: z.number().min(-30).max(400),
    dT_rec: notNegative,
    c_pf: notNegative,
    partFan: z.number().min(0).max(1),
    sinkFan: z.number().min(0).max(1.5),
    nozzleC: z.number().min(-30).max(430),
    L_break: positive.max(0.1),
    OD_break: positive.max(0.1),
    D_b: positive.max(0.1),
    k_break: positive,
    R_contact: notNegative,
    R_sink: positive,
    G_leak: notNegative,
    atMm: z.array(notNegative),
  }),
  outputs: z.strictObject({ sinkC: z.number(), heatW: z.number(), wallC: z.array(z.number()) }),
  run({ chamberC, partFan, sinkFan, nozzleC, atMm, ...changed }) {
    if (changed.OD_break <= changed.D_b)
      throw new Refusal('OD_break must be larger than D_b: the break has no wall.');
    const hotEnd: HotEndValues = {
      ...hotEndMedians,
      ...changed,
      d_f: Math.min(hotEndMedians.d_f, 0.9 * changed.D_b),
    };
    const contact: ContactValues = { ...contactMedians };
    const job = jobInput.parse({
      material: 'PA6CF',
      nozzleC,
      chamber: [[0, chamberC]],
      partFan,
      sinkFan,
      print: { segments: [[1, 0, 'travel']] },
    });
    const model = makeModel(caseOf(job, hotEnd, contact), FINE, 0);
    const wall = new Float64Array(model.breakBins);
    const air = {
      nozzle: nozzleC + ZERO_CELSIUS,
      chamber: chamberC + ZERO_CELSIUS,
      air: chamberC + ZERO_CELSIUS + changed.dT_rec * Math.max(0, 1 - changed.c_pf * partFan),
      partFan,
    };
    const sink = stepWall(model, wall, air.air, air, new Float64Array(model.breakBins + 1), Infinity);
    const joint = (changed.k_break * model.wallArea) / model.breakBin;
    const at = (mm: number) => {
      const u = (mm * 1e-3) / model.breakBin - 0.5;
      if (u <= 0) return air.nozzle + (wall[0]! - air.nozzle) * Math.max(0, 2 * u + 1);
      const k = Math.min(Math.floor(u), wall.length - 2);
      return wall[k]! + (u - k) * (wall[k + 1]! - wall[k]!);
    };
    return {
      sinkC: sink - ZERO_CELSIUS,
      heatW: 2 * joint * (air.nozzle - wall[0]!),
      wallC: atMm.map((mm) => {
        if (mm * 1e-3 > changed.L_break)
          throw new Refusal(`atMm ${mm} lies above the break, which ends at ${changed.L_break * 1e3} mm.`);
        return at(mm) - ZERO_CELSIUS;
      }),
    };
  },
});

/** A still rod of one shell: cells, time steps and the stretch over which the decay is read. */
const FIN_LENGTH = 12e-3;
const FIN_TIME = 120;
const FIN_FROM = 3e-3;
const FIN_TO = 6e-3;

const finKernel = kernel({
  name: 'hot-end.fin',
  what: 'Decay of the temperature of a still strand along a bore at one temperature',
  inputs: z.strictObject({
    k: positive,
    h: positive,
    d: positive,
    dxM: z.number().min(1e-5).max(5e-4),
    dtS: z.number().min(1e-3).max(10),
  }),
  outputs: z.strictObject({ decayPerM: z.number() }),
  run({ k, h, d, dxM, dtS }) {
    const cells = Math.round(FIN_LENGTH / dxM);
    const area = (Math.PI / 4) * d * d;
    // Any heat capacity does for the steady state; this one settles well within FIN_TIME.
    const capacity = new Float64Array(cells).fill(2e6 * area);
    const along = Float64Array.of(((k * area) / dxM ** 2) * dtS);
    const toWall = new Float64Array(cells).fill(h * Math.PI * d * dtS);
    const wall = new Float64Array(cells);
    const T = new Float64Array(cells);
    const carry = new Float64Array(cells);
    const none = new Float64Array(1);
    for (let n = Math.ceil(FIN_TIME / dtS); n > 0; n--) {
      T[0] = 1;
      capacity[0] = 1e12;
      stepAcross(cells, 1, capacity, none, toWall, wall, T, carry);
      stepAlong(cells, 1, capacity, along, T, carry);
    }
    const from = Math.round(FIN_FROM / dxM);
    const to = Math.round(FIN_TO / dxM);
    return { decayPerM: Math.log(T[from]! / T[to]!) / ((to - from) * dxM) };
  },
});

const meltHeatKernel = kernel({
  name: 'hot-end.meltHeat',
  what: 'Strand in plug flow through a hot bore: what is left of the temperature difference at the outlet',
  inputs: z.strictObject({
    L: positive.max(0.1),
    v: positive,
    R: positive,
    alpha: positive,
    shells: z.int().min(1).max(64),
    dxM: positive,
    dtS: positive,
  }),
  outputs: z.strictObject({ theta: z.number() }),
  run({ L, v, R, alpha, shells: count, dxM, dtS }) {
    const cells = Math.round(L / dxM);
    if (cells < 2 || cells > 1e5)
      throw new Refusal(`L/dxM is ${L / dxM}: between 2 and 100000 cells are needed.`);
    const steps = Math.ceil((3 * L) / v / dtS);
    if (steps > 1e6) throw new Refusal(`dtS ${dtS} s is too short for a residence of ${L / v} s.`);
    const shells = makeShells(R, alpha, count);
    const joint = Float64Array.from({ length: count }, (_, j) =>
      j < count - 1 ? shells.conductance[j]! * dtS : 0,
    );
    const toWall = new Float64Array(cells).fill(((2 * Math.PI * R) / shells.skin) * dtS);
    const wall = new Float64Array(cells).fill(1);
    const T = new Float64Array(cells * count);
    const carry = new Float64Array(T.length);
    const capacity = Float64Array.from(T, (_, m) => shells.area[m % count]!);
    // Cells ride on the strand: bottom cell out, cold cell in at the top. What leaves is averaged over the last third.
    let offset = 0;
    let left = 0;
    let out = 0;
    const move = (feed: number, counts: boolean) => {
      offset += feed;
      while (offset >= dxM) {
        offset -= dxM;
        if (counts) {
          for (let j = 0; j < count; j++) left += shells.share[j]! * T[j]!;
          out++;
        }
        T.copyWithin(0, count);
        T.fill(0, T.length - count);
      }
    };
    for (let n = 0; n < steps; n++) {
      const counts = n > (2 * steps) / 3;
      move((v * dtS) / 2, counts);
      stepAcross(cells, count, capacity, joint, toWall, wall, T, carry);
      move((v * dtS) / 2, counts);
    }
    return { theta: 1 - left / out };
  },
});

const skinKernel = kernel({
  name: 'hot-end.skin',
  what: 'Resistance between the outermost shell of a strand and its surface',
  inputs: z.strictObject({ R: positive, k: positive, shells: z.int().min(1).max(64) }),
  outputs: z.strictObject({ resistance: z.number(), nusselt: z.number() }),
  run({ R, k, shells }) {
    const { skin } = makeShells(R, k, shells);
    return { resistance: skin, nusselt: (2 * R) / (k * skin) };
  },
});

const enthalpyKernel = kernel({
  name: 'hot-end.enthalpy',
  what: 'Heat that a strand takes up between two temperatures, heat of fusion included',
  inputs: z.strictObject({ material: z.string(), fromC: z.number(), toC: z.number() }),
  outputs: z.strictObject({ jPerKg: z.number() }),
  run({ material, fromC, toC }) {
    const table = enthalpyTable(strandOf(materialNamed(material)));
    const at = (celsius: number) => {
      const T = celsius + ZERO_CELSIUS;
      if (!(T >= TABLE_FROM && T <= TABLE_FROM + TABLE_SIZE - 1))
        throw new Refusal(
          `${celsius} C lies outside ${TABLE_FROM - ZERO_CELSIUS} .. ${TABLE_FROM + TABLE_SIZE - 1 - ZERO_CELSIUS} C.`,
        );
      return atTemperature(table, T);
    };
    return { jPerKg: at(toC) - at(fromC) };
  },
});

const nozzleKernel = kernel({
  name: 'hot-end.nozzlePressure',
  what: 'Pressure over land, cone and entrance of a nozzle',
  inputs: z.strictObject({
    eta: positive,
    tauStar: positive,
    n: z.number().positive().max(1),
    radiusM: positive,
    landM: notNegative,
    topRadiusM: positive,
    coneHalfDeg: z.number().positive().lt(90).nullable(),
    nEntr: notNegative,
    flowM3S: positive,
  }),
  outputs: z.strictObject({ dPPa: z.number() }),
  run: ({ eta, tauStar, n, radiusM, landM, topRadiusM, coneHalfDeg, nEntr, flowM3S }) => ({
    dPPa: nozzlePressure(
      {
        radius: radiusM,
        land: landM,
        topRadius: topRadiusM,
        coneTangent: coneHalfDeg === null ? Infinity : Math.tan((coneHalfDeg * Math.PI) / 180),
        entrance: nEntr,
      },
      flowM3S,
      Math.log(eta),
      Math.log(tauStar),
      n,
    ),
  }),
});

const dragKernel = kernel({
  name: 'hot-end.drag',
  what: 'Drag of a film that fills the gap round a strand (creep and slip off)',
  inputs: z.strictObject({ eta: positive, v: positive, gap: positive, D_b: positive, L: positive }),
  outputs: z.strictObject({ forceN: z.number() }),
  run: ({ eta, v, gap, D_b, L }) => ({
    // A thinning stress out of reach makes the Cross law Newtonian.
    forceN: meltStress(Math.log(eta), Math.log(v / gap), Math.log(1e30), 0.5) * Math.PI * D_b * L,
  }),
});

export const partKernels: readonly Kernel[] = [
  residueKernel,
  breakKernel,
  finKernel,
  meltHeatKernel,
  skinKernel,
  enthalpyKernel,
  nozzleKernel,
  dragKernel,
];
