import { eliminateChain, resolveChain } from '../numerics/chain.ts';
import { balanceWater, diffusivity, type Polymer } from './polymer.ts';
import { joinShells, joinShellsEvenly, makeDiffusionLaw, makeShells } from './strand.ts';

/** Shells and growth of the step that keep the uptake within 0.1 % of the exact one (tests/verification). */
const SHELLS = 100;
/** A step lasts this share of the time passed: backward Euler then errs by about a quarter of it at most. */
const GROWTH = 2e-3;
/** The first step, as a share of the end or of the time of diffusion. */
const FIRST = 1e-6;
/** 0.2 % growth passes fifteen decades in this many steps; a share not reached by then is not reached. */
const STEPS_MOST = 20_000;

export type Soak = Readonly<{
  shape: 'cylinder' | 'sheet';
  /** Radius, or half thickness with both faces open [m]. */
  size: number;
  temperature: number;
  humidity: number;
  /** Water at the start, the same everywhere [kg/kg]. */
  start: number;
  polymer: Polymer;
  /** Constant diffusivity instead of the law [m2/s]. */
  constantDiffusivity?: number;
}>;

export type Soaked = Readonly<{
  /** Mean water at the end [kg/kg] and at balance. */
  water: number;
  balance: number;
  /** Share of the way from start to balance; null where they are equal. */
  share: number | null;
  /** When the wanted share was reached [s]; null where it never is or none was asked for. */
  timeToShare: number | null;
}>;

/**
 * A bare strand or a plane sheet in air that does not change, by the same code as the strands of the spool
 * [moisture-6]: surface at balance with the air from the start, implicit steps that grow with time.
 *
 * @param time    look at it after so long [s]; null: at the moment of `toShare`
 * @param toShare share of the way to balance to be reached, below 1; null: not asked
 */
export function soak(of: Soak, time: number | null, toShare: number | null): Soaked {
  const { polymer, temperature, start } = of;
  const balance = balanceWater(polymer, temperature, of.humidity);
  const shells = makeShells(of.shape, of.size, SHELLS);
  const law = makeDiffusionLaw(polymer);
  const water = new Float64Array(SHELLS).fill(start);
  const joint = new Float64Array(SHELLS);
  const carry = new Float64Array(SHELLS);
  const known = new Float64Array(SHELLS);
  const shareOf = (mean: number) => (balance === start ? null : (mean - start) / (balance - start));
  const quickest = Math.max(
    of.constantDiffusivity ?? diffusivity(polymer, temperature, balance),
    of.constantDiffusivity ?? diffusivity(polymer, temperature, start),
  );
  const first = FIRST * (time ?? (of.size * of.size) / quickest);

  let passed = 0;
  let mean = start;
  let seen = time === 0 ? start : null;
  let reachedAt: number | null = toShare === 0 ? 0 : null;
  const wanted = balance === start ? null : toShare;
  for (let step = 0; step < STEPS_MOST; step++) {
    const waitsForTime = time !== null && seen === null;
    const waitsForShare = wanted !== null && reachedAt === null;
    if (!waitsForTime && !waitsForShare) break;
    let dt = Math.max(first, GROWTH * passed);
    if (waitsForTime && passed + dt > time * (1 - 1e-12)) dt = time - passed;
    if (of.constantDiffusivity === undefined)
      joinShells(law, shells, temperature, water, 0, balance, dt, joint);
    else joinShellsEvenly(shells, of.constantDiffusivity, dt, joint);
    eliminateChain(SHELLS, shells.share, joint, water, carry, known, 0);
    const before = mean;
    mean = resolveChain(SHELLS, shells.share, carry, known, balance, water, 0);
    if (waitsForShare) {
      const from = shareOf(before)!;
      const to = shareOf(mean)!;
      if (to >= wanted) reachedAt = passed + (dt * (wanted - from)) / (to - from);
    }
    passed += dt;
    if (waitsForTime && passed >= time * (1 - 1e-12)) seen = mean;
  }
  const end = seen ?? (wanted !== null && reachedAt !== null ? start + wanted * (balance - start) : mean);
  return { water: end, balance, share: shareOf(end), timeToShare: reachedAt };
}

/**
 * Factor by which a small bar is quicker than the endless sheet of its thickness: (1 + l/b + l/L)^2 [moisture-14].
 * Edge correction in the form of Shen and Springer (1976), from memory.
 */
export function edgeFactor(thickness: number, width: number, length: number): number {
  return (1 + thickness / width + thickness / length) ** 2;
}
