/**
 * Outlines moved inwards or outwards by a distance. Every edge is shifted; where that opens a gap at a corner it is
 * bridged by tangents, where edges overlap the line goes back by the corner itself. The closed line so made runs
 * once, the right way round, about what remains, and the wrong way or not at all about the rest: cut where it
 * crosses itself, only pieces between the two are kept and strung together. So a neck narrower than twice the
 * distance parts into rings, and an outline too narrow everywhere gives none.
 * Cost: square of the number of edges. Outlines are simple, without holes.
 */
import { type Point, type Ring, ringArea } from '../bars/outline.ts';

/** A corner is bridged by one tangent for each such turn, so no bridge reaches further out than 1/cos(turn/2). */
const turnMost = Math.PI / 2;
/** Relative to the distance: how far beside a piece its two sides are looked at. */
const beside = 1e-5;
/** Relative to the distance: ends nearer than this are the same point. */
const sameEnd = 1e-4;
/** Relative to the square of the distance: rings smaller than this are the trace of an edge run both ways. */
const areaLeast = 1e-3;

type Piece = { x0: number; y0: number; x1: number; y1: number };

/**
 * Rings at the distance inside an outline (outside it where the distance is negative), counter-clockwise.
 *
 * @param ring      either way round; any unit of length, also that of the distance
 * @param distance  inwards positive
 */
export function inset(ring: Ring, distance: number): Ring[] {
  const outline = counterClockwise(ring);
  if (distance === 0 || outline.length < 3) return outline.length < 3 ? [] : [outline];
  const apart = Math.abs(distance);
  const line = shifted(outline, distance);
  const pieces = cut(line).filter((piece) => {
    const x = (piece.x0 + piece.x1) / 2;
    const y = (piece.y0 + piece.y1) / 2;
    const step = (apart * beside) / Math.hypot(piece.x1 - piece.x0, piece.y1 - piece.y0);
    const dx = (piece.y0 - piece.y1) * step;
    const dy = (piece.x1 - piece.x0) * step;
    return turnsAbout(line, x + dx, y + dy) > 0 && turnsAbout(line, x - dx, y - dy) <= 0;
  });
  return strung(pieces, apart * sameEnd).filter((found) => ringArea(found) > areaLeast * apart * apart);
}

function counterClockwise(ring: Ring): Ring {
  const points = ring.filter((point, i) => {
    const next = ring[(i + 1) % ring.length]!;
    return point[0] !== next[0] || point[1] !== next[1];
  });
  return ringArea(points) < 0 ? points.reverse() : points;
}

/** The shifted edges with their bridges, as one closed line that may cross itself. */
function shifted(outline: Ring, distance: number): Point[] {
  const count = outline.length;
  const angles = outline.map(([x, y], i) => {
    const [nextX, nextY] = outline[(i + 1) % count]!;
    return Math.atan2(nextY - y, nextX - x);
  });
  const line: Point[] = [];
  for (let i = 0; i < count; i++) {
    const [x, y] = outline[i]!;
    const before = angles[(i + count - 1) % count]!;
    const turn = wrapped(angles[i]! - before);
    // Left normal of the edge at an angle: (-sin, cos), inwards when counter-clockwise.
    if (turn * distance < 0) {
      const bridges = Math.ceil(Math.abs(turn) / turnMost);
      const half = turn / bridges / 2;
      const far = distance / Math.cos(half);
      line.push([x - distance * Math.sin(before), y + distance * Math.cos(before)]);
      for (let k = 0; k < bridges; k++) {
        const angle = before + (2 * k + 1) * half;
        line.push([x - far * Math.sin(angle), y + far * Math.cos(angle)]);
      }
    } else {
      line.push([x - distance * Math.sin(before), y + distance * Math.cos(before)]);
      if (turn !== 0) line.push([x, y]);
    }
    line.push([x - distance * Math.sin(angles[i]!), y + distance * Math.cos(angles[i]!)]);
  }
  return line;
}

function wrapped(angle: number): number {
  if (angle > Math.PI) return angle - 2 * Math.PI;
  return angle <= -Math.PI ? angle + 2 * Math.PI : angle;
}

/** How often a closed line runs about a point, counter-clockwise positive. */
function turnsAbout(line: readonly Point[], x: number, y: number): number {
  let turns = 0;
  let [ax, ay] = line.at(-1)!;
  for (const [bx, by] of line) {
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) turns += by > ay ? 1 : -1;
    ax = bx;
    ay = by;
  }
  return turns;
}

/** A closed line cut at each of its own crossings, in the direction it runs. */
function cut(line: readonly Point[]): Piece[] {
  const count = line.length;
  const cuts: { at: number; x: number; y: number }[][] = line.map(() => []);
  for (let i = 0; i < count; i++) {
    const [ax, ay] = line[i]!;
    const [bx, by] = line[(i + 1) % count]!;
    for (let j = i + 1; j < count; j++) {
      const [cx, cy] = line[j]!;
      const [dx, dy] = line[(j + 1) % count]!;
      if (Math.max(ax, bx) < Math.min(cx, dx) || Math.max(cx, dx) < Math.min(ax, bx)) continue;
      if (Math.max(ay, by) < Math.min(cy, dy) || Math.max(cy, dy) < Math.min(ay, by)) continue;
      const across = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx);
      if (across === 0) continue;
      const s = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / across;
      const t = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / across;
      if (s < 0 || s > 1 || t < 0 || t > 1) continue;
      const x = ax + s * (bx - ax);
      const y = ay + s * (by - ay);
      cuts[i]!.push({ at: s, x, y });
      cuts[j]!.push({ at: t, x, y });
    }
  }
  const pieces: Piece[] = [];
  for (let i = 0; i < count; i++) {
    let [x0, y0] = line[i]!;
    const [endX, endY] = line[(i + 1) % count]!;
    const stops = cuts[i]!.sort((a, b) => a.at - b.at);
    for (const { x, y } of [...stops, { x: endX, y: endY }]) {
      if (x !== x0 || y !== y0) pieces.push({ x0, y0, x1: x, y1: y });
      x0 = x;
      y0 = y;
    }
  }
  return pieces;
}

/** Pieces strung end to start; what does not close is dropped. */
function strung(pieces: readonly Piece[], near: number): Ring[] {
  const left = pieces.filter(({ x0, y0, x1, y1 }) => Math.hypot(x1 - x0, y1 - y0) > near);
  const rings: Ring[] = [];
  while (left.length > 0) {
    const first = left.shift()!;
    const ring: Point[] = [[first.x0, first.y0]];
    let { x1: x, y1: y } = first;
    for (;;) {
      if (Math.hypot(x - first.x0, y - first.y0) <= near) {
        if (ring.length >= 3) rings.push(ring);
        break;
      }
      const next = left.findIndex((piece) => Math.hypot(piece.x0 - x, piece.y0 - y) <= near);
      if (next < 0) break;
      const [piece] = left.splice(next, 1);
      ring.push([piece!.x0, piece!.y0]);
      x = piece!.x1;
      y = piece!.y1;
    }
  }
  return rings.map(straightened);
}

/** Without the points that lie on the line of their neighbours. */
function straightened(ring: Ring): Ring {
  return ring.filter(([x, y], i) => {
    const [px, py] = ring[(i + ring.length - 1) % ring.length]!;
    const [nx, ny] = ring[(i + 1) % ring.length]!;
    const before = Math.hypot(x - px, y - py);
    const after = Math.hypot(nx - x, ny - y);
    return Math.abs((x - px) * (ny - y) - (y - py) * (nx - x)) > 1e-9 * before * after;
  });
}

/** Least distance of a point from the edges of a ring. */
export function distanceTo(ring: Ring, x: number, y: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < ring.length; i++) {
    const [ax, ay] = ring[i]!;
    const [bx, by] = ring[(i + 1) % ring.length]!;
    const length = (bx - ax) ** 2 + (by - ay) ** 2;
    const along = length === 0 ? 0 : ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length;
    const at = Math.min(1, Math.max(0, along));
    least = Math.min(least, (x - ax - at * (bx - ax)) ** 2 + (y - ay - at * (by - ay)) ** 2);
  }
  return Math.sqrt(least);
}

/** Whether a point lies inside a ring, by crossings of a ray. */
export function contains(ring: Ring, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0; i < ring.length; i++) {
    const [ax, ay] = ring[i]!;
    const [bx, by] = ring[(i + 1) % ring.length]!;
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
  }
  return inside;
}
