import { describe, expect, it } from 'vitest';
import { normalOf } from './spreads.ts';
import { roundingSd, shrinkDraws, weighDraws, weighIn, weighingSd } from './weigh-in.ts';

const model = { scaleSd: roundingSd(0.001), shareOfLoss: 0.05, always: 2e-4 };

describe('weights of weighings', () => {
  it('the uncertainty of a loss is that of the page', () => {
    // 1 g scale, 6 g lost: hypot(0.2887, 0.3) + 0.2 = 0.616 g.
    expect(1000 * weighingSd(model, 0.006)).toBeCloseTo(0.6163, 3);
  });

  it('a draw two sd away counts exp(-2) of one that agrees', () => {
    const sd = weighingSd(model, 0.006);
    const { weights, effective } = weighDraws(Float64Array.from([0.006, 0.006 + 2 * sd]), [0.006], model);
    expect(weights[1]! / weights[0]!).toBeCloseTo(Math.exp(-2), 12);
    expect(weights[0]! + weights[1]!).toBeCloseTo(1, 14);
    expect(effective).toBeCloseTo(1 / (weights[0]! ** 2 + weights[1]! ** 2), 12);
  });

  it('equal draws are all effective', () => {
    expect(weighDraws(new Float64Array(40).fill(0.005), [0.005], model).effective).toBeCloseTo(40, 9);
  });

  it('a loss that no draw can have is not believed', () => {
    const far = weighDraws(new Float64Array(10).fill(0.001), [0.1, 0.1, 0.1], model);
    expect(far.believable).toBe(false);
    expect(far.effective).toBe(0);
  });
});

describe('new draws between old ones', () => {
  const unknowns = 3;
  const draws = 512;
  const normals = Float64Array.from({ length: unknowns * draws }, (_, i) =>
    normalOf(1, `column ${i % unknowns}`, Math.floor(i / unknowns)),
  );

  it('from equal weights keep mean 0 and spread 1', () => {
    const { normals: fresh, parents } = shrinkDraws(
      normals,
      unknowns,
      new Float64Array(draws).fill(1 / draws),
      9,
    );
    for (let k = 0; k < unknowns; k++) {
      const column = Array.from({ length: draws }, (_, i) => fresh[k + unknowns * i]!);
      const mean = column.reduce((a, b) => a + b, 0) / draws;
      const variance = column.reduce((a, b) => a + (b - mean) ** 2, 0) / draws;
      expect(Math.abs(mean)).toBeLessThan(0.05);
      expect(Math.abs(variance - 1)).toBeLessThan(0.08);
    }
    expect(new Set(parents).size).toBe(draws);
  });

  it('come from draws with weight alone', () => {
    const weights = new Float64Array(draws);
    weights[17] = 0.75;
    weights[400] = 0.25;
    const { parents } = shrinkDraws(normals, unknowns, weights, 3);
    const from17 = parents.filter((p) => p === 17).length;
    expect(from17 / draws).toBeCloseTo(0.75, 2);
    expect(parents.filter((p) => p === 400).length).toBe(draws - from17);
  });

  it('find the closed answer of a normal prior and a sharp normal weighing', () => {
    // Loss = 10 g + 3 g u with one unknown that matters among three; weighed 14 g twice. Conjugate normal theory.
    const sd = weighingSd(model, 0.014);
    const precision = 1 + 2 * (0.003 / sd) ** 2;
    const mean = (2 * (0.003 / sd) ** 2 * (4 / 3)) / precision;
    const found = weighIn(
      normals,
      unknowns,
      [0.014, 0.014],
      model,
      1,
      (row, foretold, answers) => {
        foretold.fill(0.01 + 0.003 * row[0]!);
        answers[0] = row[0]!;
      },
      2,
    );
    const at = (i: number) => found.answers[i]! * found.weights[i]!;
    const posterior = found.weights.reduce((sum, _, i) => sum + at(i), 0);
    expect(Math.abs(posterior - mean)).toBeLessThan(0.05);
    expect(found.rounds).toBe(0);
  });

  it('are made where few speak, and still give the closed answer', () => {
    const few = 64;
    const sharp = { scaleSd: 1e-4, shareOfLoss: 0, always: 0 };
    const precision = 1 + (0.003 / 1e-4) ** 2;
    const mean = ((0.003 / 1e-4) ** 2 * (4 / 3)) / precision;
    const found = weighIn(
      normals.slice(0, few * unknowns),
      unknowns,
      [0.014],
      sharp,
      1,
      (row, foretold, answers) => {
        foretold[0] = 0.01 + 0.003 * row[0]!;
        answers[0] = row[0]!;
      },
      2,
    );
    expect(found.rounds).toBeGreaterThan(0);
    const posterior = found.weights.reduce((sum, w, i) => sum + w * found.answers[i]!, 0);
    expect(Math.abs(posterior - mean)).toBeLessThan(0.05);
  });

  it('are the same for the same seed', () => {
    const weights = new Float64Array(draws).fill(1 / draws);
    expect(shrinkDraws(normals, unknowns, weights, 3)).toEqual(shrinkDraws(normals, unknowns, weights, 3));
    expect(shrinkDraws(normals, unknowns, weights, 3).normals).not.toEqual(
      shrinkDraws(normals, unknowns, weights, 4).normals,
    );
  });
});
