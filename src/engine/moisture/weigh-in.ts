import { normalQuantile } from '../numerics/normal.ts';
import { hashText, stratifiedPoint } from '../numerics/random.ts';

/**
 * What weighings of the spool say about the draws: each draw is a possible truth that foretells losses, and gets the
 * weight of its agreement with the scale. Draws are rows of standard normals, one an unknown, so that new draws can be
 * made between the old ones without leaving any spread.
 */

/** Uncertainty of a loss: scale [kg], share of the loss, and what is always left [kg]. Values come from cards. */
export type WeighingModel = Readonly<{ scaleSd: number; shareOfLoss: number; always: number }>;

/** sd of one weighing [kg]: hypot(scale, share of loss) + always [moisture-21]. */
export function weighingSd(model: WeighingModel, loss: number): number {
  return Math.hypot(model.scaleSd, model.shareOfLoss * loss) + model.always;
}

/** Standard deviation of a reading that is rounded to this resolution: resolution/sqrt(12). */
export function roundingSd(resolution: number): number {
  return resolution / Math.sqrt(12);
}

export type Weights = Readonly<{
  /** Sum 1; all 0 where no draw is believable. */
  weights: Float64Array;
  /** 1/sum w^2: how many equal draws say as much. */
  effective: number;
  /** How far the nearest draw is from the scale, root of the mean square in sd. */
  nearest: number;
  /** False where the nearest draw is too far: this spool does not behave like any draw, or the weighing is off. */
  believable: boolean;
}>;

/**
 * With 5 % of the loss in its own sd, a reading can never be more than 20 sd away and its weight need not underflow
 * however absurd it is. So a spool is not believed either when its nearest draw is this many sd off (choice).
 */
const BELIEF = 5;

/**
 * Weights exp(-1/2 sum ((foretold - weighed)/sd)^2) of all draws [moisture-21].
 *
 * @param foretold `foretold[weighing + weighings * draw]` [kg]
 * @param lost     weighed losses since the start [kg]
 */
export function weighDraws(foretold: Float64Array, lost: readonly number[], model: WeighingModel): Weights {
  return weightsOf(misfits(foretold, lost, model), lost.length);
}

/** 1/2 sum ((foretold - weighed)/sd)^2 of each draw. */
function misfits(foretold: Float64Array, lost: readonly number[], model: WeighingModel): Float64Array {
  const count = lost.length;
  const sd = lost.map((loss) => weighingSd(model, loss));
  return Float64Array.from({ length: foretold.length / count }, (_, draw) => {
    let sum = 0;
    for (let k = 0; k < count; k++) sum += ((foretold[k + count * draw]! - lost[k]!) / sd[k]!) ** 2;
    return 0.5 * sum;
  });
}

function weightsOf(misfit: Float64Array, weighings: number): Weights {
  const nearest = Math.sqrt((2 * misfit.reduce((a, b) => Math.min(a, b))) / weighings);
  const raw = misfit.map((m) => Math.exp(-m));
  const weights = normalise(raw);
  if (!weights || !(nearest <= BELIEF))
    return { weights: new Float64Array(misfit.length), effective: 0, nearest, believable: false };
  return { weights, effective: effectiveOf(weights), nearest, believable: true };
}

/** Null where every weight has underflowed. */
function normalise(weights: Float64Array): Float64Array | null {
  const total = weights.reduce((sum, w) => sum + w, 0);
  return total > 0 ? weights.map((w) => w / total) : null;
}

function effectiveOf(shares: Float64Array): number {
  return 1 / shares.reduce((sum, w) => sum + w * w, 0);
}

/** Spread of the kernel about each parent; a = sqrt(1 - h^2) keeps mean and spread of all (West 1993). */
const KERNEL_WIDTH = 0.3;
/** Fewer equal draws than this are resampled, at most so many times. */
const EFFECTIVE_LEAST = 30;
const ROUNDS_MOST = 3;

/**
 * New draws about the believable ones by kernel shrinkage [moisture-22]: u = a u_parent + h z, a = sqrt(1 - h^2).
 *
 * Parents are taken in proportion to their weights, systematically. All columns are standard normals, so shrinking
 * towards their mean 0 with their spread 1 leaves the prior as it is, and positive unknowns stay positive. The new
 * draws are then weighted by likelihood(new)/likelihood(parent), which is exact for that kernel.
 * Source: West 1993, J. R. Statist. Soc. B 55, 409; a and h as there, in normal scores.
 *
 * @param normals `normals[unknown + unknowns * draw]`
 */
export function shrinkDraws(
  normals: Float64Array,
  unknowns: number,
  weights: Float64Array,
  key: number,
): { normals: Float64Array; parents: Int32Array } {
  const draws = weights.length;
  const a = Math.sqrt(1 - KERNEL_WIDTH ** 2);
  const parents = new Int32Array(draws);
  const offset = stratifiedPoint(0, key);
  let parent = 0;
  let below = weights[0]!;
  for (let i = 0; i < draws; i++) {
    while (below < (i + offset) / draws && parent < draws - 1) below += weights[++parent]!;
    parents[i] = parent;
  }
  const fresh = new Float64Array(normals.length);
  for (let k = 0; k < unknowns; k++) {
    const column = hashText(`${key}|${k}`);
    for (let i = 0; i < draws; i++) {
      const z = normalQuantile(stratifiedPoint(i, column));
      fresh[k + unknowns * i] = a * normals[k + unknowns * parents[i]!]! + KERNEL_WIDTH * z;
    }
  }
  return { normals: fresh, parents };
}

export type WeighIn = Weights &
  Readonly<{
    /** The draws that the weights belong to; the given ones where nothing was resampled. */
    normals: Float64Array;
    /** `answers[answer + answers * draw]` as the simulation left them. */
    answers: Float64Array;
    /** How often new draws were made. */
    rounds: number;
  }>;

/**
 * Weighs draws against the scale and makes new ones where fewer than 30 speak [moisture-22].
 *
 * @param normals   `normals[unknown + unknowns * draw]`
 * @param simulate  runs one draw: reads its normals, writes foretold losses [kg] and any further answers
 * @param seed      new draws are keyed by it alone
 */
export function weighIn(
  normals: Float64Array,
  unknowns: number,
  lost: readonly number[],
  model: WeighingModel,
  answerCount: number,
  simulate: (normals: Float64Array, foretold: Float64Array, answers: Float64Array) => void,
  seed: number,
): WeighIn {
  const draws = normals.length / unknowns;
  const runAll = (all: Float64Array) => {
    const foretold = new Float64Array(draws * lost.length);
    const answers = new Float64Array(draws * answerCount);
    for (let i = 0; i < draws; i++)
      simulate(
        all.subarray(i * unknowns, (i + 1) * unknowns),
        foretold.subarray(i * lost.length, (i + 1) * lost.length),
        answers.subarray(i * answerCount, (i + 1) * answerCount),
      );
    return { misfit: misfits(foretold, lost, model), answers };
  };
  let current = normals;
  let { misfit, answers } = runAll(current);
  let found = weightsOf(misfit, lost.length);
  let rounds = 0;
  while (
    found.believable &&
    found.effective < EFFECTIVE_LEAST &&
    rounds < ROUNDS_MOST &&
    draws > EFFECTIVE_LEAST
  ) {
    rounds++;
    const fresh = shrinkDraws(current, unknowns, found.weights, hashText(`${seed}|weigh-in|${rounds}`));
    const before = misfit;
    current = fresh.normals;
    ({ misfit, answers } = runAll(current));
    // Likelihood ratios of the new draws to their parents, shifted so that the largest is 1.
    const gain = misfit.map((m, i) => before[fresh.parents[i]!]! - m);
    const most = gain.reduce((a, b) => Math.max(a, b));
    const weights = normalise(gain.map((g) => Math.exp(g - most)))!;
    found = { ...weightsOf(misfit, lost.length), weights, effective: effectiveOf(weights), believable: true };
  }
  return { ...found, normals: current, answers, rounds };
}
