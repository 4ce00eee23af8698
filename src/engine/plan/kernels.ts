import { z } from 'zod';
import { type Kernel, kernel } from '../kernel.ts';
import { normalQuantile } from '../numerics/normal.ts';
import { hashText, stratifiedPoint } from '../numerics/random.ts';
import { chanceOf, verdict } from './verdict.ts';

const list = z.array(z.number());

export const kernels: readonly Kernel[] = [
  kernel({
    name: 'plan.verdict',
    what: 'Chance of every link and of the chain from shared draws, the weakest link and what is won were it sure',
    inputs: z.strictObject({ logMargins: z.array(list).min(1), scatter: list.min(1), weights: list.min(1) }),
    outputs: z.strictObject({ chain: z.number(), links: list, weakest: z.number(), gain: list }),
    run({ logMargins, scatter, weights }) {
      const chances = scatter.map((s, l) =>
        chanceOf(
          Float64Array.from(logMargins, (row) => row[l]!),
          s,
        ),
      );
      const { chain, links, weakest, gain } = verdict(chances, Float64Array.from(weights));
      return { chain, links: [...links], weakest, gain: [...gain] };
    },
  }),
  kernel({
    name: 'plan.verdictNormal',
    what: 'Chance of a chain of two links whose log margins are standard normal with correlation rho',
    inputs: z.strictObject({
      rho: z.number().min(-1).max(1),
      draws: z.int().positive().max(1048576),
      seed: z.int(),
    }),
    outputs: z.strictObject({ chain: z.number() }),
    run({ rho, draws, seed }) {
      const column = (name: string) =>
        Float64Array.from({ length: draws }, (_, i) =>
          normalQuantile(stratifiedPoint(i, hashText(`${seed}|${name}`))),
        );
      const first = column('first');
      const other = column('second');
      const second = first.map((u, i) => rho * u + Math.sqrt(1 - rho * rho) * other[i]!);
      const chances = [first, second].map((x) => chanceOf(x, 0));
      return { chain: verdict(chances, new Float64Array(draws).fill(1)).chain };
    },
  }),
];
