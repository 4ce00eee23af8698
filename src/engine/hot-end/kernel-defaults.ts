/**
 * What the kernels take where a caller leaves an entry out: medians and spreads of the design, frozen with the outside
 * checks of tests/checks/hot-end.json. Links never read this file: their values, with source, stand on cards, and the
 * cards win where they differ. Keys are the symbols of docs/equations/hot-end.md. SI; material temperatures in C.
 */

export type Spread =
  | { law: 'factor'; ln: number }
  | { law: 'even'; from: number; to: number }
  | { law: 'normal'; sd: number };

export const hotEndMedians = {
  d_f: 1.75e-3,
  D_b: 2.0e-3,
  L_melt: 12e-3,
  L_break: 2.5e-3,
  L_sink: 16e-3,
  OD_break: 3.0e-3,
  k_break: 16.5,
  rc_break: 4.0e6,
  R_contact: 1.0,
  R_sink: 4.0,
  C_sink: 14,
  G_leak: 0.004,
  l_spread: 3e-3,
  D_noz: 0.4e-3,
  L_land: 0.8e-3,
  half_angle_deg: 30,
  n_entr: 3,
  F_grip: 60,
  grip_exp: 0.7,
  dT_gear: 6,
  v_gear: 0.15,
  t_p: 0.15,
  dT_rec: 8,
  c_pf: 1.2,
} as const;

export const contactMedians = {
  mu: 0.35,
  chi: 0.3,
  tau_int: 0.3e6,
  t_wet: 0.2,
  eps_res: 0.0015,
  scrape_len: 12,
  h_contact_frac: 0.35,
  k_air: 0.031,
  eps_fill: 0.13,
  ecc: 0.45,
  f_eta: 1,
  f_yield: 1,
  f_th: 1,
} as const;

/** Log-normal spread of the grip, integrated without sampling. */
export const GRIP_SIGMA = 0.25;
/** Spread of a chamber plateau that is given [K]. */
export const CHAMBER_SD = 2;

export const hotEndSpreads: Readonly<Partial<Record<keyof typeof hotEndMedians, Spread>>> = {
  d_f: { law: 'normal', sd: 0.012e-3 },
  D_b: { law: 'normal', sd: 0.02e-3 },
  k_break: { law: 'factor', ln: 0.06 },
  R_contact: { law: 'factor', ln: 0.5 },
  R_sink: { law: 'factor', ln: 0.2 },
  G_leak: { law: 'factor', ln: 0.4 },
  l_spread: { law: 'factor', ln: 0.3 },
  grip_exp: { law: 'even', from: 0.4, to: 1.0 },
  dT_gear: { law: 'even', from: 3, to: 14 },
  dT_rec: { law: 'even', from: 4, to: 12 },
  c_pf: { law: 'even', from: 0.6, to: 1.8 },
};

export const contactSpreads: Readonly<Partial<Record<keyof typeof contactMedians, Spread>>> = {
  mu: { law: 'even', from: 0.2, to: 0.5 },
  chi: { law: 'even', from: 0.15, to: 0.45 },
  tau_int: { law: 'factor', ln: 0.35 },
  eps_res: { law: 'factor', ln: 0.6 },
  scrape_len: { law: 'factor', ln: 0.6 },
  h_contact_frac: { law: 'even', from: 0.15, to: 0.55 },
  eps_fill: { law: 'factor', ln: 0.25 },
  ecc: { law: 'even', from: 0.25, to: 0.65 },
  f_eta: { law: 'factor', ln: 0.25 },
  f_yield: { law: 'factor', ln: 0.1 },
  f_th: { law: 'factor', ln: 0.7 },
};

type Points = readonly (readonly [number, number])[];

/** A material as the kernels name it: C, MPa, s; Cross law by Arrhenius or WLF. */
export type MaterialValues = Readonly<{
  k_r: number;
  k_ax: number;
  rho: number;
  cp_pts: Points;
  dH: number;
  Tm: number;
  wm: number;
  semicryst: boolean;
  cross:
    | Readonly<{ type: 'arr'; eta_ref: number; Tref: number; Ea: number; taustar: number; n: number }>
    | Readonly<{ type: 'wlf'; D1: number; Tr: number; A1: number; A2: number; taustar: number; n: number }>;
  yield_pts: Points;
  tc_pts?: Points;
  T_flow_min: number;
}>;

/** From memory of handbook ranges; provenance of PA6CF in docs/equations/hot-end.md. */
export const materials: Readonly<Record<string, MaterialValues>> = {
  PLA: {
    k_r: 0.16,
    k_ax: 0.16,
    rho: 1240,
    cp_pts: [
      [20, 1200],
      [55, 1350],
      [66, 1800],
      [220, 2050],
    ],
    dH: 0,
    Tm: 155,
    wm: 8,
    semicryst: false,
    cross: {
      type: 'wlf',
      D1: 1000000000000.0,
      Tr: 60,
      A1: 26.5,
      A2: 51.6,
      taustar: 100000.0,
      n: 0.25,
    },
    yield_pts: [
      [20, 65],
      [40, 48],
      [50, 34],
      [55, 22],
      [60, 10],
      [65, 4],
      [70, 2],
      [230, 2],
    ],
    T_flow_min: 160,
  },
  PETG: {
    k_r: 0.2,
    k_ax: 0.2,
    rho: 1270,
    cp_pts: [
      [20, 1150],
      [70, 1350],
      [85, 1700],
      [260, 2050],
    ],
    dH: 0,
    Tm: 250,
    wm: 8,
    semicryst: false,
    cross: {
      type: 'wlf',
      D1: 1000000000000.0,
      Tr: 79,
      A1: 27.0,
      A2: 51.6,
      taustar: 100000.0,
      n: 0.3,
    },
    yield_pts: [
      [20, 52],
      [40, 44],
      [60, 34],
      [70, 25],
      [78, 12],
      [84, 4],
      [90, 2],
      [260, 2],
    ],
    T_flow_min: 190,
  },
  ABS: {
    k_r: 0.18,
    k_ax: 0.18,
    rho: 1050,
    cp_pts: [
      [20, 1300],
      [95, 1600],
      [110, 1900],
      [260, 2350],
    ],
    dH: 0,
    Tm: 250,
    wm: 8,
    semicryst: false,
    cross: {
      type: 'wlf',
      D1: 1000000000000.0,
      Tr: 105,
      A1: 25.5,
      A2: 51.6,
      taustar: 30000.0,
      n: 0.3,
    },
    yield_pts: [
      [20, 45],
      [60, 34],
      [80, 27],
      [95, 17],
      [103, 9],
      [110, 3.5],
      [116, 2],
      [260, 2],
    ],
    T_flow_min: 200,
  },
  PC: {
    k_r: 0.21,
    k_ax: 0.21,
    rho: 1200,
    cp_pts: [
      [20, 1200],
      [140, 1650],
      [152, 1900],
      [300, 2200],
    ],
    dH: 0,
    Tm: 250,
    wm: 8,
    semicryst: false,
    cross: {
      type: 'wlf',
      D1: 1000000000000.0,
      Tr: 147,
      A1: 28.8,
      A2: 51.6,
      taustar: 300000.0,
      n: 0.25,
    },
    yield_pts: [
      [20, 65],
      [60, 56],
      [100, 44],
      [125, 33],
      [140, 20],
      [147, 10],
      [153, 4],
      [160, 2],
      [300, 2],
    ],
    T_flow_min: 230,
  },
  PA12: {
    k_r: 0.24,
    k_ax: 0.24,
    rho: 1010,
    cp_pts: [
      [20, 1700],
      [45, 1900],
      [80, 2300],
      [260, 2700],
    ],
    dH: 60000.0,
    Tm: 178,
    wm: 7,
    semicryst: true,
    cross: {
      type: 'arr',
      eta_ref: 600,
      Tref: 240,
      Ea: 60000.0,
      taustar: 150000.0,
      n: 0.45,
    },
    yield_pts: [
      [20, 45],
      [50, 32],
      [80, 22],
      [100, 17],
      [120, 13],
      [140, 9],
      [155, 6],
      [165, 3.5],
      [174, 1.2],
      [182, 0.1],
    ],
    tc_pts: [
      [90, 1.0],
      [110, 0.6],
      [130, 1.5],
      [145, 8],
      [155, 40],
      [165, 400],
      [172, 4000],
    ],
    T_flow_min: 185,
  },
  PA6CF: {
    k_r: 0.34,
    k_ax: 1.0,
    rho: 1170,
    cp_pts: [
      [20, 1350],
      [45, 1450],
      [65, 1750],
      [120, 1950],
      [260, 2250],
    ],
    dH: 55000.0,
    Tm: 220,
    wm: 8,
    semicryst: true,
    cross: {
      type: 'arr',
      eta_ref: 900,
      Tref: 260,
      Ea: 60000.0,
      taustar: 120000.0,
      n: 0.42,
    },
    yield_pts: [
      [20, 105],
      [40, 90],
      [50, 78],
      [60, 66],
      [80, 50],
      [100, 42],
      [120, 35],
      [140, 28],
      [160, 22],
      [180, 15],
      [195, 9],
      [205, 5],
      [213, 2],
      [222, 0.1],
    ],
    tc_pts: [
      [110, 0.3],
      [130, 0.15],
      [150, 0.3],
      [165, 1.0],
      [178, 4],
      [188, 15],
      [198, 90],
      [208, 1500],
    ],
    T_flow_min: 228,
  },
};
