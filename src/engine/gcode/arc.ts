/** Ends and starts of an arc may lie apart by so much of the radius before the file is wrong. */
const CHORD_SLACK = 1.001;
const RADIUS_SLACK_MM = 0.05;
const RADIUS_SLACK_SHARE = 0.005;
/** Ends nearer than this are one point: with a centre it is a full circle. Far under what any machine resolves. */
const SAME_POINT_MM = 1e-6;

/** Centre, radius and sweep [rad, counter-clockwise positive]; kept by the caller and written over. */
export type ArcGeometry = { cx: number; cy: number; radius: number; sweep: number };

/**
 * Arc in XY by its centre, given from the start point. Source: ISO 6983-1 (from memory).
 *
 * @returns what is wrong, or null
 */
export function arcByCentre(
  into: ArcGeometry,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  i: number,
  j: number,
  clockwise: boolean,
): 'arc-centre' | 'arc-radius' | null {
  const cx = x0 + i;
  const cy = y0 + j;
  const radius = Math.hypot(i, j);
  if (radius === 0) return 'arc-centre';
  const away = Math.abs(Math.hypot(x1 - cx, y1 - cy) - radius);
  if (away > Math.max(RADIUS_SLACK_MM, RADIUS_SLACK_SHARE * radius)) return 'arc-radius';
  into.cx = cx;
  into.cy = cy;
  into.radius = radius;
  into.sweep = sweepOf(x0 - cx, y0 - cy, x1 - cx, y1 - cy, clockwise);
  if (Math.hypot(x1 - x0, y1 - y0) < SAME_POINT_MM) into.sweep = clockwise ? -2 * Math.PI : 2 * Math.PI;
  return null;
}

/**
 * Arc in XY by its radius: above 0 the arc up to half a turn, under 0 the longer one. Common practice, no source.
 *
 * @returns what is wrong, or null
 */
export function arcByRadius(
  into: ArcGeometry,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  r: number,
  clockwise: boolean,
): 'arc-centre' | 'arc-radius' | null {
  const dx = x1 - x0;
  const dy = y1 - y0;
  const chord = Math.hypot(dx, dy);
  const radius = Math.abs(r);
  // With both ends in one place a radius leaves the centre open.
  if (chord < SAME_POINT_MM) return 'arc-centre';
  if (chord > 2 * radius * CHORD_SLACK) return 'arc-radius';
  const height = Math.sqrt(Math.max(0, radius * radius - (chord * chord) / 4));
  // The centre lies left of the chord for the shorter way counter-clockwise and for the longer way clockwise.
  const side = clockwise === r < 0 ? 1 : -1;
  into.cx = (x0 + x1) / 2 - (side * height * dy) / chord;
  into.cy = (y0 + y1) / 2 + (side * height * dx) / chord;
  into.radius = Math.max(radius, chord / 2);
  into.sweep = sweepOf(x0 - into.cx, y0 - into.cy, x1 - into.cx, y1 - into.cy, clockwise);
  return null;
}

function sweepOf(ax: number, ay: number, bx: number, by: number, clockwise: boolean): number {
  const turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  if (clockwise) return turn > 0 ? turn - 2 * Math.PI : turn;
  return turn < 0 ? turn + 2 * Math.PI : turn;
}
