import { z } from 'zod';
import { STANDARD_PRESSURE, ZERO_CELSIUS } from '../air/constants.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { desiccantBalance } from './desiccant.ts';
import { meltMedians } from './kernel-defaults.ts';
import { polymerInput, polymerValues, sorbentOf, toPolymer } from './kernel-inputs.ts';
import {
  amidationConstant,
  balanceMolarMass,
  foamSign,
  steamOverMelt,
  steamSolubilityPercent,
} from './melt.ts';
import { balanceWater, diffusivity, glassTransition, strandShare } from './polymer.ts';
import { cylinderUptake, hollowUptake, LEAST_FO, sheetUptake } from './series.ts';
import { soak } from './soak.ts';

const temperatureC = z.number().min(0).max(200);
const humidity = z.number().min(0).max(1);
const water = z.number().min(0).max(1);
const SECONDS_PER_DAY = 86_400;

const readPolymer = (given: z.infer<typeof polymerInput>) => toPolymer(polymerValues(given));

export const strandKernels: Kernel[] = [
  kernel({
    name: 'moisture.balance',
    what: 'Water of the polymer at balance with moist air',
    inputs: z.strictObject({
      T_C: temperatureC,
      rh: humidity,
      polymer: polymerInput,
      against: z.strictObject({ T_C: temperatureC, rh: humidity }).optional(),
    }),
    outputs: z.strictObject({
      c: z.number(),
      strand_wt: z.number(),
      gain_wt: z.number(),
      ratio: z.number().nullable().optional(),
    }),
    run: ({ T_C, rh, polymer, against }) => {
      const p = readPolymer(polymer);
      const c = balanceWater(p, T_C + ZERO_CELSIUS, rh);
      const other = against && balanceWater(p, against.T_C + ZERO_CELSIUS, against.rh);
      return {
        c,
        strand_wt: 100 * strandShare(c, p.fibreShare),
        gain_wt: 100 * c * (1 - p.fibreShare),
        ...(other === undefined ? {} : { ratio: other > 0 ? c / other : null }),
      };
    },
  }),
  kernel({
    name: 'moisture.diffusion',
    what: 'Diffusivity of water across the strand and glass transition',
    inputs: z.strictObject({ T_C: temperatureC, c: water, polymer: polymerInput }),
    outputs: z.strictObject({ D: z.number(), Tg_C: z.number() }),
    run: ({ T_C, c, polymer }) => {
      const p = readPolymer(polymer);
      return { D: diffusivity(p, T_C + ZERO_CELSIUS, c), Tg_C: glassTransition(p, c) - ZERO_CELSIUS };
    },
  }),
  kernel({
    name: 'moisture.series',
    what: 'Share of the final uptake by analytic series: cylinder, sheet or hollow cylinder with its inner wall sealed',
    inputs: z.discriminatedUnion('shape', [
      z.strictObject({
        shape: z.enum(['cylinder', 'sheet']),
        Fo: z.number().min(0),
        biot: z.number().min(0).optional(),
      }),
      z.strictObject({
        shape: z.literal('hollow'),
        ri: z.number().positive(),
        ro: z.number().positive(),
        Dt: z.number().min(0),
        biot: z.number().min(0).optional(),
      }),
    ]),
    outputs: z.strictObject({ share: z.number() }),
    run: (of) => {
      if ('ri' in of && of.ro <= of.ri)
        throw new Refusal(`A hollow cylinder from ri = ${of.ri} to ro = ${of.ro} has no wall.`);
      const fo = 'ri' in of ? of.Dt / (of.ro - of.ri) ** 2 : of.Fo;
      if (fo === 0 || of.biot === 0) return { share: 0 };
      if (fo < LEAST_FO)
        throw new Refusal(
          `At a Fourier number of ${fo} the series needs too many terms: ${LEAST_FO} is the least.`,
        );
      if ('ri' in of) return { share: hollowUptake(of.ri, of.ro, of.Dt, of.biot) };
      return { share: of.shape === 'cylinder' ? cylinderUptake(fo, of.biot) : sheetUptake(fo, of.biot) };
    },
  }),
  kernel({
    name: 'moisture.soak',
    what: 'Bare strand or plane sheet in constant air, by the solver of the spool',
    inputs: z.strictObject({
      d_mm: z.number().positive().optional(),
      l_mm: z.number().positive().optional(),
      T_C: temperatureC,
      rh: humidity,
      c0: water,
      polymer: polymerInput,
      hours: z.number().min(0).optional(),
      toShare: z.number().min(0).lt(1).optional(),
      D: z.number().positive().optional(),
    }),
    outputs: z.strictObject({
      c: z.number(),
      strand_wt: z.number(),
      share: z.number().nullable(),
      days: z.number().nullable().optional(),
    }),
    run: ({ d_mm, l_mm, T_C, rh, c0, polymer, hours, toShare, D }) => {
      const size = d_mm ?? l_mm;
      if (size === undefined || (d_mm !== undefined && l_mm !== undefined))
        throw new Refusal('Give either d_mm, the diameter of a strand, or l_mm, the thickness of a sheet.');
      if (hours === undefined && toShare === undefined)
        throw new Refusal('Give hours, toShare or both: without them there is nothing to wait for.');
      const p = readPolymer(polymer);
      const soaked = soak(
        {
          shape: d_mm === undefined ? 'sheet' : 'cylinder',
          size: size / 2000,
          temperature: T_C + ZERO_CELSIUS,
          humidity: rh,
          start: c0,
          polymer: p,
          ...(D === undefined ? {} : { constantDiffusivity: D }),
        },
        hours === undefined ? null : hours * 3600,
        toShare ?? null,
      );
      return {
        c: soaked.water,
        strand_wt: 100 * strandShare(soaked.water, p.fibreShare),
        share: soaked.share,
        ...(toShare === undefined
          ? {}
          : { days: soaked.timeToShare === null ? null : soaked.timeToShare / SECONDS_PER_DAY }),
      };
    },
  }),
  kernel({
    name: 'moisture.desiccant',
    what: 'Water that a desiccant holds at balance with moist air',
    inputs: z.strictObject({ kind: z.enum(['silica gel', 'molecular sieve']), rh: humidity }),
    outputs: z.strictObject({ q: z.number() }),
    run: ({ kind, rh }) => ({ q: desiccantBalance(sorbentOf(kind), rh) }),
  }),
  kernel({
    name: 'moisture.melt',
    what: 'Steam over the melt, its foam sign and the chain length at balance: a sign and a bound, no strength',
    inputs: z.strictObject({
      w_wt: z.number().min(0).lt(100),
      wp: z.number().positive().max(1),
      T_C: z.number().min(150).max(400),
      P_Pa: z.number().min(0).default(STANDARD_PRESSURE),
    }),
    outputs: z.strictObject({
      steam_Pa: z.number(),
      solubility_wt: z.number(),
      foam: z.number(),
      K: z.number(),
      Mn_g_mol: z.number().nullable(),
    }),
    run: ({ w_wt, wp, T_C, P_Pa }) => {
      const m = meltMedians;
      const melt = {
        solubilityPercent: m.S_henry,
        solubilityHeat: m.dHs,
        surfaceTension: m.sigma,
        seedRadius: m.r_nuc,
        chainFactor: m.K_mult,
      };
      const T = T_C + ZERO_CELSIUS;
      const steam = steamOverMelt(melt, w_wt / 100, wp, T);
      return {
        steam_Pa: steam,
        solubility_wt: steamSolubilityPercent(melt, T),
        foam: foamSign(melt, steam, P_Pa),
        K: amidationConstant(melt, T),
        Mn_g_mol: w_wt > 0 ? 1000 * balanceMolarMass(melt, w_wt / 100, wp, T) : null,
      };
    },
  }),
];
