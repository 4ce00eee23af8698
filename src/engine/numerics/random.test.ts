import { describe, expect, it } from 'vitest';
import { hashText, stratifiedPoint, uniformStream } from './random.ts';

const column = (count: number, key: string) =>
  Array.from({ length: count }, (_, i) => stratifiedPoint(i, hashText(key)));

describe('stratified columns', () => {
  it.each(['7|strand.melts at|-', '8|strand.melts at|-', 'room'])(
    'the first 2^k points of column %s fill 2^k intervals once each',
    (key) => {
      for (const count of [1, 2, 16, 64, 256, 1024]) {
        const filled = new Set(column(count, key).map((u) => Math.floor(u * count)));
        expect(filled.size).toBe(count);
      }
    },
  );

  it('two columns are paired as at random: rank correlation within four standard errors of nought', () => {
    const count = 1024;
    let worst = 0;
    for (let pair = 0; pair < 40; pair++) {
      const a = column(count, `a${pair}`);
      const b = column(count, `b${pair}`);
      const product = a.reduce((sum, u, i) => sum + (u - 0.5) * (b[i]! - 0.5), 0);
      worst = Math.max(worst, Math.abs((12 * product) / count));
    }
    expect(worst).toBeLessThan(4 / Math.sqrt(count));
    expect(worst).toBeGreaterThan(0.2 / Math.sqrt(count));
  });

  it('a plain stream is even and has no memory', () => {
    const next = uniformStream(hashText('stream'));
    const values = Array.from({ length: 20000 }, next);
    const mean = values.reduce((a, b) => a + b) / values.length;
    const lag =
      values.slice(1).reduce((sum, u, i) => sum + (u - 0.5) * (values[i]! - 0.5), 0) / values.length;
    expect(Math.abs(mean - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / values.length));
    expect(Math.abs(12 * lag)).toBeLessThan(4 / Math.sqrt(values.length));
  });
});
