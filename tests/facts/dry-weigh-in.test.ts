import { describe, expect, it } from 'vitest';
import { coverage } from './dry-weigh-in-truths.ts';

// Goal: the interval that weighings give is honest. Method: dry-weigh-in-truths.ts, 40 truths on a coarse grid; the 200 of the page run
// in dry-weigh-in.prove.ts. With 40 the share of an honest 90 % interval is within 0.9 +- 0.14 (three sd).

describe('weighings of a drying spool', () => {
  it('give 90 % intervals that hold 40 truths about nine times in ten, and tell the start', () => {
    const found = coverage(40, 4, 5);
    expect(found.start).toBeGreaterThan(0.76);
    expect(found.left).toBeGreaterThan(0.76);
    // An interval as wide as the prior would hold more than this for all truths.
    expect(found.rmsStart).toBeLessThan(0.8 * found.priorRmsStart);
    expect(found.effective).toBeGreaterThan(20);
  });
});
