import { describe, it } from 'vitest';
import { CHECKS, hasKernel, isSlow, runCheck } from './suite.ts';

// The checks of ensembles with all their draws, and the proof that each can fail.
describe('slow checks', () => {
  for (const check of CHECKS.filter((c) => isSlow(c) && hasKernel(c))) it(check.id, () => runCheck(check));
});
