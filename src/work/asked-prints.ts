import { Temporal } from 'temporal-polyfill';
import { barShape, barVolume } from '../engine/bars/shapes.ts';
import { type Hours, nextAttended } from '../engine/hours/attended.ts';
import { startsOf } from '../engine/hours/starts.ts';
import type { Job, Plate, Print } from '../job.ts';
import type { ReadPlate } from './prints.ts';
import { withWeighedStrand } from './weighed-spool.ts';

/** A print of which nobody knows how long it takes and how fast it flows: common practice, no source. */
export const ASSUMED_TIME = 4 * 3600;
const ASSUMED_FLOW = 6e-9;

/** The job with what its plates ask of the strand, and when they start. */
export function withPrints(job: Job, plates: readonly ReadPlate[]): Job {
  const density = job.entries['strand.density']?.value;
  if (typeof density !== 'number') return job;
  const asked =
    plates.length > 0
      ? plates.map((plate) => askedBy(job, plate, density))
      : [assumed('all bars', groupsVolume(job), density)];
  const starts = startsOf(
    asked.map(({ time }) => time),
    ...clockOf(job),
  );
  return withWeighedStrand({
    ...job,
    prints: asked.map((print, k) => ({ ...print, start: starts[k]! })),
  });
}

type Asked = Omit<Print, 'start'>;

/** Strand, time and mean flow of one plate: from its file, from what the campaign says of it, or assumed. */
function askedBy(job: Job, { plate, print }: ReadPlate, density: number): Asked {
  const laid = (print?.totals.laidMm3 ?? 0) * 1e-9;
  const time = print?.totals.timeS ?? 0;
  if (laid > 0 && time > 0)
    return { plate: plate.name, time, mass: laid * density, flow: laid / time, from: 'file' };
  const volume = barsVolume(job, plate);
  if (plate.print?.kind === 'made' && volume > 0) {
    const { flow } = plate.print;
    return { plate: plate.name, time: volume / flow, mass: volume * density, flow, from: 'made' };
  }
  return assumed(plate.name, volume, density);
}

function assumed(plate: string, volume: number, density: number): Asked {
  const laid = volume > 0 ? volume : ASSUMED_FLOW * ASSUMED_TIME;
  return { plate, time: ASSUMED_TIME, mass: laid * density, flow: laid / ASSUMED_TIME, from: 'assumed' };
}

/** Of the bars whose group is known [m3]; supports, lines and brims are not known before there is a file. */
function barsVolume(job: Job, plate: Plate): number {
  return plate.bars.reduce((sum, bar) => {
    const group = job.groups.find(({ name }) => name === bar.group);
    return sum + volumeOf(group?.bar);
  }, 0);
}

function groupsVolume(job: Job): number {
  return job.groups.reduce((sum, group) => sum + group.bars * volumeOf(group.bar), 0);
}

function volumeOf(bar: string | undefined): number {
  const shape = bar === undefined ? undefined : barShape(bar);
  return shape ? barVolume(shape) : 0;
}

const DAY = 86_400;

/**
 * The end of the drying on a clock from midnight of a Monday on, and the hours of people on it. The drying begins when
 * the events say so. Where none is booked, it begins with the first attended moment of a week: the first one in which
 * days off are named, since the longest waits are those that a plan must stand.
 */
function clockOf(job: Job): [ready: number, hours: Hours | null] {
  const { people, drying, dryingBegan: began } = job;
  if (!people || people.there.length === 0) return [drying.time, null];
  const local = began && Temporal.Instant.from(began).toZonedDateTimeISO(people.zone).toPlainDateTime();
  const first = local ?? [...people.away].sort().map((day) => Temporal.PlainDate.from(day))[0];
  const monday = first && Temporal.PlainDate.from(first).subtract({ days: first.dayOfWeek - 1 });
  const away = monday
    ? people.away
        .map((day) => Temporal.PlainDate.from(day).since(monday, { largestUnit: 'days' }).days)
        .filter((day) => day >= 0)
    : [];
  const hours = { there: people.there, away };
  const since = local
    ? (local.dayOfWeek - 1) * DAY + local.hour * 3600 + local.minute * 60 + local.second
    : (nextAttended(hours, 0) ?? 0);
  return [since + drying.time, hours];
}
