import { normalQuantile } from '../numerics/normal.ts';
import { hashText, stratifiedPoint } from '../numerics/random.ts';
import { CHAMBER_SD, contactSpreads, hotEndSpreads, type Spread } from './kernel-defaults.ts';
import { caseOf, contactValues, hotEndValues, type JobInput } from './kernel-inputs.ts';
import type { Case } from './model.ts';
import { shifted } from './parameters.ts';

/** Value of an entry in a draw, from its column of even places in (0, 1). */
function drawn(value: number, spread: Spread | undefined, place: number): number {
  if (!spread) return value;
  if (spread.law === 'even') return spread.from + (spread.to - spread.from) * place;
  const u = normalQuantile(place);
  return spread.law === 'normal' ? value + spread.sd * u : value * Math.exp(spread.ln * u);
}

/** Draw number i of a job; a value that the job names is certain. Columns are keyed by seed and name alone. */
export function drawnCase(job: JobInput, seed: number, i: number): Case {
  const place = (name: string) => stratifiedPoint(i, hashText(`${seed}|${name}`));
  const all = <T extends object>(
    values: T,
    spreads: Readonly<Record<string, Spread | undefined>>,
    given: object,
  ) =>
    Object.fromEntries(
      Object.entries(values).map(([key, value]) => [
        key,
        (given as Record<string, unknown>)[key] === undefined
          ? drawn(value as number, spreads[key], place(key))
          : value,
      ]),
    ) as T;
  const c = caseOf(
    job,
    all(hotEndValues(job.hotEnd), hotEndSpreads, job.hotEnd),
    all(contactValues(job.contact), contactSpreads, job.contact),
  );
  const chamber = shifted(c.surroundings.chamber, CHAMBER_SD * normalQuantile(place('chamber')));
  return { ...c, surroundings: { ...c.surroundings, chamber } };
}
