import type { BedPlace } from '../src/engine/moisture/place.ts';
import { makeOutcome, type Plan, simulate } from '../src/engine/moisture/spool.ts';
import { makeScratch } from '../src/engine/moisture/spool-state.ts';
import { places, spoolOf } from '../tests/facts/dry-scenes.ts';
import { dryPlainly } from './moisture-plain.ts';

const HOUR = 3600;

/** Least of some repetitions [ms], after one that warms up. */
function time(repeat: number, work: () => void): number {
  work();
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < repeat; i++) {
    const from = performance.now();
    work();
    least = Math.min(least, performance.now() - from);
  }
  return least;
}

const ms = (x: number) => `${x < 10 ? x.toFixed(2) : x.toFixed(0)} ms`;

/** Drying of the spool: one run, one draw, growth with draws, and the ratio to full matrices. */
export async function measure(): Promise<{
  title: string;
  rows: { what: string; value: string; note: string }[];
}> {
  const bed = places['bed under board'] as BedPlace;
  const fine = { rings: 8, layers: 8, shells: 8 };
  const coarse = { rings: 6, layers: 6, shells: 8 };
  const eight: Plan = { stretches: [{ place: bed, time: 8 * HOUR, step: 120, flips: [4 * HOUR] }] };
  const fineScratch = makeScratch(fine);
  const fineOutcome = makeOutcome(eight, fine);
  const single = time(20, () => void simulate(spoolOf(1), eight, fineScratch, fineOutcome));

  // One draw of the link: open for 60 h, eight hours of drying, carried on until every limit is met or 48 h.
  const whole: Plan = {
    stretches: [
      { place: places['open room'], time: 60 * HOUR, step: 3600 },
      { place: bed, time: 8 * HOUR, step: 240, flips: [4 * HOUR] },
      { place: bed, time: 40 * HOUR, step: 240, growth: 1.05, stepMost: 900, goesOn: true, untilDry: true },
    ],
    targets: [0.002, 0.004],
    clockFrom: 1,
  };
  const scratch = makeScratch(coarse);
  const outcome = makeOutcome(whole, coarse);
  const draws = (count: number) => {
    for (let i = 0; i < count; i++) simulate(spoolOf(0.15 + (0.2 * i) / count), whole, scratch, outcome);
  };
  const few = time(5, () => draws(32));
  const many = time(3, () => draws(256));
  const steps = simulate(spoolOf(0.25), whole, scratch, outcome).steps;

  const short: Plan = { stretches: [{ place: bed, time: 20 * 240, step: 240 }] };
  const shortOutcome = makeOutcome(short, coarse);
  const fast = time(20, () => void simulate(spoolOf(1), short, scratch, shortOutcome)) / 20;
  const plain = time(2, () => void dryPlainly(spoolOf(1), bed, 6, 6, 8, 240, 20)) / 20;
  return {
    title: 'Drying a spool',
    rows: [
      { what: '8 h, 8 x 8 cells, 8 shells, 120 s', value: ms(single), note: 'goal below 200 ms' },
      {
        what: 'one draw: room, 8 h, carried on',
        value: ms(many / 256),
        note: `6 x 6 cells, ${steps} steps; goal below 70 ms`,
      },
      { what: '256 draws on one core', value: ms(many), note: 'goal 10 s on two' },
      {
        what: '256 draws by 32 draws',
        value: (many / few).toFixed(2),
        note: '8 if every draw costs the same',
      },
      { what: 'one step', value: `${(1000 * fast).toFixed(1)} us`, note: '6 x 6 cells, 8 shells' },
      {
        what: 'the same step with full matrices',
        value: `${(plain / fast).toFixed(0)} times as long`,
        note: 'speed/moisture-plain.ts',
      },
    ],
  };
}
