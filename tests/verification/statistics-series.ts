import { normalQuantile } from '../../src/engine/numerics/normal.ts';
import { hashText, uniformStream } from '../../src/engine/numerics/random.ts';
import type { Row } from '../../src/engine/statistics/rows.ts';

/** Invented series with known truth: seeded normals for plates and bars. */

export type Noise = () => number;

export function noise(seed: string): Noise {
  const uniform = uniformStream(hashText(seed));
  return () => normalQuantile(uniform());
}

export function sample(n: number, mean: number, sd: number, z: Noise): number[] {
  return Array.from({ length: n }, () => mean + sd * z());
}

export type Print = Readonly<{
  orientation: string;
  plate: string;
  round?: string;
  bars: number;
  mean: number;
}>;

/** Bars of each print: its mean, moved by its plate, each bar by itself; scatters relative to the mean. */
export function printed(prints: readonly Print[], sdPlate: number, sdBar: number, z: Noise): Row[] {
  const plates = new Map<string, number>();
  for (const { plate } of prints) if (!plates.has(plate)) plates.set(plate, sdPlate * z());
  return prints.flatMap(({ orientation, plate, round, bars, mean }) =>
    Array.from({ length: bars }, () => ({
      orientation,
      plate,
      ...(round === undefined ? {} : { round }),
      value: mean * (1 + plates.get(plate)! + sdBar * z()),
    })),
  );
}

/** Share of runs in which something happens. */
export function shareOf(runs: number, seed: string, happens: (z: Noise) => boolean): number {
  const z = noise(seed);
  let count = 0;
  for (let run = 0; run < runs; run++) if (happens(z)) count++;
  return count / runs;
}

/** Each orientation on plates of its own. */
export function nestedPrints(orientations: readonly string[], plates: number, bars: number): Print[] {
  return orientations.flatMap((orientation) =>
    Array.from({ length: plates }, (_, i) => ({ orientation, plate: `${orientation}${i}`, bars, mean: 80 })),
  );
}

/** One orientation a plate, every orientation in every round; `means` by orientation. */
export function roundPrints(means: Readonly<Record<string, number>>, rounds: number, bars: number): Print[] {
  return Array.from({ length: rounds }, (_, r) => `${r}`).flatMap((round) =>
    Object.entries(means).map(([orientation, mean]) => ({
      orientation,
      plate: `${orientation}${round}`,
      round,
      bars,
      mean,
    })),
  );
}

/** Every orientation on every plate. */
export function mixedPrints(means: Readonly<Record<string, number>>, plates: number, bars: number): Print[] {
  return Array.from({ length: plates }, (_, p) => `${p}`).flatMap((plate) =>
    Object.entries(means).map(([orientation, mean]) => ({ orientation, plate, bars, mean })),
  );
}

/** One plate with two bars of each, beside plates that carry one orientation alone: flat 80, upright 32. */
export function lonePrints(): Print[] {
  return [
    { orientation: 'flat', plate: 'A', bars: 6, mean: 80 },
    { orientation: 'upright', plate: 'C', bars: 8, mean: 32 },
    { orientation: 'flat', plate: 'D', bars: 2, mean: 80 },
    { orientation: 'upright', plate: 'D', bars: 2, mean: 32 },
  ];
}
