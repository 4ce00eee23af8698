import { z } from 'zod';
import type { Conditioning, Test, TestedBar } from '../job.ts';
import { air, name, oneOf, quantity, readings, textBy, uncertain, words, yesNo } from './leaves.ts';
import type { CampaignData } from './schema.ts';
import { parseDate } from './times.ts';

/** The part `test` of a campaign: how bars were kept, measured and broken, and where their curves lie. */

export const CONDITIONINGS = ['dry as printed', '23/50', 'accelerated', 'wet'] as const;

/** Reasons for which a standard lets a bar be left out; "its value is odd" is none. */
export const REASONS = [
  'broke at grip',
  'slipped',
  'print defect',
  'wrong size',
  'wrong conditioning',
  'machine fault',
  'aborted',
] as const;

const conditioning = oneOf(CONDITIONINGS, 'a way to keep bars');
const speed = quantity('mm/min', '1 mm/min');

const bar = z.strictObject({
  called: name.optional(),
  width: readings.optional(),
  thickness: readings.optional(),
  area: uncertain('mm2', '40.2 mm2').optional(),
  mass: quantity('g', '8.2 g').optional(),
  conditioning: conditioning.optional(),
  'left out': oneOf(REASONS, 'a reason to leave a bar out').optional(),
  note: words.optional(),
  spare: yesNo.optional(),
});

/** Keys of its own, beside the quantities of the card of bars. */
export const testShape = {
  on: textBy(parseDate, 'a day, such as 2027-03-12').optional(),
  conditioning: conditioning.optional(),
  kept: words.optional(),
  climate: air.optional(),
  speed: z.strictObject({ modulus: speed.optional(), rest: speed.optional() }).optional(),
  'gauge length': quantity('mm', '50 mm').optional(),
  'grip distance': quantity('mm', '115 mm').optional(),
  grips: words.optional(),
  toe: oneOf(['from the curve', 'as read'], 'a way to find the zero of strain').optional(),
  curves: z.array(name).optional(),
  bars: z.record(z.string(), bar).optional(),
};

export const NO_TEST: Test = {
  on: null,
  conditioning: null,
  kept: null,
  climate: null,
  speed: { modulus: null, rest: null },
  gaugeLength: null,
  gripDistance: null,
  grips: null,
  toe: 'from the curve',
  curves: [],
  bars: [],
};

export function testOf({ test }: CampaignData): Test {
  if (test === undefined) return NO_TEST;
  return {
    on: test.on ?? null,
    conditioning: test.conditioning ?? null,
    kept: test.kept ?? null,
    climate: test.climate
      ? { temperature: test.climate.temperature.value, humidity: test.climate.humidity.value }
      : null,
    speed: { modulus: test.speed?.modulus ?? null, rest: test.speed?.rest ?? null },
    gaugeLength: test['gauge length'] ?? null,
    gripDistance: test['grip distance'] ?? null,
    grips: test.grips ?? null,
    toe: test.toe ?? 'from the curve',
    curves: test.curves ?? [],
    bars: Object.entries(test.bars ?? {}).map(([id, said]): TestedBar => {
      const law = said.area?.law;
      return {
        id,
        called: said.called ?? null,
        width: said.width ?? [],
        thickness: said.thickness ?? [],
        area: said.area ? { value: said.area.value, u: law?.kind === 'normal' ? law.sd : null } : null,
        mass: said.mass ?? null,
        conditioning: (said.conditioning as Conditioning | undefined) ?? null,
        leftOut: said['left out'] ?? null,
        note: said.note ?? null,
        spare: said.spare ?? false,
      };
    }),
  };
}
