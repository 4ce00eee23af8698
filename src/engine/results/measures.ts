import type { BarResult } from './bar.ts';

/** What a campaign may ask of its bars. Pa or ratios. */
export const MEASURES = [
  'strength',
  'modulus',
  'strain at strength',
  'strain at break',
  'yield stress',
] as const;
export type Measure = (typeof MEASURES)[number];

/** One number of a bar; null where its curve gives none. The modulus is that of the regression, else of the chord. */
export function measureOf({ reduction }: BarResult, measure: Measure): number | null {
  switch (measure) {
    case 'strength':
      return reduction.strength;
    case 'modulus':
      return reduction.modulusRegression ?? reduction.modulusChord;
    case 'strain at strength':
      return reduction.strainAtStrength;
    case 'strain at break':
      return reduction.strainAtBreak;
    case 'yield stress':
      return reduction.yieldStress;
  }
}
