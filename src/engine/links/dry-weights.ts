import type { Job } from '../../job.ts';
import { roundingSd, type Weights, weighDraws } from '../moisture/weigh-in.ts';
import type { Assessment, LinkName } from './link.ts';
import { placedWeighings } from './weighings.ts';

/**
 * What the weighings say of the draws [moisture-21], those of the drying and those after it; null where no two were made
 * with the same strand on the spool, since a loss needs a weight to start from. Readings with a print between them say
 * what it took (`weighings.ts`), not how much water.
 *
 * @param stayDry where it is there: what the scale shows in the box and between prints
 */
export function weightsOfWeighings(job: Job, dry: Assessment, stayDry?: Assessment): Weights | null {
  const readings: Reading[] = [
    ...job.drying.weighings.map(({ at, mass }) => ({
      mass,
      done: 0,
      lighter: (i: number) => lostAt(dry, i, at),
    })),
    ...(stayDry ? placedWeighings(job) : []).flatMap(({ at, mass, done }) =>
      at === null
        ? []
        : [
            {
              mass,
              done,
              lighter: (i: number) => lostAt(dry, i, job.drying.time) + lighterAt(stayDry!, i, at),
            },
          ],
    ),
  ];
  const pairs = readings.flatMap((reading) => {
    const first = readings.find(({ done }) => done === reading.done)!;
    return first === reading ? [] : [{ first, reading }];
  });
  if (pairs.length === 0) return null;
  const count = dry.figures['start water']!.length;
  const foretold = new Float64Array(pairs.length * count);
  for (let i = 0; i < count; i++)
    for (const [k, { first, reading }] of pairs.entries())
      foretold[k + pairs.length * i] = reading.lighter(i) - first.lighter(i);
  const lost = pairs.map(({ first, reading }) => first.mass - reading.mass);
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

/** Weights of the draws by all that was weighed, as the links are there; `even` where no draw agrees with it. */
export function weightsAfter(
  job: Job,
  found: Readonly<Partial<Record<LinkName, Assessment>>>,
  even: Float64Array,
): Float64Array {
  const told = found.Dry ? weightsOfWeighings(job, found.Dry, found['Stay dry']) : null;
  return told?.believable ? told.weights : even;
}

/** A reading with the prints that had come off, and how much lighter draw i foretells it since the drying began [kg]. */
type Reading = Readonly<{ mass: number; done: number; lighter(i: number): number }>;

/** How much lighter the spool is than at the end of the drying, in draw i at a moment of the course [kg]. */
export function lighterAt(stayDry: Assessment, i: number, time: number): number {
  const { axis, rows } = stayDry.traces['lighter']!;
  const offset = axis.length * i;
  let k = 0;
  while (k < axis.length - 2 && axis[k + 1]! < time) k++;
  const [from, to] = [axis[k]!, axis[k + 1] ?? axis[k]!];
  const share = to > from ? Math.min(Math.max((time - from) / (to - from), 0), 1) : 0;
  return rows[offset + k]! + share * ((rows[offset + k + 1] ?? 0) - rows[offset + k]!);
}

/** Water lost since the drying began, in draw i at a time [kg]: straight between the points of the curve. */
export function lostAt(dry: Assessment, i: number, time: number): number {
  const { axis, rows } = dry.traces['lost']!;
  const offset = axis.length * i;
  const at = Math.min(Math.max(time / (axis[1]! - axis[0]!), 0), axis.length - 1);
  const k = Math.min(Math.floor(at), axis.length - 2);
  return rows[offset + k]! + (at - k) * (rows[offset + k + 1]! - rows[offset + k]!);
}
