import { z } from 'zod';
import { ZERO_CELSIUS } from '../air/constants.ts';
import { Refusal } from '../kernel.ts';
import { contactMedians, hotEndMedians, type MaterialValues, materials } from './kernel-defaults.ts';
import type { Case } from './model.ts';
import { type Contact, FINE, type Grid, type HotEnd, type Series } from './parameters.ts';
import { type Print, printOfPatterns, printOfRows } from './print.ts';
import type { Strand } from './strand.ts';

/** From the keys of the kernels (symbols of docs/equations/hot-end.md) to the parameters of the physics. */

export type HotEndValues = Record<keyof typeof hotEndMedians, number>;
export type ContactValues = Record<keyof typeof contactMedians, number>;

/** A schema with every key of a block, each optional. */
function optional<K extends string, V extends z.ZodType>(keys: readonly K[], value: V) {
  const shape = Object.fromEntries(keys.map((key) => [key, value.optional()]));
  return shape as { [key in K]: z.ZodOptional<V> };
}
const keysOf = <T extends object>(block: T) => Object.keys(block) as Extract<keyof T, string>[];

/** Bounds keep a slip of units from running for hours; physics inside them is checked by the engine. */
const positive = z.number().positive();
const points = z.array(z.tuple([z.number(), positive])).min(1);
const series = z.array(z.tuple([z.number().min(0), z.number()])).min(1);
const share = z.number().min(0).max(1);

const patternInput = z.strictObject({
  leadS: z.number().min(0).max(86400),
  prints: z.int().min(1).max(100000),
  printS: positive.max(3600),
  flowMm3S: z.number().min(0).max(1000),
  retractMm: z.number().min(0).max(200),
  retractMmS: positive.max(1000),
  travelS: z.number().min(0).max(86400),
  stopEvery: z.int().min(0),
  stopS: z.number().min(0).max(86400),
  cycles: z.int().min(1).max(1e6).optional(),
  hours: positive.max(200).optional(),
});

export const printInput = z.union([
  z.strictObject({ segments: z.array(z.array(z.unknown())).min(1) }),
  z.strictObject({ pattern: z.union([patternInput, z.array(patternInput).min(1)]) }),
]);

export const gridInput = z.strictObject({
  dxMm: z.number().min(0.02).max(1),
  dtS: z.number().min(1e-3).max(1),
  shells: z.int().min(1).max(16),
});

const materialChange = z.strictObject({
  ...optional(['k_r', 'k_ax', 'rho', 'Tm', 'wm', 'T_flow_min'] as const, positive),
  dH: z.number().min(0).optional(),
  semicryst: z.boolean().optional(),
  cp_pts: points.optional(),
  yield_pts: points.optional(),
  tc_pts: points.optional(),
  cross: z
    .union([
      z.strictObject({
        type: z.literal('arr'),
        ...numbers(['eta_ref', 'Tref', 'Ea', 'taustar', 'n'] as const),
      }),
      z.strictObject({
        type: z.literal('wlf'),
        ...numbers(['D1', 'Tr', 'A1', 'A2', 'taustar', 'n'] as const),
      }),
    ])
    .optional(),
});
function numbers<K extends string>(keys: readonly K[]) {
  return Object.fromEntries(keys.map((key) => [key, z.number()])) as { [key in K]: z.ZodNumber };
}

export const jobInput = z.strictObject({
  material: z.string(),
  nozzleC: z.number(),
  chamber: z.union([z.strictObject({ fromC: z.number(), toC: z.number(), tauS: positive }), series]),
  partFan: z.union([share, series]),
  sinkFan: z.number().min(0).max(1.5),
  print: printInput,
  hotEnd: z.strictObject(optional(keysOf(hotEndMedians), z.number())).default({}),
  contact: z.strictObject(optional(keysOf(contactMedians), z.number())).default({}),
  materialChange: materialChange.default({}),
  grid: gridInput.optional(),
});
export type JobInput = z.infer<typeof jobInput>;

export function materialNamed(name: string): MaterialValues {
  const found = materials[name];
  if (!found)
    throw new Refusal(`"${name}" is no material here: expected one of ${Object.keys(materials).join(', ')}.`);
  return found;
}

export function strandOf(m: MaterialValues): Strand {
  const { cross } = m;
  const table = (pts: MaterialValues['cp_pts'], factor: number, between: 'straight' | 'straight in ln') => ({
    xs: pts.map(([x]) => x + ZERO_CELSIUS),
    ys: pts.map(([, y]) => y * factor),
    between,
  });
  return {
    conductivityAcross: m.k_r,
    conductivityAlong: m.k_ax,
    density: m.rho,
    heatCapacity: table(m.cp_pts, 1, 'straight'),
    heatOfFusion: m.dH,
    meltsAt: m.Tm + ZERO_CELSIUS,
    meltingWidth: m.wm,
    crystallises: m.semicryst,
    melt:
      cross.type === 'arr'
        ? { law: 'Arrhenius', viscosity: cross.eta_ref, at: cross.Tref + ZERO_CELSIUS, energy: cross.Ea }
        : { law: 'WLF', viscosity: cross.D1, at: cross.Tr + ZERO_CELSIUS, a1: cross.A1, a2: cross.A2 },
    thinningStress: cross.taustar,
    thinningExponent: cross.n,
    yieldStress: table(m.yield_pts, 1e6, 'straight in ln'),
    halfTime: m.tc_pts ? table(m.tc_pts, 1, 'straight in ln') : null,
    flowsAbove: m.T_flow_min + ZERO_CELSIUS,
  };
}

export function hotEndOf(v: HotEndValues): HotEnd {
  return {
    strandDiameter: v.d_f,
    bore: v.D_b,
    meltLength: v.L_melt,
    breakLength: v.L_break,
    sinkLength: v.L_sink,
    breakOutside: v.OD_break,
    breakConductivity: v.k_break,
    breakHeatCapacity: v.rc_break,
    contactResistance: v.R_contact,
    sinkResistance: v.R_sink,
    sinkHeatCapacity: v.C_sink,
    leak: v.G_leak,
    spreadLength: v.l_spread,
    nozzleBore: v.D_noz,
    landLength: v.L_land,
    coneHalfAngle: (v.half_angle_deg * Math.PI) / 180,
    entranceLoss: v.n_entr,
    grip: v.F_grip,
    gripExponent: v.grip_exp,
    gearWarmth: v.dT_gear,
    gearSpeed: v.v_gear,
    pressureTime: v.t_p,
    recirculation: v.dT_rec,
    fanStirring: v.c_pf,
  };
}

export function contactOf(v: ContactValues): Contact {
  return {
    friction: v.mu,
    slipShare: v.chi,
    interfaceStrength: v.tau_int,
    wettingTime: v.t_wet,
    residuePerReturn: v.eps_res,
    scrapeLength: v.scrape_len,
    touchShare: v.h_contact_frac,
    airConductivity: v.k_air,
    fillStrain: v.eps_fill,
    eccentricity: v.ecc,
    viscosityFactor: v.f_eta,
    yieldFactor: v.f_yield,
    halfTimeFactor: v.f_th,
  };
}

export function hotEndValues(given: JobInput['hotEnd']): HotEndValues {
  return { ...hotEndMedians, ...said(given) };
}
export function contactValues(given: JobInput['contact']): ContactValues {
  return { ...contactMedians, ...said(given) };
}
/** Without the entries that are undefined, so that a spread of objects keeps the medians. */
function said<T extends object>(entries: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== undefined)) as never;
}

/** Straight between points. */
function sloping(rows: readonly (readonly [number, number])[], offset: number): Series {
  ordered(rows);
  return {
    times: Float64Array.from(rows, ([t]) => t),
    values: Float64Array.from(rows, ([, y]) => y + offset),
  };
}
/** Each value holds until the next: a fan is set, not ramped. */
function stepping(rows: readonly (readonly [number, number])[]): Series {
  ordered(rows);
  const doubled = rows.flatMap(([t, y], i) =>
    i === 0
      ? [[t, y]]
      : [
          [t, rows[i - 1]![1]],
          [t, y],
        ],
  );
  return {
    times: Float64Array.from(doubled, ([t]) => t!),
    values: Float64Array.from(doubled, ([, y]) => y!),
  };
}
function ordered(rows: readonly (readonly [number, number])[]): void {
  const wrong = rows.findIndex(([t], i) => i > 0 && t < rows[i - 1]![0]);
  if (wrong > 0)
    throw new Refusal(`A series goes back in time at its point ${wrong + 1}: ${rows[wrong]![0]} s.`);
}

export function printFrom(given: JobInput['print']): Print {
  if ('segments' in given) return printOfRows(given.segments);
  const patterns = Array.isArray(given.pattern) ? given.pattern : [given.pattern];
  return printOfPatterns(
    patterns.map((p) => {
      if ((p.cycles === undefined) === (p.hours === undefined))
        throw new Refusal('A pattern says either its cycles or its hours.');
      return {
        lead: p.leadS,
        prints: p.prints,
        printTime: p.printS,
        flow: p.flowMm3S * 1e-9,
        retract: p.retractMm * 1e-3,
        retractSpeed: p.retractMmS * 1e-3,
        travel: p.travelS,
        stopEvery: p.stopEvery,
        stop: p.stopS,
        ...(p.cycles === undefined ? {} : { cycles: p.cycles }),
        ...(p.hours === undefined ? {} : { hours: p.hours }),
      };
    }),
  );
}

export function chamberOf(given: JobInput['chamber']): Series {
  return Array.isArray(given)
    ? sloping(given, ZERO_CELSIUS)
    : { from: given.fromC + ZERO_CELSIUS, to: given.toC + ZERO_CELSIUS, time: given.tauS };
}

/** One job of the kernels with the values of hot end and contact that are in force. */
export function caseOf(job: JobInput, hotEnd: HotEndValues, contact: ContactValues): Case {
  const material = { ...materialNamed(job.material), ...said(job.materialChange) } as MaterialValues;
  return {
    strand: strandOf(material),
    hotEnd: hotEndOf(hotEnd),
    contact: contactOf(contact),
    surroundings: {
      nozzle: job.nozzleC + ZERO_CELSIUS,
      chamber: chamberOf(job.chamber),
      partFan: Array.isArray(job.partFan) ? stepping(job.partFan) : job.partFan,
      sinkFan: job.sinkFan,
      pull: 0,
    },
  };
}

export function gridOf(job: JobInput): Grid {
  return job.grid ? { cell: job.grid.dxMm * 1e-3, step: job.grid.dtS, shells: job.grid.shells } : FINE;
}
