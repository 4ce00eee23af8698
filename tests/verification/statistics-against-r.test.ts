import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { WebR } from 'webr';
import { compareWithR, disagreements, startR } from './r-oracle.ts';

// Goal: R agrees on every statistic that R has. Method: random data sets, seeded, whose sizes, scatters and layouts
// differ, computed here and by R 4.6 itself; statistics-against-r.prove.ts runs two hundred of them.

const SETS = 20;
let r: WebR;
beforeAll(async () => {
  r = await startR();
});
afterAll(() => r.close());

describe('statistics against R', () => {
  it(`agree in ${SETS} seeded data sets`, async () => {
    let figures = 0;
    const wrong: string[] = [];
    for (let seed = 1; seed <= SETS; seed++) {
      const compared = await compareWithR(r, seed);
      figures += compared.length;
      wrong.push(...disagreements(compared, seed));
    }
    expect(wrong).toEqual([]);
    expect(figures).toBeGreaterThan(70 * SETS);
  });

  it('would not agree with a figure that is off by a ten-thousandth', async () => {
    const compared = await compareWithR(r, 1);
    const spoiled = compared.map((one) => ({ ...one, ours: one.ours * (1 + 2e-4) + 1e-4 }));
    expect(disagreements(spoiled, 1)).toHaveLength(compared.length);
  });
});
