import type { Print } from '../../job.ts';

/** The campaign from the end of the drying on: waits and prints in turn, and the moments at which people look. */
export type Course = Readonly<{
  legs: readonly Leg[];
  /** Moments since the end of the drying [s], rising: both ends of each leg, and between them. */
  axis: Float64Array;
  /** Leg that a moment belongs to: a print has both its ends. */
  leg: Int32Array;
}>;

/** A stretch of waiting or of printing. `print`: its number, -1 while waiting. */
export type Leg = Readonly<{
  print: number;
  from: number;
  to: number;
  firstPoint: number;
  lastPoint: number;
}>;

/** Between two points of a curve, prints and waits [s]; and the first one inside a print, when the tube is drawn empty. */
const POINT_PRINT = 1800;
const POINT_WAIT = 3600;
const POINT_FIRST = 600;
/** A campaign of weeks keeps its curves short: so many points a leg at most. */
const POINTS_MOST = 48;

/**
 * Lays out the course of a campaign.
 * @throws RangeError for prints that overlap or run backwards: the caller's fault
 */
export function courseOf(prints: readonly Print[]): Course {
  const legs: Leg[] = [];
  const axis: number[] = [];
  const leg: number[] = [];
  let now = 0;
  const add = (print: number, to: number, inside: readonly number[]) => {
    // The moments that a wait shares with prints are theirs.
    const isPrint = print >= 0;
    const moments = [...(isPrint || now === 0 ? [now] : []), ...inside, ...(isPrint ? [to] : [])];
    legs.push({
      print,
      from: now,
      to,
      firstPoint: axis.length,
      lastPoint: axis.length + moments.length - 1,
    });
    axis.push(...moments);
    leg.push(...moments.map(() => legs.length - 1));
    now = to;
  };
  for (const [k, { start, time }] of prints.entries()) {
    if (!(start >= now && time > 0))
      throw new RangeError(`print ${k} starts at ${start} s, the last ended at ${now} s`);
    if (start > now) add(-1, start, between(now, start, POINT_WAIT));
    const inside = between(start, start + time, POINT_PRINT);
    const first = start + POINT_FIRST;
    add(k, start + time, first < (inside[0] ?? start + time) ? [first, ...inside] : inside);
  }
  return { legs, axis: Float64Array.from(axis), leg: Int32Array.from(leg) };
}

/** Even moments inside a stretch, about `wanted` apart. */
function between(from: number, to: number, wanted: number): number[] {
  const parts = Math.min(Math.max(1, Math.round((to - from) / wanted)), POINTS_MOST);
  return Array.from({ length: parts - 1 }, (_, i) => from + ((to - from) * (i + 1)) / parts);
}
