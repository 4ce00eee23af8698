import type { Piece } from '../way.ts';
import type { Box } from './labels.ts';

/**
 * Where the strand's way runs in its picture. Bends have their true radius and angle on one scale, short tubes their
 * true length; a long tube is broken in its middle. Pure: pieces in, millimetres out.
 */
export type Point = readonly [x: number, y: number];
/** One point of the way: where it is drawn, and how far along the tube it is [m]; null inside the box. */
export type Step = Readonly<{ at: Point; along: number | null }>;
export type Drawn = Readonly<{
  /** Index among the pieces; -1 for the straight bits that no piece stands for. */
  piece: number;
  steps: readonly Step[];
  /** Middle of the piece, and the way outwards from there: away from a bend's centre, beside a tube. */
  middle: Point;
  outwards: Point;
  isTurn: boolean;
  /** A tube that is drawn shorter than it is: the points between which it is broken. */
  broken: readonly [Point, Point] | null;
}>;
export type Layout = Readonly<{
  drawn: readonly Drawn[];
  box: Box;
  exit: Point;
  end: Point;
  /** Direction at the end, rad. */
  heading: number;
  bounds: Box;
}>;

/** Tubes longer than this are broken [mm]; the first and last half of it are true. */
export const TUBE_MOST = 150;
/** Straight bits: inside the box, out of it, and before the drive [mm]. */
const INSIDE = 34;
const OUT = 14;
const LAST = 26;
const GAP = 10;
const STEP_TUBE = 4;
const STEP_TURN = Math.PI / 36;
/** From the strand to the walls of the box [mm]. */
const WALL = 16;

export function layWay(pieces: readonly Piece[], downwards: boolean): Layout {
  const ahead = downwards ? Math.PI / 2 : 0;
  const drawn: Drawn[] = [];
  const firstTube = pieces.findIndex(({ kind }) => kind === 'tube');
  const lastTube = pieces.findLastIndex(({ kind }) => kind === 'tube');
  // Bends in the box turn to and fro; it is laid so that the tube leaves it straight ahead.
  const inBox = pieces
    .slice(0, Math.max(firstTube, 0))
    .map((piece) => (piece.kind === 'bend' ? piece.angle : 0));
  let at: Point = [0, 0];
  let heading = ahead - inBox.reduce((sum, angle, k) => sum + (k % 2 === 0 ? angle : -angle), 0);
  let along: number | null = null;
  let turnedBy = 1;
  const forward = (from: Point, by: number): Point => [
    from[0] + by * Math.cos(heading),
    from[1] + by * Math.sin(heading),
  ];
  const straight = (piece: number, length: number, metres: number, gap: readonly [number, number] | null) => {
    const start = at;
    const count = Math.max(1, Math.ceil(length / STEP_TUBE));
    const steps: Step[] = [];
    for (let k = 0; k <= count; k++) {
      const by = (length * k) / count;
      // Beyond the break, lengths count from the far end.
      const mm = gap && by > length / 2 ? metres * 1000 - (length - by) : by;
      steps.push({
        at: forward(start, by),
        along: along === null ? null : along + Math.min(mm / 1000, metres),
      });
    }
    drawn.push({
      piece,
      steps,
      middle: forward(start, length / 2),
      outwards: [Math.sin(heading), -Math.cos(heading)],
      isTurn: false,
      broken: gap ? [forward(start, gap[0]), forward(start, gap[1])] : null,
    });
    at = forward(start, length);
    if (along !== null) along += metres;
  };
  const turn = (piece: number, radius: number, angle: number) => {
    // The side is not told: the one that leads on is drawn.
    const off = (sign: number) => Math.abs(wrapped(heading + sign * angle - ahead));
    const onwards = Math.abs(off(1) - off(-1)) < 1e-9 ? turnedBy : off(1) < off(-1) ? 1 : -1;
    const sign = piece < firstTube ? (piece % 2 === 0 ? 1 : -1) : onwards;
    if (piece > firstTube) turnedBy = -sign;
    const centre: Point = [
      at[0] - radius * sign * Math.sin(heading),
      at[1] + radius * sign * Math.cos(heading),
    ];
    const pointAt = (by: number): Point => {
      const h = heading + sign * by;
      return [centre[0] + radius * sign * Math.sin(h), centre[1] - radius * sign * Math.cos(h)];
    };
    const count = Math.max(4, Math.ceil(angle / STEP_TURN));
    const steps = Array.from({ length: count + 1 }, (_, k) => ({ at: pointAt((angle * k) / count), along }));
    const middle = pointAt(angle / 2);
    drawn.push({
      piece,
      steps,
      middle,
      outwards: [(middle[0] - centre[0]) / radius, (middle[1] - centre[1]) / radius],
      isTurn: true,
      broken: null,
    });
    at = pointAt(angle);
    heading += sign * angle;
  };

  straight(-1, INSIDE, 0, null);
  let box: Box | null = null;
  let exit: Point = at;
  for (const [k, piece] of pieces.entries()) {
    if (k === firstTube) {
      straight(-1, OUT, 0, null);
      exit = at;
      box = around(drawn, heading);
      along = 0;
    }
    if (piece.kind === 'bend') turn(k, 1000 * piece.radius, piece.angle);
    else {
      const mm = 1000 * piece.length;
      const length = Math.min(mm, TUBE_MOST);
      straight(
        k,
        length,
        piece.length,
        mm > TUBE_MOST ? [(TUBE_MOST - GAP) / 2, (TUBE_MOST + GAP) / 2] : null,
      );
    }
    if (k === lastTube && k === pieces.length - 1) break;
  }
  straight(-1, LAST, 0, null);
  const whole = box ?? around(drawn, heading);
  const bounds = [...drawn.flatMap(({ steps }) => steps.map((step) => step.at))].reduce<Box>(
    (sum, [x, y]) => ({
      left: Math.min(sum.left, x),
      right: Math.max(sum.right, x),
      top: Math.min(sum.top, y),
      bottom: Math.max(sum.bottom, y),
    }),
    whole,
  );
  return { drawn, box: whole, exit, end: at, heading, bounds };
}

/** The box's walls: round what lies in it; the strand leaves through the one that it heads for. */
function around(drawn: readonly Drawn[], heading: number): Box {
  const points = drawn.flatMap(({ steps }) => steps.map((step) => step.at));
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const [ahead, down] = [Math.cos(heading), Math.sin(heading)];
  const sideways = Math.abs(ahead) >= Math.abs(down) - 1e-9;
  return {
    left: Math.min(...xs) - (sideways && ahead < 0 ? 0 : WALL),
    right: Math.max(...xs) + (sideways && ahead > 0 ? 0 : WALL),
    top: Math.min(...ys) - (!sideways && down < 0 ? 0 : WALL),
    bottom: Math.max(...ys) + (!sideways && down > 0 ? 0 : WALL),
  };
}

function wrapped(angle: number): number {
  return Math.atan2(Math.sin(angle), Math.cos(angle));
}

/**
 * Pushes boxes of one size apart and off the points that nothing should cover, each as little as it can, inside a
 * frame; where there is no room for all, some still meet.
 */
export function spreadOut(
  wanted: readonly Point[],
  size: readonly [number, number],
  frame: Box,
  gap: number,
  keepOff: readonly Point[] = [],
): Point[] {
  const [w, h] = size;
  const placed = wanted.map(([x, y]): [number, number] => [x, y]);
  const clamp = (p: [number, number]) => {
    p[0] = Math.min(Math.max(p[0], frame.left + w / 2), frame.right - w / 2);
    p[1] = Math.min(Math.max(p[1], frame.top + h / 2), frame.bottom - h / 2);
  };
  for (const p of placed) clamp(p);
  for (let round = 0; round < ROUNDS_MOST; round++) {
    let moved = false;
    // Where both cannot be had, words that can be read go before a strand that can be seen.
    for (const p of round < ROUNDS_MOST / 2 ? placed : []) {
      const off = wayOff(p, [w / 2 + gap / 2, h / 2 + gap / 2], frame, size, keepOff);
      if (off === null) continue;
      moved = true;
      p[0] += off[0];
      p[1] += off[1];
      clamp(p);
    }
    for (let i = 0; i < placed.length; i++)
      for (let j = i + 1; j < placed.length; j++) {
        const [a, b] = [placed[i]!, placed[j]!];
        const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
        const [overX, overY] = [w + gap - Math.abs(dx), h + gap - Math.abs(dy)];
        if (overX <= 0 || overY <= 0) continue;
        moved = true;
        // Along the shorter way out; what stands exactly above each other parts downwards.
        const axis = overX < overY ? 0 : 1;
        const by = (Math.min(overX, overY) / 2 + 0.01) * ((axis === 0 ? dx : dy) < 0 ? -1 : 1);
        a[axis] -= by;
        b[axis] += by;
        clamp(a);
        clamp(b);
      }
    if (!moved) break;
  }
  return placed;
}
const ROUNDS_MOST = 200;

/** The shortest move that takes a box off the points in it and keeps it in the frame; null where none lies in it. */
function wayOff(
  [x, y]: Point,
  [halfW, halfH]: readonly [number, number],
  frame: Box,
  [w, h]: readonly [number, number],
  points: readonly Point[],
): Point | null {
  const inside = points.filter(([px, py]) => Math.abs(px - x) < halfW && Math.abs(py - y) < halfH);
  if (inside.length === 0) return null;
  const [xs, ys] = [inside.map(([px]) => px), inside.map(([, py]) => py)];
  const moves: Point[] = [
    [Math.max(...xs) + halfW - x, 0],
    [Math.min(...xs) - halfW - x, 0],
    [0, Math.max(...ys) + halfH - y],
    [0, Math.min(...ys) - halfH - y],
  ];
  const isIn = ([dx, dy]: Point) =>
    x + dx - w / 2 >= frame.left &&
    x + dx + w / 2 <= frame.right &&
    y + dy - h / 2 >= frame.top &&
    y + dy + h / 2 <= frame.bottom;
  const far = ([dx, dy]: Point) => Math.abs(dx) + Math.abs(dy);
  return moves.filter(isIn).sort((a, b) => far(a) - far(b))[0] ?? null;
}
