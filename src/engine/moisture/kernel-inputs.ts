import { z } from 'zod';
import { SATURATION_FROM, SATURATION_UNTIL } from '../air/saturation.ts';
import { Refusal } from '../kernel.ts';
import type { Sorbent } from './desiccant.ts';
import { boxMedians, polymerMedians, sorbentMedians, spoolMedians } from './kernel-defaults.ts';
import type { Place } from './place.ts';
import type { Polymer } from './polymer.ts';
import { spreadSchema } from './spreads.ts';
import { solidShareOf, type Winding } from './winding.ts';

/** From the keys of the kernels (SI and kelvin, short symbols) to the parameters of the physics. */

type Keys<T> = Extract<keyof T, string>;
export type PolymerValues = Record<Keys<typeof polymerMedians>, number>;
export type SpoolValues = Record<Keys<typeof spoolMedians>, number>;
type BoxWords = { mode: 'bed' | 'air'; desiccant: string; p_air0: number | null };
export type BoxValues = Record<Exclude<Keys<typeof boxMedians>, keyof BoxWords>, number> & BoxWords;

/** A schema with every key of a block, each optional. */
function optional<K extends string, V extends z.ZodType>(keys: readonly K[], value: V) {
  const shape = Object.fromEntries(keys.map((key) => [key, value.optional()]));
  return shape as { [key in K]: z.ZodOptional<V> };
}

const keysOf = <T extends object>(block: T) => Object.keys(block) as Keys<T>[];
const boxNumbers = keysOf(boxMedians).filter(
  (key) => key !== 'mode' && key !== 'desiccant' && key !== 'p_air0',
);
const boxWords = {
  mode: z.enum(['bed', 'air']).optional(),
  desiccant: z.enum(['silica gel', 'molecular sieve']).optional(),
  p_air0: z.number().min(0).nullable().optional(),
};

export const polymerInput = z.union([
  z.string(),
  z.strictObject({ card: z.string(), ...optional(keysOf(polymerMedians), z.number()) }),
]);
export const polymerSpreads = z.union([
  z.string(),
  z.strictObject({ card: z.string(), ...optional(keysOf(polymerMedians), spreadSchema) }),
]);
export const spoolInput = z.strictObject(optional(keysOf(spoolMedians), z.number()));
export const spoolSpreads = z.strictObject(optional(keysOf(spoolMedians), spreadSchema));
export const boxInput = z.strictObject({ ...optional(boxNumbers, z.number()), ...boxWords });
/** In boxes that are drawn, a word names another entry of the same box. */
export const boxSpreads = z.strictObject({
  ...optional(boxNumbers, z.union([spreadSchema, z.string()])),
  ...boxWords,
});
export type BoxSpreads = z.infer<typeof boxSpreads>;

export const gridInput = z.strictObject({
  cells: z.tuple([z.int().min(1).max(64), z.int().min(1).max(64)]).default([8, 8]),
  nodes: z.int().min(2).max(200).default(8),
  dt_s: z.number().positive().default(120),
});

const CARD = 'pa6-cf-15';

/** Values of a polymer from a card name or a card with changed entries. */
export function polymerEntries<V>(
  given: string | ({ card: string } & Partial<Record<string, V>>),
): Partial<Record<string, V>> {
  const { card, ...changed } = typeof given === 'string' ? { card: given } : given;
  if (card !== CARD)
    throw new Refusal(
      `The polymer "${card}" is not known here: use "${CARD}" and give the entries that differ.`,
    );
  return changed as Partial<Record<string, V>>;
}

export function polymerValues(given: z.infer<typeof polymerInput>): PolymerValues {
  return { ...polymerMedians, ...said(polymerEntries<number>(given as never)) };
}

/** Without the entries that are undefined, so that a spread of objects keeps the medians. */
function said<T>(entries: Partial<Record<string, T>>): Record<string, T> {
  return Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== undefined)) as Record<
    string,
    T
  >;
}

export function spoolValues(given: z.infer<typeof spoolInput>): SpoolValues {
  return { ...spoolMedians, ...said(given) };
}

export function boxValues(given: z.infer<typeof boxInput>): BoxValues {
  return { ...boxMedians, ...said(given as Record<string, number>) } as BoxValues;
}

export function toPolymer(v: PolymerValues): Polymer {
  const positive = ['rho_p', 'rho_f', 'cp', 'cm', 'C', 'f_cap', 'c_Tg', 'w_Tg', 'D23'] as const;
  for (const key of positive)
    if (!(v[key] > 0)) throw new Refusal(`The polymer has ${key} = ${v[key]}: a positive number is needed.`);
  if (!(v.w_f >= 0 && v.w_f < 1))
    throw new Refusal(`The polymer has w_f = ${v.w_f}: a share from 0 up to below 1 is needed.`);
  if (!(v.K > 0 && v.K < 1))
    throw new Refusal(`The polymer has K = ${v.K}: a number between 0 and 1 is needed.`);
  return {
    fibreShare: v.w_f,
    polymerDensity: v.rho_p,
    fibreDensity: v.rho_f,
    heatCapacity: v.cp,
    monolayer: v.cm,
    gabC: v.C,
    gabK: v.K,
    capacityFactor: v.f_cap,
    excessHeat: v.dH,
    glassDry: v.Tg_dry,
    glassWet: v.Tg_wet,
    glassWater: v.c_Tg,
    glassWidth: v.w_Tg,
    diffusivity: v.D23,
    diffusionEnergy: v.Ea,
    riseAboveGlass: v.kap,
  };
}

export function toWinding(v: SpoolValues, polymer: Polymer): Winding {
  if (!(v.ri > 0 && v.ro > v.ri && v.w > 0))
    throw new Refusal(
      `A winding from ri = ${v.ri} m to ro = ${v.ro} m with w = ${v.w} m has no room for strand.`,
    );
  const size = { innerRadius: v.ri, outerRadius: v.ro, width: v.w };
  const solidShare = v.m_net > 0 ? solidShareOf(v.m_net, polymer, size) : v.phi;
  if (!(solidShare > 0 && solidShare < 1))
    throw new Refusal(
      `m_net = ${v.m_net} kg of strand would fill ${(100 * solidShare).toFixed(0)} % of the winding: it must be less than all and more than nothing.`,
    );
  for (const key of ['d', 'k_s', 'k_a', 'k_mult', 'De_mult', 'k_fl'] as const)
    if (!(v[key] > 0)) throw new Refusal(`The spool has ${key} = ${v[key]}: a positive number is needed.`);
  for (const key of ['t_fl', 'pi_fl'] as const)
    if (!(v[key] >= 0)) throw new Refusal(`The spool has ${key} = ${v[key]}: it cannot be negative.`);
  return {
    strandDiameter: v.d,
    solidShare,
    ...size,
    strandConductivity: v.k_s,
    airConductivity: v.k_a,
    conductionFactor: v.k_mult,
    vapourFactor: v.De_mult,
    flangeThickness: v.t_fl,
    flangeConductivity: v.k_fl,
    flangePermeance: v.pi_fl,
  };
}

/** A sorbent by its name, with the medians of the block `sorbents`. */
export function sorbentOf(kind: string): Sorbent {
  const m = sorbentMedians;
  return kind === 'silica gel'
    ? { kind, capacity: m.gel_q0, humidityScale: m.gel_r0, exponent: m.gel_n }
    : { kind: 'molecular sieve', capacity: m.sieve_q0, humidityHalf: m.sieve_r0, slope: m.sieve_q1 };
}

export function toPlace(v: BoxValues): Place {
  for (const key of ['V', 'h_air', 'h_hub'] as const)
    if (!(v[key] > 0)) throw new Refusal(`The box has ${key} = ${v[key]}: a positive number is needed.`);
  for (const key of ['ach', 'pi_cov', 'A_cov', 'm_des', 'k_des', 'q0'] as const)
    if (!(v[key] >= 0)) throw new Refusal(`The box has ${key} = ${v[key]}: it cannot be negative.`);
  if (!(v.rh_amb >= 0 && v.rh_amb <= 1))
    throw new Refusal(`The box has rh_amb = ${v.rh_amb}: a share from 0 to 1 is needed.`);
  const temperatures =
    v.mode === 'bed'
      ? (['T_room', 'T_amb', 'T_bed', 'T_bed0'] as const)
      : (['T_room', 'T_amb', 'T_set'] as const);
  for (const key of temperatures)
    if (!(v[key] >= SATURATION_FROM && v[key] <= SATURATION_UNTIL))
      throw new Refusal(
        `The box has ${key} = ${v[key]}: a temperature from ${SATURATION_FROM} to ${SATURATION_UNTIL} K is needed.`,
      );
  const shared = {
    volume: v.V,
    airChanges: v.ach / 3600,
    wallPermeance: v.pi_cov,
    wallArea: v.A_cov,
    roomTemperature: v.T_room,
    roomHumidity: v.rh_amb,
    surroundings: v.T_amb,
    film: v.h_air,
    hubFilm: v.h_hub,
    desiccant:
      v.m_des > 0 ? { mass: v.m_des, sorbent: sorbentOf(v.desiccant), start: v.q0, rate: v.k_des } : null,
    ...(v.T_air0 > 0 ? { airStart: v.T_air0 } : {}),
    ...(v.p_air0 === null ? {} : { vapourStart: v.p_air0 }),
  };
  if (v.mode === 'air') return { mode: 'air', ...shared, airTemperature: v.T_set, airRamp: v.air_ramp };
  return {
    mode: 'bed',
    ...shared,
    bedTemperature: v.T_bed,
    bedStart: v.T_bed0,
    bedRamp: v.bed_ramp,
    bedArea: v.A_bed,
    bedFilm: v.h_bed,
    contact: v.U_contact,
    wallLoss: v.U_cov,
    wallHeat: v.C_cov,
  };
}
