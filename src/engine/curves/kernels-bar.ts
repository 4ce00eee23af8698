import { z } from 'zod';
import { type BarSizes, lengthBetweenBroad, planArea } from '../bars/shapes.ts';
import { type Kernel, kernel, Refusal } from '../kernel.ts';
import { equivalentLength, specimenFault, specimenOf, specimenTypes } from './specimen.ts';

// mm, N, MPa at this edge; SI inside.
export const MM = 1e-3;
export const MPA = 1e6;
const positive = z.number().positive();

/** @throws Refusal on a type that is not known */
export function specimen(type: string): BarSizes {
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
    const bar: Record<string, unknown> = type === undefined ? { radiusOuter: null } : { ...specimen(type) };
    for (const [symbol, name] of Object.entries(SIZES)) {
      const given = sizes[symbol as keyof typeof sizes];
      if (given !== undefined) bar[name] = given === null ? null : given * MM;
      // The gauge length bears on none of the answers.
      else if (bar[name] === undefined && symbol !== 'L0')
        throw new Refusal(`The size ${symbol} is missing: give it, or a type of bar.`);
    }
    const whole = bar as unknown as BarSizes;
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

export const barKernels: Kernel[] = [geometry];
