import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { WebR } from 'webr';
import { compareWithR, disagreements, startR } from './r-oracle.ts';

// Goal and method as in statistics-against-r.test.ts, with two hundred data sets of their own seeds.

let r: WebR;
beforeAll(async () => {
  r = await startR();
});
afterAll(() => r.close());

describe('statistics against R', () => {
  it('agree in 200 seeded data sets', async () => {
    const wrong: string[] = [];
    const worst = new Map<string, number>();
    for (let seed = 1001; seed <= 1200; seed++) {
      const compared = await compareWithR(r, seed);
      for (const { what, ours, r: theirs, rel, abs } of compared) {
        const share = Math.abs(ours - theirs) / Math.max(abs, rel * Math.abs(theirs));
        worst.set(what, Math.max(worst.get(what) ?? 0, share));
      }
      wrong.push(...disagreements(compared, seed));
    }
    const [what, size] = [...worst].sort((a, b) => b[1] - a[1])[0]!;
    process.stdout.write(
      `200 sets, ${worst.size} figures each; nearest to its room: ${what}, ${size.toFixed(2)} of it\n`,
    );
    expect(wrong).toEqual([]);
  });
});
