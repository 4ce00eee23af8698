import { describe, expect, it } from 'vitest';
import { coverage } from './dry-weigh-in-truths.ts';

// The long form of dry-weigh-in.test.ts: 200 truths, with the band of the page.

describe('weighings of a drying spool', () => {
  it('give 90 % intervals that hold 82 to 96 % of 200 truths from the prior', () => {
    const found = coverage(200, 6, 8);
    process.stdout.write(`weigh-in: ${JSON.stringify(found)}\n`);
    for (const held of [found.start, found.left]) {
      expect(held).toBeGreaterThanOrEqual(0.82);
      expect(held).toBeLessThanOrEqual(0.96);
    }
  });
});
