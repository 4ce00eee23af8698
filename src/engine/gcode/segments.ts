/**
 * The record of a tool path: one row a move, in columns. Lengths in mm, times in s. Kinds: a move that lays material
 * is a print, one without strand a travel, one that draws back a wipe (moving) or a retract (standing), one that gives
 * back what was drawn a return, one that lays without way in X or Y a prime.
 */
export const PRINT = 0;
export const TRAVEL = 1;
export const WIPE = 2;
export const RETRACT = 3;
export const RETURN = 4;
export const PRIME = 5;

/** Columns as they leave the reader: plain typed arrays of one length, fit to cross to a worker. */
export type Segments = Readonly<{
  count: number;
  /** Clock of the file when the move begins. */
  t: Float64Array;
  dt: Float32Array;
  x0: Float32Array;
  y0: Float32Array;
  z0: Float32Array;
  x1: Float32Array;
  y1: Float32Array;
  z1: Float32Array;
  /** Strand moved, after the flow factor: negative is drawn back. */
  dE: Float32Array;
  /** Strand laid: what was given forward less what had been drawn back. */
  laid: Float32Array;
  /** Speed commanded, after the feed factor, before any limit of the machine [mm/s]. */
  speed: Float32Array;
  kind: Uint8Array;
  /** Row in `arcs`, -1 for a straight move. Empty where the file has no arcs. */
  arc: Int32Array;
}>;

/** Geometry of the arcs, by the index in `arc`. Sweep in radians, counter-clockwise positive. */
export type Arcs = Readonly<{
  cx: Float32Array;
  cy: Float32Array;
  radius: Float32Array;
  sweep: Float32Array;
}>;

/** Length of the way of a segment [mm]; 0 where only the strand moves. */
export function wayLength(segments: Segments, arcs: Arcs, i: number): number {
  const dz = segments.z1[i]! - segments.z0[i]!;
  const arc = segments.arc.length > 0 ? segments.arc[i]! : -1;
  if (arc >= 0) return Math.hypot(arcs.radius[arc]! * arcs.sweep[arc]!, dz);
  const dx = segments.x1[i]! - segments.x0[i]!;
  const dy = segments.y1[i]! - segments.y0[i]!;
  return Math.sqrt(dx * dx + dy * dy + dz * dz);
}

/** First room: a small file needs no second one. */
const FIRST_CAPACITY = 4096;
/** Room beyond the estimate from the bytes read so far, so that an even file grows once. */
const ESTIMATE_MARGIN = 1.06;
/** More unused room than this share is given back at the end. */
const WASTE_MOST = 0.125;

/** Columns that grow. The reader writes rows at `count`; nothing is moved until there is no room. */
export class SegmentColumns {
  count = 0;
  capacity = FIRST_CAPACITY;
  t = new Float64Array(FIRST_CAPACITY);
  dt = new Float32Array(FIRST_CAPACITY);
  x0 = new Float32Array(FIRST_CAPACITY);
  y0 = new Float32Array(FIRST_CAPACITY);
  z0 = new Float32Array(FIRST_CAPACITY);
  x1 = new Float32Array(FIRST_CAPACITY);
  y1 = new Float32Array(FIRST_CAPACITY);
  z1 = new Float32Array(FIRST_CAPACITY);
  dE = new Float32Array(FIRST_CAPACITY);
  laid = new Float32Array(FIRST_CAPACITY);
  speed = new Float32Array(FIRST_CAPACITY);
  kind = new Uint8Array(FIRST_CAPACITY);
  arc = new Int32Array(0);
  arcCount = 0;
  arcCx = new Float32Array(0);
  arcCy = new Float32Array(0);
  arcRadius = new Float32Array(0);
  arcSweep = new Float32Array(0);

  /** Makes room; `estimate` is the number of rows expected in all, 0 where unknown. */
  grow(estimate: number): void {
    const least = Math.ceil(this.capacity * 1.25);
    const wanted = estimate > 0 ? Math.ceil(estimate * ESTIMATE_MARGIN) : this.capacity * 2;
    this.resize(Math.max(least, Math.min(wanted, this.capacity * 64)));
  }

  /** Row of a new arc for the segment at `count`; the first arc of a file brings the column into being. */
  addArc(cx: number, cy: number, radius: number, sweep: number): number {
    if (this.arc.length === 0) this.arc = new Int32Array(this.capacity).fill(-1);
    const k = this.arcCount++;
    if (k >= this.arcCx.length) {
      const room = Math.max(256, 2 * k);
      this.arcCx = longer(this.arcCx, room);
      this.arcCy = longer(this.arcCy, room);
      this.arcRadius = longer(this.arcRadius, room);
      this.arcSweep = longer(this.arcSweep, room);
    }
    this.arcCx[k] = cx;
    this.arcCy[k] = cy;
    this.arcRadius[k] = radius;
    this.arcSweep[k] = sweep;
    return k;
  }

  finish(): { segments: Segments; arcs: Arcs } {
    if (this.capacity - this.count > this.capacity * WASTE_MOST) this.resize(Math.max(1, this.count));
    const n = this.count;
    const arcs = this.arcCount;
    return {
      segments: {
        count: n,
        t: this.t.subarray(0, n),
        dt: this.dt.subarray(0, n),
        x0: this.x0.subarray(0, n),
        y0: this.y0.subarray(0, n),
        z0: this.z0.subarray(0, n),
        x1: this.x1.subarray(0, n),
        y1: this.y1.subarray(0, n),
        z1: this.z1.subarray(0, n),
        dE: this.dE.subarray(0, n),
        laid: this.laid.subarray(0, n),
        speed: this.speed.subarray(0, n),
        kind: this.kind.subarray(0, n),
        arc: arcs > 0 ? this.arc.subarray(0, n) : new Int32Array(0),
      },
      arcs: {
        cx: this.arcCx.slice(0, arcs),
        cy: this.arcCy.slice(0, arcs),
        radius: this.arcRadius.slice(0, arcs),
        sweep: this.arcSweep.slice(0, arcs),
      },
    };
  }

  private resize(capacity: number): void {
    // One column after the other: no more than one is held twice.
    this.t = longer(this.t, capacity);
    this.dt = longer(this.dt, capacity);
    this.x0 = longer(this.x0, capacity);
    this.y0 = longer(this.y0, capacity);
    this.z0 = longer(this.z0, capacity);
    this.x1 = longer(this.x1, capacity);
    this.y1 = longer(this.y1, capacity);
    this.z1 = longer(this.z1, capacity);
    this.dE = longer(this.dE, capacity);
    this.laid = longer(this.laid, capacity);
    this.speed = longer(this.speed, capacity);
    this.kind = longer(this.kind, capacity);
    if (this.arc.length > 0) {
      const before = this.arc.length;
      this.arc = longer(this.arc, capacity);
      if (capacity > before) this.arc.fill(-1, before);
    }
    this.capacity = capacity;
  }
}

type Column =
  | Float64Array<ArrayBuffer>
  | Float32Array<ArrayBuffer>
  | Int32Array<ArrayBuffer>
  | Uint8Array<ArrayBuffer>;

/** The same kind of column with another length; what fits is kept. */
export function longer<A extends Column>(column: A, capacity: number): A {
  const next = new (column.constructor as new (n: number) => A)(capacity);
  next.set(capacity < column.length ? column.subarray(0, capacity) : column);
  return next;
}
