import { placedWeighings } from '../engine/links/weighings.ts';
import { roundingSd } from '../engine/moisture/weigh-in.ts';
import type { Entry, Job, Law } from '../job.ts';

/**
 * The job with the strand that the scale says is on the spool, where the person gave the weight of the empty spool: a
 * weighing replaces net less what was printed. The last reading before the first print counts, when the strand is
 * driest; else the first one after, with what the prints before it took by their files. The tenths of a per cent of
 * water in it are less than the empty weight is known to.
 */
export function withWeighedStrand(job: Job): Job {
  const entry = job.entries['spool.strand left'];
  const empty = job.entries['spool.empty weight'];
  if (!entry || entry.from === 'campaign' || empty?.from !== 'campaign') return job;
  const reading = readingOf(job);
  if (reading === null) return job;
  const value = reading - numberOf(empty);
  if (!(value > 0)) return job;
  const scale = roundingSd(number(job, 'scale.resolution')) + number(job, 'scale.drift');
  const law: Law = { kind: 'normal', sd: Math.hypot(sdOf(empty), scale), low: value / 2, high: 2 * value };
  return {
    ...job,
    entries: { ...job.entries, 'spool.strand left': { ...entry, value, law, from: 'campaign' } },
  };
}

/** Weight of the spool as it stood before the first print [kg]. */
function readingOf(job: Job): number | null {
  const dried = job.drying.weighings.at(-1);
  if (dried) return dried.mass;
  const first = placedWeighings(job)[0];
  if (!first) return null;
  const purge = number(job, 'path.purge');
  return job.prints.slice(0, first.done).reduce((sum, { mass }) => sum + mass + purge, first.mass);
}

function number(job: Job, key: string): number {
  const entry = job.entries[key];
  return entry ? numberOf(entry) : 0;
}

function numberOf({ key, value }: Entry): number {
  if (typeof value !== 'number') throw new Error(`"${key}" has no single value`);
  return value;
}

/** One standard deviation of an entry [SI]. */
function sdOf(entry: Entry): number {
  const { law } = entry;
  switch (law.kind) {
    case 'normal':
      return law.sd;
    case 'factor':
      return numberOf(entry) * Math.log(law.factor);
    case 'even':
      return (law.high - law.low) / Math.sqrt(12);
    case 'triangle':
      return (law.high - law.low) / Math.sqrt(24);
    default:
      return 0;
  }
}
