import { z } from 'zod';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { toDigits } from './digits.ts';
import {
  equivalentLength,
  lengthBetweenBroad,
  planArea,
  type Specimen,
  specimenFault,
  specimenOf,
  specimenTypes,
} from './specimen.ts';
import { stressUncertainty } from './uncertainty.ts';

// mm, N, MPa at this edge; SI inside.
export const MM = 1e-3;
export const MPA = 1e6;
const positive = z.number().positive();

/** @throws Refusal on a type that is not known */
export function specimen(type: string): Specimen {
  const found = specimenOf(type);
  if (found === undefined)
    throw new Refusal(`"${type}" is no type of bar. Known are ${specimenTypes.join(', ')}.`);
  return found;
}

const SIZES = {
  l3: 'length',
  l1: 'lengthNarrow',
  b1: 'widthNarrow',
  b2: 'widthBroad',
  r1: 'radius',
  r2: 'radiusOuter',
  h: 'thickness',
  L0: 'gaugeLength',
  L: 'gripDistance',
} as const;

const geometry = kernel({
  name: 'bars.geometry',
  what: 'Length between the broad parts, plan area, volume and elastic equivalent length of a dumbbell',
  inputs: z.strictObject({
    type: z.string().optional(),
    l3: positive.optional(),
    l1: positive.optional(),
    b1: positive.optional(),
    b2: positive.optional(),
    r1: positive.optional(),
    r2: positive.nullable().optional(),
    h: positive.optional(),
    L0: positive.optional(),
    L: positive.optional(),
  }),
  outputs: z.strictObject({
    l2: z.number(),
    area_mm2: z.number(),
    volume_mm3: z.number(),
    equivalent_length_mm: z.number(),
  }),
  run: ({ type, ...sizes }) => {
    const bar: Record<string, number | null> =
      type === undefined ? { radiusOuter: null } : { ...specimen(type) };
    for (const [symbol, name] of Object.entries(SIZES)) {
      const given = sizes[symbol as keyof typeof sizes];
      if (given !== undefined) bar[name] = given === null ? null : given * MM;
      // The gauge length bears on none of the answers.
      else if (bar[name] === undefined && symbol !== 'L0')
        throw new Refusal(`The size ${symbol} is missing: give it, or a type of bar.`);
    }
    const whole = bar as unknown as Specimen;
    const fault = specimenFault(whole);
    if (fault !== null) throw new Refusal(fault);
    const area = planArea(whole);
    return {
      l2: lengthBetweenBroad(whole) / MM,
      area_mm2: area / MM ** 2,
      volume_mm3: (area * whole.thickness) / MM ** 3,
      equivalent_length_mm: equivalentLength(whole) / MM,
    };
  },
});

const uncertainty = kernel({
  name: 'bars.uncertainty',
  what: 'Uncertainty of the strength of one bar and what it comes from',
  inputs: z.strictObject({
    F_N: positive,
    b_mm: positive,
    h_mm: positive,
    u_F_rel: z.number().min(0),
    s_b_mm: z.number().min(0),
    s_h_mm: z.number().min(0),
    n_readings: z.number().int().min(1),
    u_b_mm: z.number().min(0),
    u_h_mm: z.number().min(0),
    rough_mm: z.number().min(0),
    k: positive.default(2),
  }),
  outputs: z.strictObject({
    stress: z.number(),
    u_rel: z.number(),
    U: z.number(),
    share_force: z.number(),
    share_width: z.number(),
    share_thickness: z.number(),
  }),
  run: (i) => {
    const size = (mean: number, deviation: number, instrument: number) => ({
      mean: mean * MM,
      deviation: deviation * MM,
      count: i.n_readings,
      instrument: instrument * MM,
    });
    const found = stressUncertainty(
      i.F_N,
      i.u_F_rel,
      size(i.b_mm, i.s_b_mm, i.u_b_mm),
      size(i.h_mm, i.s_h_mm, i.u_h_mm),
      i.rough_mm * MM,
      i.k,
    );
    return {
      stress: found.stress / MPA,
      u_rel: found.relative,
      U: found.expanded / MPA,
      share_force: found.shareForce,
      share_width: found.shareWidth,
      share_thickness: found.shareThickness,
    };
  },
});

const digits = kernel({
  name: 'results.digits',
  what: 'Numbers rounded for a report: significant digits, half to even on the shortest decimal form',
  inputs: z.strictObject({ cases: z.array(z.tuple([z.number(), z.number().int().min(1).max(17)])) }),
  outputs: z.strictObject({ rounded: z.array(z.number()) }),
  run: ({ cases }) => ({ rounded: cases.map(([value, count]) => toDigits(value, count)) }),
});

export const barKernels: Kernel[] = [geometry, uncertainty, digits];
