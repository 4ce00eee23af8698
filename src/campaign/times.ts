import { Temporal } from 'temporal-polyfill';
import { nearest } from '../cards/nearest.ts';
import { type Reading, read, refuse } from '../units.ts';

/** Days, hours and zones as people write them. Times without a zone are those of the person's clock. */

const DAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'];

/** A day, "2027-03-12". */
export function parseDate(text: string): Reading<string> {
  const expected = 'a day, such as 2027-03-12';
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return refuse(`"${text}" is not a day.`, expected);
  try {
    return read(Temporal.PlainDate.from(text, { overflow: 'reject' }).toString());
  } catch {
    return refuse(`"${text}" is not in the calendar.`, expected);
  }
}

/** Longest stretch of days off that is written out. */
const MOST_DAYS_OFF = 400;

/** A day, or "2027-03-01 .. 2027-03-05" with all days between, ends included. */
export function parseDates(text: string): Reading<readonly string[]> {
  const [from, to, ...more] = text.split(/\s*\.\.\s*/);
  if (more.length > 0) return refuse(`"${text}" is not a stretch of days.`, '2027-03-01 .. 2027-03-05');
  const first = parseDate(from ?? '');
  if (!first.ok || to === undefined) return first.ok ? read([first.value]) : first;
  const last = parseDate(to);
  if (!last.ok) return last;
  const days: string[] = [];
  let day = Temporal.PlainDate.from(first.value);
  while (Temporal.PlainDate.compare(day, last.value) <= 0 && days.length <= MOST_DAYS_OFF) {
    days.push(day.toString());
    day = day.add({ days: 1 });
  }
  if (days.length === 0) return refuse(`"${text}" goes backwards.`, 'the earlier day first');
  return days.length <= MOST_DAYS_OFF
    ? read(days)
    : refuse(`"${text}" is more than ${MOST_DAYS_OFF} days.`, 'a shorter stretch');
}

/** "mon-fri", "sat", "mon, wed", "every day": days of the week, 1 is Monday. */
export function parseDays(text: string): Reading<readonly number[]> {
  const expected = '"mon-fri", "sat", "mon, wed" or "every day"';
  const said = text.trim().toLowerCase();
  if (said === 'every day') return read([1, 2, 3, 4, 5, 6, 7]);
  const days = new Set<number>();
  for (const part of said.split(/\s*,\s*/)) {
    const ends = part.split(/\s*-\s*/).map((word) => DAYS.indexOf(word));
    const [from = -1, to = from] = ends;
    if (ends.length > 2 || from < 0 || to < 0) return refuse(`"${text}" names no days.`, expected);
    // "sat-mon" goes over the end of the week.
    for (let day = from; ; day = (day + 1) % 7) {
      days.add(day + 1);
      if (day === to) break;
    }
  }
  return read([...days].sort((a, b) => a - b));
}

/** Name of a zone of the time zone database, such as "Europe/Vienna". */
export function parseZone(text: string): Reading<string> {
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone: text });
    return read(text);
  } catch {
    const near = nearest(text, Intl.supportedValuesOf('timeZone'));
    return refuse(
      `"${text}" is not a time zone.`,
      near ? `"${near}"` : 'a place of the time zone database, such as "Europe/Vienna"',
    );
  }
}

const MOMENT = /^(\d{4}-\d{2}-\d{2})[ T](\d{2}:\d{2}(?::\d{2})?)\s*(Z|[+-]\d{2}:\d{2})?$/;

/** A point in time as written: "2027-03-02 08:18", with or without an offset at its end. */
export function parseMoment(text: string): Reading<string> {
  const expected = 'a day and a time, such as "2027-03-02 08:18"';
  const match = MOMENT.exec(text.trim());
  if (!match) return refuse(`"${text}" is not a point in time.`, expected);
  try {
    Temporal.PlainDateTime.from(`${match[1]}T${match[2]}`, { overflow: 'reject' });
    return read(text.trim());
  } catch {
    return refuse(`"${text}" is not in the calendar.`, expected);
  }
}

/** True where the written moment needs the person's zone. */
export function needsZone(moment: string): boolean {
  return MOMENT.exec(moment)?.[3] === undefined;
}

/**
 * A written moment as an instant in ISO text, UTC. In the hour that comes twice in autumn the first is meant; in the
 * hour that is left out in spring the time is moved forward by it.
 */
export function instantOf(moment: string, zone: string): string {
  const [, day, time, offset] = MOMENT.exec(moment)!;
  if (offset !== undefined) return Temporal.Instant.from(`${day}T${time}${offset}`).toString();
  return Temporal.PlainDateTime.from(`${day}T${time}`).toZonedDateTime(zone).toInstant().toString();
}

/** Seconds from one instant to another, both in ISO text. */
export function secondsBetween(from: string, to: string): number {
  return Temporal.Instant.from(to).since(Temporal.Instant.from(from)).total('seconds');
}
