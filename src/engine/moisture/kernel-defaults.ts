/**
 * What the kernels take where a caller leaves an entry out: medians of the design, frozen with the outside checks of
 * tests/checks/moisture.json. Links never read this file: their values, with spread and source, stand on cards, and
 * the cards win where they differ.
 */

/** The strand `pa6-cf-15`: polyamide 6 with short carbon fibres. */
export const polymerMedians = {
  w_f: 0.15,
  rho_p: 1130,
  rho_f: 1800,
  cp: 1600,
  cm: 0.0305,
  C: 2.39,
  K: 0.725,
  f_cap: 1.0,
  dH: 3870,
  Tg_dry: 330.15,
  Tg_wet: 248.15,
  c_Tg: 0.035,
  w_Tg: 6,
  D23: 2e-13,
  Ea: 54_000,
  kap: 0.022,
} as const;

export const spoolMedians = {
  d: 0.00175,
  m_net: 1.0,
  phi: 0.72,
  ri: 0.05,
  ro: 0.095,
  w: 0.055,
  k_s: 0.35,
  k_a: 0.029,
  k_mult: 1.2,
  De_mult: 1.5,
  t_fl: 0.003,
  k_fl: 0.2,
  pi_fl: 2e-10,
} as const;

export const boxMedians = {
  mode: 'bed',
  V: 0.008,
  ach: 15.0,
  A_cov: 0.2,
  pi_cov: 2e-9,
  U_cov: 2.2,
  C_cov: 250,
  T_room: 296.15,
  rh_amb: 0.5,
  T_amb: 323.15,
  T_bed: 363.15,
  T_bed0: 296.15,
  bed_ramp: 0.07,
  A_bed: 0.035,
  h_bed: 7.0,
  U_contact: 35.0,
  h_air: 8.0,
  h_hub: 5.0,
  T_set: 338.15,
  air_ramp: 0.03,
  /** 0: as the surroundings. */
  T_air0: 0,
  /** null: vapour of the room air. */
  p_air0: null,
  m_des: 0.0,
  desiccant: 'silica gel',
  q0: 0.02,
  k_des: 1e-4,
} as const;

export const sorbentMedians = {
  gel_q0: 0.385,
  gel_r0: 0.45,
  gel_n: 1.25,
  sieve_q0: 0.2,
  sieve_r0: 0.006,
  sieve_q1: 0.02,
} as const;

export const meltMedians = {
  S_henry: 0.203,
  dHs: 58_391,
  sigma: 0.03,
  r_nuc: 2e-6,
  K_mult: 1.0,
} as const;
