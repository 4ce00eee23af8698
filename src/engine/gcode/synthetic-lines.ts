/**
 * Families of parallel lines: where they lie inside outlines, and the order in which a nozzle draws them.
 * A line is known by its place v across the family; an interval [from, to] on it by the place u along it.
 */
import type { Point, Ring } from '../bars/outline.ts';

/** Intervals of one line, rising, without overlaps: from, to, from, to ... */
export type Intervals = readonly number[];

export type Lines = Readonly<{
  /** Direction of the lines, from the x axis [rad]. */
  angle: number;
  /** Place across of each line, rising. */
  across: readonly number[];
  on: readonly Intervals[];
}>;

/** Place of a point along and across lines at an angle. */
export function turned([x, y]: Point, angle: number): Point {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return [x * c + y * s, y * c - x * s];
}

/** Where the line at `across` lies inside any of the rings, which do not overlap. */
export function inside(rings: readonly Ring[], angle: number, across: number): Intervals {
  const crossings: number[] = [];
  for (const ring of rings) {
    let [u0, v0] = turned(ring.at(-1)!, angle);
    for (const point of ring) {
      const [u1, v1] = turned(point, angle);
      if (v0 > across !== v1 > across) crossings.push(u0 + ((across - v0) / (v1 - v0)) * (u1 - u0));
      u0 = u1;
      v0 = v1;
    }
  }
  return crossings.sort((a, b) => a - b);
}

/** Lines `spacing` apart inside the rings, their middle on the middle of the rings. */
export function ruled(rings: readonly Ring[], angle: number, spacing: number): Lines {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const ring of rings)
    for (const point of ring) {
      const [, v] = turned(point, angle);
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
  // A span of whole spacings begins half a spacing inside, not on its own edge.
  const count = high > low ? Math.ceil((high - low) / spacing - 1e-9) : 0;
  const first = (low + high - (count - 1) * spacing) / 2;
  const across = Array.from({ length: count }, (_, i) => first + i * spacing);
  return { angle, across, on: across.map((v) => inside(rings, angle, v)) };
}

/** What is in either. */
export function union(a: Intervals, b: Intervals): Intervals {
  const pairs: [number, number][] = [];
  for (const list of [a, b]) for (let i = 0; i < list.length; i += 2) pairs.push([list[i]!, list[i + 1]!]);
  pairs.sort((p, q) => p[0] - q[0]);
  const out: number[] = [];
  for (const [from, to] of pairs) {
    const last = out.at(-1);
    if (last !== undefined && from <= last) out[out.length - 1] = Math.max(last, to);
    else out.push(from, to);
  }
  return out;
}

/** What is in a and not in b. */
export function without(a: Intervals, b: Intervals): Intervals {
  const out: number[] = [];
  for (let i = 0; i < a.length; i += 2) {
    let from = a[i]!;
    const to = a[i + 1]!;
    for (let j = 0; j < b.length && from < to; j += 2) {
      if (b[j + 1]! <= from || b[j]! >= to) continue;
      if (b[j]! > from) out.push(from, b[j]!);
      from = b[j + 1]!;
    }
    if (from < to) out.push(from, to);
  }
  return out;
}

/** Each interval longer by `by` at both ends (shorter where negative; none where nothing is left). */
export function widened(a: Intervals, by: number): Intervals {
  let out: Intervals = [];
  for (let i = 0; i < a.length; i += 2) {
    const from = a[i]! - by;
    const to = a[i + 1]! + by;
    if (to > from) out = union(out, [from, to]);
  }
  return out;
}

/**
 * Lines strung into paths for a nozzle that turns round at each end. A path goes on to the next line while exactly
 * one interval there lies beside the last one, and while the step between their ends is shorter than `stepMost`.
 */
export function strings(lines: Lines, stepMost: number): Point[][] {
  type Open = { path: Point[]; from: number; to: number; forward: boolean };
  const done: Point[][] = [];
  let open: Open[] = [];
  const place = (u: number, v: number): Point => turned([u, v], -lines.angle);
  for (let i = 0; i < lines.across.length; i++) {
    const v = lines.across[i]!;
    const now = lines.on[i]!;
    const next: Open[] = [];
    const taken = new Set<Open>();
    for (let k = 0; k < now.length; k += 2) {
      const from = now[k]!;
      const to = now[k + 1]!;
      const beside = open.filter((path) => path.from < to && from < path.to);
      const only = beside.length === 1 ? beside[0]! : undefined;
      const shared = only === undefined || sharers(now, only) > 1;
      const start = only?.forward ? to : from;
      const end = only?.forward ? from : to;
      const last = only?.path.at(-1);
      const at = place(start, v);
      const near = last !== undefined && Math.hypot(at[0] - last[0], at[1] - last[1]) < stepMost;
      if (only !== undefined && !shared && near) {
        only.path.push(at, place(end, v));
        taken.add(only);
        next.push({ path: only.path, from, to, forward: !only.forward });
      } else {
        next.push({ path: [place(from, v), place(to, v)], from, to, forward: true });
      }
    }
    for (const path of open) if (!taken.has(path)) done.push(path.path);
    open = next;
  }
  for (const path of open) done.push(path.path);
  return done;
}

function sharers(now: Intervals, path: { from: number; to: number }): number {
  let count = 0;
  for (let k = 0; k < now.length; k += 2) if (path.from < now[k + 1]! && now[k]! < path.to) count++;
  return count;
}
