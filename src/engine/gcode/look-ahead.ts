import { longer } from './segments.ts';

/** Moves held before a settling: large against what one stop reaches back, small against a cache. */
const FIRST_CAPACITY = 4096;

/**
 * Look-ahead over a stream of moves: a backward and a forward pass over squared speeds, then the time of each move.
 *
 *   backward  v_i^2 = min(cap_i, v_{i+1}^2 + 2 a_i L_i);  forward  v_{i+1}^2 = min(v_{i+1}^2, v_i^2 + 2 a_i L_i)
 *
 * The moves held end in an unknown: the backward pass starts from rest there. A higher speed at the end can only raise
 * the speeds before it, and none passes its cap. So from the last joint that stands at its cap, everything before is
 * what the whole chain would give, bit for bit: only that is handed out. Such a joint is at hand at the latest where
 * vmax^2/(2 a_min) of path lie behind it; until then the room grows.
 *
 * Cost: two passes over each move, and once more over the few that stay. Source: common practice, no source.
 */
export class LookAhead {
  count = 0;
  length = new Float64Array(FIRST_CAPACITY);
  speed = new Float64Array(FIRST_CAPACITY);
  accel = new Float64Array(FIRST_CAPACITY);
  /** Greatest squared speed at the joint before the move: 0 at a stop. */
  cap = new Float64Array(FIRST_CAPACITY);
  /** Times of the moves that `settle` has handed out. */
  dt = new Float64Array(FIRST_CAPACITY);
  private joint = new Float64Array(FIRST_CAPACITY + 1);
  /** Squared speed at which the first held move is entered. */
  private entry = 0;

  get full(): boolean {
    return this.count === this.length.length;
  }

  /** For callers outside the hot loop; the reader writes the columns itself. */
  add(length: number, speed: number, accel: number, cap: number): void {
    const i = this.count++;
    this.length[i] = length;
    this.speed[i] = speed;
    this.accel[i] = accel;
    this.cap[i] = cap;
  }

  /**
   * Times of all held moves whose speeds are final, in `dt`. Call `drop` with the returned number when they are used.
   *
   * @param last the path ends here, at rest: all are final
   */
  settle(last: boolean): number {
    const n = this.count;
    const { length, speed, accel, cap, joint } = this;
    let final = last ? n : 0;
    let v2 = 0;
    joint[n] = 0;
    for (let i = n - 1; i > 0; i--) {
      const reach = v2 + 2 * accel[i]! * length[i]!;
      const most = cap[i]!;
      if (most <= reach) {
        v2 = most;
        if (i > final) final = i;
      } else v2 = reach;
      joint[i] = v2;
    }
    // Little can be handed out: more room, or each further move would cost another pass over all.
    if (!last && final < n / 2) this.widen();
    if (final === 0) return 0;
    const dt = this.dt;
    let in2 = this.entry;
    let vi = Math.sqrt(in2);
    for (let i = 0; i < final; i++) {
      const a = accel[i]!;
      const l = length[i]!;
      const v = speed[i]!;
      let out2 = joint[i + 1]!;
      const reach = in2 + 2 * a * l;
      if (reach < out2) out2 = reach;
      const vo = Math.sqrt(out2);
      const peak2 = a * l + 0.5 * (in2 + out2);
      if (peak2 <= v * v) {
        // Max guards the rounding of a move that only speeds up or slows down.
        const vp = Math.sqrt(peak2);
        dt[i] = Math.max(0, 2 * vp - vi - vo) / a;
      } else {
        const rest = l - (2 * v * v - in2 - out2) / (2 * a);
        dt[i] = (2 * v - vi - vo) / a + (rest > 0 ? rest / v : 0);
      }
      in2 = out2;
      vi = vo;
    }
    this.entry = in2;
    return final;
  }

  /** Forgets the first moves. */
  drop(count: number): void {
    const n = this.count;
    if (count === 0) return;
    this.length.copyWithin(0, count, n);
    this.speed.copyWithin(0, count, n);
    this.accel.copyWithin(0, count, n);
    this.cap.copyWithin(0, count, n);
    this.count = n - count;
  }

  private widen(): void {
    const room = 2 * this.length.length;
    this.length = longer(this.length, room);
    this.speed = longer(this.speed, room);
    this.accel = longer(this.accel, room);
    this.cap = longer(this.cap, room);
    this.dt = longer(this.dt, room);
    this.joint = new Float64Array(room + 1);
  }
}
