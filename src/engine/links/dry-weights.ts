import type { Job } from '../../job.ts';
import { roundingSd, type Weights, weighDraws } from '../moisture/weigh-in.ts';
import type { Assessment } from './link.ts';

/**
 * What the weighings of this drying say of the draws [moisture-21]; null where fewer than two were made, since a loss
 * needs a weight to start from.
 */
export function weightsOfWeighings(job: Job, dry: Assessment): Weights | null {
  const [first, ...later] = job.drying.weighings;
  if (!first || later.length === 0) return null;
  const count = dry.figures['start water']!.length;
  const foretold = new Float64Array(later.length * count);
  for (let i = 0; i < count; i++)
    for (const [k, { at }] of later.entries())
      foretold[k + later.length * i] = lostAt(dry, i, at) - lostAt(dry, i, first.at);
  const lost = later.map(({ mass }) => first.mass - mass);
  const number = (key: string) => {
    const value = job.entries[key]?.value;
    if (typeof value !== 'number') throw new Error(`the scale's card has no "${key}"`);
    return value;
  };
  return weighDraws(foretold, lost, {
    scaleSd: roundingSd(number('scale.resolution')),
    shareOfLoss: number('scale.share of the loss'),
    always: number('scale.drift'),
  });
}

/** Water lost since the drying began, in draw i at a time [kg]: straight between the points of the curve. */
export function lostAt(dry: Assessment, i: number, time: number): number {
  const { axis, rows } = dry.traces['lost']!;
  const offset = axis.length * i;
  const at = Math.min(Math.max(time / (axis[1]! - axis[0]!), 0), axis.length - 1);
  const k = Math.min(Math.floor(at), axis.length - 2);
  return rows[offset + k]! + (at - k) * (rows[offset + k + 1]! - rows[offset + k]!);
}
