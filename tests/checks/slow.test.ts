import { describe, it } from 'vitest';
import { compute } from '../../src/work/compute.ts';
import { differences } from './match.ts';
import { CHECKS, hasKernel, isSlow } from './suite.ts';

// A small one of each slow check: the same inputs with few draws, the same band. `slow.prove.ts` runs them whole.
const FEW = 40;
/** A draw of a whole print costs seconds: the ensemble of the hot end is proved whole, and small in its own tests. */
const WHOLE_ONLY = new Set(['hot-end.ensemble']);

describe('slow checks with few draws', () => {
  for (const check of CHECKS.filter((c) => isSlow(c) && hasKernel(c) && !WHOLE_ONLY.has(c.kernel!)))
    it(`${check.id} with ${FEW} draws`, () => {
      const computed = compute(check.kernel!, { ...(check.inputs as object), draws: FEW }, '.');
      if (!computed.ok) throw new Error(computed.error.message);
      const wrong = differences(check, computed.outputs as Record<string, unknown>);
      if (wrong.length > 0) throw new Error(wrong.join('; '));
    });
});
