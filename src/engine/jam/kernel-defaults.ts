import type { Table } from '../../job.ts';
import type { CauseTable } from './why.ts';

/**
 * What the kernels take where a caller leaves an entry out: medians of the design, frozen with the outside checks of
 * tests/checks/jam-causes.json. Links never read this file: their values, with spread and source, stand on cards, and
 * the cards win where they differ. Keys and units are those of docs/equations/jam.md.
 */

export const fibreMedians = {
  length_um: 150,
  length_shape: 2.0,
  fibre_um: 7.0,
  D_ref_mm: 0.4,
  wt_ref: 0.15,
  h_ref_per_kg: 0.2,
  k_b: 1.3,
  p: 3.0,
  m: 2.0,
  acc_kg: 1.0,
  hard: 0.6,
  cap_per_kg: 200,
} as const;

export const wearMedians = { brass: 0.08, hardened: 0.003, carbide: 0.0003, retire: 1.1 } as const;

export const plugMedians = { Tm: 220, tau_b_MPa: 6.0, s: 0.55, chi: 0.3, share_unloaded: 0.1 } as const;

export const soakMedians = { C_block: 15, C_sink: 14, G_block: 0.03 } as const;

export const restMedians = { t05_270_h: 1.0, Ea: 165000, shape: 1.5 } as const;

export const dampMedians = {
  F_pops: 1.8,
  s_pops: 0.3,
  F_thin: 3.0,
  s_thin: 0.45,
  hard_h: 0.002,
  soft: 0.3,
} as const;

/** Judgement of this project, no source. Chances of a sign stand in the order of the causes. */
export const causeTable: CauseTable = {
  causes: [
    { id: 'creep', family: 'creep', when: { kind: 'log', medianH: 3, s: 0.6 }, part: 0.15 },
    { id: 'residue', family: 'creep', when: { kind: 'log', medianH: 2.2, s: 0.7 }, part: 0.15 },
    { id: 'fibre', family: 'fibre', when: { kind: 'even' }, part: 0.35 },
    { id: 'damp', family: 'damp', when: { kind: 'even' }, part: 0.03 },
    {
      id: 'snap',
      family: 'snap',
      when: {
        kind: 'mix',
        of: [
          [0.3, { kind: 'start', meanH: 0.1 }],
          [0.7, { kind: 'even' }],
        ],
      },
      part: 0.02,
    },
    { id: 'plug', family: 'plug', when: { kind: 'start', meanH: 0.05 }, part: 0.4 },
    {
      id: 'bore',
      family: 'bore',
      when: {
        kind: 'mix',
        of: [
          [0.5, { kind: 'start', meanH: 0.1 }],
          [0.5, { kind: 'even' }],
        ],
      },
      part: 1.0,
    },
    { id: 'moved', family: 'moved', when: { kind: 'power', p: 1.5 }, part: 0.1 },
    {
      id: 'heat',
      family: 'heat',
      when: {
        kind: 'mix',
        of: [
          [0.5, { kind: 'start', meanH: 0.1 }],
          [0.5, { kind: 'even' }],
        ],
      },
      part: 0.1,
    },
    {
      id: 'person',
      family: 'person',
      when: {
        kind: 'mix',
        of: [
          [0.7, { kind: 'start', meanH: 0.15 }],
          [0.3, { kind: 'even' }],
        ],
      },
      part: 0.05,
    },
  ],
  signs: [
    { id: 'stopped', minutes: 0, chance: [0.8, 0.8, 0.6, 0.05, 0.85, 0.9, 0.03, 0.2, 0.35, 0.6] },
    { id: 'thin', minutes: 0, chance: [0.5, 0.6, 0.7, 0.7, 0.15, 0.15, 0.75, 0.15, 0.6, 0.35] },
    { id: 'clicks', minutes: 0, chance: [0.75, 0.8, 0.75, 0.2, 0.05, 0.8, 0.3, 0.25, 0.55, 0.45] },
    { id: 'slow', minutes: 0, chance: [0.6, 0.75, 0.35, 0.5, 0.03, 0.05, 0.5, 0.1, 0.4, 0.15] },
    { id: 'again', minutes: 0, chance: [0.5, 0.5, 0.12, 0.35, 0.15, 0.3, 0.4, 0.25, 0.3, 0.15] },
    { id: 'shifted', minutes: 0, chance: [0.04, 0.04, 0.03, 0.06, 0.03, 0.02, 0.05, 0.95, 0.06, 0.1] },
    { id: 'loose', minutes: 1, chance: [0.02, 0.02, 0.02, 0.02, 0.95, 0.02, 0.01, 0.01, 0.02, 0.08] },
    { id: 'pops', minutes: 1, chance: [0.07, 0.07, 0.07, 0.85, 0.05, 0.05, 0.15, 0.05, 0.3, 0.08] },
    { id: 'offtemp', minutes: 1, chance: [0.04, 0.03, 0.02, 0.02, 0.02, 0.05, 0.02, 0.03, 0.8, 0.05] },
    { id: 'chewed', minutes: 2, chance: [0.75, 0.75, 0.6, 0.1, 0.03, 0.75, 0.1, 0.1, 0.35, 0.3] },
    { id: 'headhot', minutes: 2, chance: [0.75, 0.55, 0.15, 0.15, 0.15, 0.15, 0.15, 0.15, 0.35, 0.15] },
    { id: 'pushes', minutes: 3, chance: [0.1, 0.1, 0.1, 0.7, 0.9, 0.05, 0.6, 0.6, 0.4, 0.55] },
    { id: 'needle', minutes: 5, chance: [0.1, 0.1, 0.7, 0.2, 0.02, 0.1, 0.1, 0.05, 0.15, 0.1] },
    { id: 'collar', minutes: 8, chance: [0.7, 0.75, 0.15, 0.1, 0.02, 0.6, 0.05, 0.1, 0.25, 0.15] },
    { id: 'tuft', minutes: 8, chance: [0.03, 0.05, 0.6, 0.03, 0.02, 0.08, 0.05, 0.02, 0.05, 0.1] },
    { id: 'brown', minutes: 8, chance: [0.1, 0.1, 0.1, 0.05, 0.02, 0.35, 0.08, 0.05, 0.35, 0.1] },
  ],
  trust: 0.6,
  kappa: 8,
  wrongMinutes: 45,
};

/** kg/m3: carbon fibre, polyamide 6, melt of the strand. */
export const FIBRE_DENSITY = 1800;
export const POLYMER_DENSITY = 1130;
export const MELT_DENSITY = 1170;

/** Break and bore of the generic hot end; break 2.5 mm of 16.5 W/mK, 3 mm outside, 2 mm inside, and 1 K/W of contact. */
export const plugBreak = {
  breakMm: 2.5,
  boreMm: 2,
  resistance: 2.5e-3 / (16.5 * (Math.PI / 4) * (3e-3 ** 2 - 2e-3 ** 2)) + 1,
} as const;
/** Sink to air with its fan at 1 [W/K]. */
export const SINK_CONDUCTANCE = 0.25;

/** Yield stress of PA6 with carbon fibre, K and Pa, as in docs/equations/hot-end.md. */
export const plugYield: Table = {
  xs: [20, 40, 50, 60, 80, 100, 120, 140, 160, 180, 195, 205, 213, 222].map((C) => C + 273.15),
  ys: [105, 90, 78, 66, 50, 42, 35, 28, 22, 15, 9, 5, 2, 0.1].map((MPa) => MPa * 1e6),
  between: 'straight in ln',
};

export const partLostMedian: readonly [number, number] = [1, 30];
export const sparesMedians: Readonly<{ want: number; lostKg: readonly [number, number] }> = {
  want: 0.95,
  lostKg: [1, 5],
};
