import { boxMedians, polymerMedians, spoolMedians } from '../../src/engine/moisture/kernel-defaults.ts';
import { toPlace, toPolymer, toWinding } from '../../src/engine/moisture/kernel-inputs.ts';
import type { Place } from '../../src/engine/moisture/place.ts';
import { waterOfShare } from '../../src/engine/moisture/polymer.ts';
import type { Spool } from '../../src/engine/moisture/spool.ts';

// Places and spreads that the facts about drying share; values of the equations page, medians of the kernels.

type Box = Partial<Record<keyof typeof boxMedians, number | string | null>>;
export const placeOf = (box: Box): Place => toPlace({ ...boxMedians, ...box } as never);

const room = { T_room: 296.15, rh_amb: 0.5 };
/** In a warm room rather than a chamber, no walls that let vapour through. */
const box = { ...room, mode: 'air', T_amb: 296.15, A_cov: 0, pi_cov: 0 } as const;

/** Every place of the page's table by name. */
export const places = {
  'bed under board': placeOf({}),
  'bed under plastic': placeOf({ ach: 0.3, pi_cov: 0 }),
  'fan oven': placeOf({ ...box, V: 0.03, ach: 30, h_air: 20, T_set: 363.15 }),
  'dryer, vented': placeOf({ ...box, V: 0.01, ach: 30, h_air: 12, T_set: 363.15 }),
  'dryer, not vented': placeOf({ ...box, V: 0.01, ach: 0.2, h_air: 12, T_set: 363.15 }),
  'heated box': placeOf({ ...box, V: 0.03, ach: 0.3, T_set: 338.15 }),
  'sealed box with desiccant': placeOf({
    ...box,
    V: 0.03,
    ach: 0.05,
    T_set: 296.15,
    m_des: 0.2,
    desiccant: 'silica gel',
    q0: 0.02,
  }),
  'open room': placeOf({ ...box, V: 1, ach: 1000, T_set: 296.15, air_ramp: 1 }),
} as const;

/** The 1 kg spool of the medians with this much water, wt% of the strand, even. */
export function spoolOf(
  percent: number,
  temperature = 296.15,
  polymer: Partial<typeof polymerMedians> | object = {},
): Spool {
  const p = toPolymer({ ...polymerMedians, ...polymer } as never);
  return {
    polymer: p,
    winding: toWinding({ ...spoolMedians } as never, p),
    water: waterOfShare(percent / 100, p.fibreShare),
    temperature,
  };
}

/** Spreads of the strand, the spool and the surroundings, as in tests/checks/moisture.json. */
export const spreads = {
  polymer: {
    card: 'pa6-cf-15',
    w_f: { tri: [0.1, 0.15, 0.25] },
    rho_p: { even: [1120, 1145] },
    rho_f: { even: [1750, 1850] },
    cp: { even: [1450, 1750] },
    f_cap: { normal: [1, 0.08, 0.8, 1.2] },
    dH: { normal: [3870, 1500, 0, 8000] },
    Tg_dry: { normal: [330.15, 5, 315, 345] },
    Tg_wet: { normal: [248.15, 5, 235, 262] },
    c_Tg: { even: [0.025, 0.045] },
    D23: { ln: [2e-13, 0.4] },
    Ea: { normal: [54000, 4000, 44000, 64000] },
    kap: { normal: [0.022, 0.006, 0.005, 0.04] },
  },
  spool: {
    d: 0.00175,
    m_net: { even: [0.98, 1.03] },
    ri: { even: [0.048, 0.052] },
    ro: { even: [0.093, 0.097] },
    w: { even: [0.053, 0.057] },
    k_s: { even: [0.28, 0.5] },
    k_a: 0.029,
    k_mult: { ln: [1.2, 0.25] },
    De_mult: { ln: [1.5, 0.5] },
    t_fl: { even: [0.002, 0.004] },
    k_fl: { even: [0.1, 0.25] },
    pi_fl: { ln: [2e-10, 1.0] },
  },
  box: {
    T_room: { even: [293.15, 299.15] },
    rh_amb: { even: [0.4, 0.6] },
    h_air: { even: [5, 12] },
    h_hub: { even: [3, 8] },
    m_des: 0,
  },
  limits: { strict: { even: [0.15, 0.3] }, visible: { even: [0.25, 0.55] } },
} as const;

/** Steps of the ensembles: open since the bag was cut, on the bed under board, in a fan oven, in a closed warm box. */
export const openRoom = {
  mode: 'air',
  V: 1,
  ach: 1000,
  A_cov: 0,
  pi_cov: 0,
  T_amb: 'T_room',
  T_set: 'T_room',
  air_ramp: 1,
} as const;
export const openFor = { box: openRoom, hours: { ln: [60, 0.6, 12, 240] }, dt_s: 3600 } as const;
export const bedBox = {
  mode: 'bed',
  V: 0.008,
  ach: { ln: [15, 0.8] },
  A_cov: 0.2,
  pi_cov: { ln: [2e-9, 0.7] },
  U_cov: { even: [1.7, 3.5] },
  C_cov: 250,
  T_amb: { even: [318.15, 331.15] },
  T_bed: 363.15,
  T_bed0: 296.15,
  bed_ramp: { even: [0.03, 0.15] },
  A_bed: 0.035,
  h_bed: { even: [5, 9] },
  U_contact: { ln: [35, 0.4] },
} as const;
export const ovenBox = {
  mode: 'air',
  V: 0.03,
  ach: { ln: [30, 0.5] },
  A_cov: 0,
  pi_cov: 0,
  T_amb: 'T_room',
  T_set: 363.15,
  air_ramp: 0.03,
  h_air: { even: [12, 25] },
} as const;
export const warmBox = {
  mode: 'air',
  V: 0.03,
  ach: { ln: [0.3, 0.8] },
  A_cov: 0,
  pi_cov: 0,
  T_amb: 'T_room',
  T_set: 338.15,
  air_ramp: 0.03,
  rh_amb: { even: [0.5, 0.6] },
} as const;
