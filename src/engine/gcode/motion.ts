import { LookAhead } from './look-ahead.ts';

/**
 * Time of straight and curved moves of a machine that keeps one acceleration along its path.
 *
 *   vp^2 = min(v^2, a L + (vi^2 + vo^2)/2)                                                         [gcode-2]
 *   t    = (2 vp - vi - vo)/a + max(0, L - (2 vp^2 - vi^2 - vo^2)/(2 a))/vp                        [gcode-3]
 *
 * Entry and exit must be within reach of each other: |vi^2 - vo^2| <= 2 a L.
 *
 * @param length  L [mm], > 0
 * @param speed   v [mm/s], > 0
 * @param accel   a [mm/s2], > 0
 * @param entry   vi [mm/s], 0 .. v
 * @param exit    vo [mm/s], 0 .. v
 * @returns seconds, and the highest speed reached [mm/s]
 * @throws RangeError on arguments outside these bounds
 * Source: analytic, the trapezoid of constant acceleration.
 */
export function moveTime(
  length: number,
  speed: number,
  accel: number,
  entry: number,
  exit: number,
): { time: number; peak: number } {
  if (!(length > 0 && speed > 0 && accel > 0))
    throw new RangeError('length, speed and acceleration must be above 0');
  if (!(entry >= 0 && entry <= speed && exit >= 0 && exit <= speed))
    throw new RangeError(`entry ${entry} and exit ${exit} must lie between 0 and the speed ${speed}`);
  const reach = 2 * accel * length;
  if (Math.abs(entry ** 2 - exit ** 2) > reach * (1 + 1e-9))
    throw new RangeError(`from ${entry} to ${exit} mm/s takes more than ${length} mm at ${accel} mm/s2`);
  const peak = Math.sqrt(Math.min(speed ** 2, accel * length + (entry ** 2 + exit ** 2) / 2));
  const ramps = (2 * peak ** 2 - entry ** 2 - exit ** 2) / (2 * accel);
  return { time: (2 * peak - entry - exit) / accel + Math.max(0, length - ramps) / peak, peak };
}

/** No limit where the path turns by less than this (1.4 mrad), a full stop where it turns back by as little. */
export const STRAIGHT = 0.999999;

/**
 * Square of the speed through a corner: the circle that touches both legs and misses the corner by delta.
 *
 *   vj^2 = a delta s/(1 - s),  s = cos(T/2)                                                        [gcode-4]
 *
 * @param accel      a, the lesser of both moves [mm/s2]
 * @param delta      corner rounding [mm]
 * @param cosineTurn cos T of the turn: 1 straight on, -1 straight back
 * @returns vj^2 [mm2/s2], Infinity where the path goes straight on
 */
export function cornerSpeedSquared(accel: number, delta: number, cosineTurn: number): number {
  if (cosineTurn > STRAIGHT) return Infinity;
  if (cosineTurn < -STRAIGHT) return 0;
  const s = Math.sqrt((1 + cosineTurn) / 2);
  return (accel * delta * s) / (1 - s);
}

/**
 * Time along a polyline from rest to rest, with corner limits and look-ahead.
 *
 * @param points at least two, in mm; points on one another are passed over
 * @returns seconds
 */
export function pathTime(
  points: readonly (readonly number[])[],
  speed: number,
  accel: number,
  delta: number,
): number {
  const ahead = new LookAhead();
  let time = 0;
  let before: readonly [number, number, number] | null = null;
  for (let k = 1; k < points.length; k++) {
    const way = [0, 1, 2].map((axis) => (points[k]![axis] ?? 0) - (points[k - 1]![axis] ?? 0));
    const length = Math.hypot(...way);
    if (length === 0) continue;
    const unit = [way[0]! / length, way[1]! / length, way[2]! / length] as const;
    const cosine = before ? unit[0] * before[0] + unit[1] * before[1] + unit[2] * before[2] : -1;
    ahead.add(length, speed, accel, Math.min(speed ** 2, cornerSpeedSquared(accel, delta, cosine)));
    before = unit;
    if (ahead.full) time += sum(ahead, ahead.settle(false));
  }
  time += sum(ahead, ahead.settle(true));
  return time;
}

function sum(ahead: LookAhead, count: number): number {
  let time = 0;
  for (let k = 0; k < count; k++) time += ahead.dt[k]!;
  ahead.drop(count);
  return time;
}
