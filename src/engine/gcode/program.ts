import { longer } from './segments.ts';

/**
 * What a program does besides moving, in columns: targets, fan, waits, dwells, hands, accelerations. Each entry stands
 * before the segment that it names, so that the clock can be run again with another card.
 */
export const NOZZLE = 0;
export const BED = 1;
export const CHAMBER = 2;
export const FAN = 3;
/** `value`: heater 0..2. Waits until the ramp has reached the target from below. */
export const WAIT_HOT = 4;
/** The same, from either side. */
export const WAIT_EQUAL = 5;
/** `value`: seconds. */
export const DWELL = 6;
export const HOME = 7;
export const PROBE = 8;
export const HANDS = 9;
export const ACCEL_PRINT = 10;
export const ACCEL_TRAVEL = 11;
export const ACCEL_RETRACT = 12;

export type Program = Readonly<{
  count: number;
  what: Uint8Array;
  /** Number of the segment before which it stands. */
  segment: Int32Array;
  value: Float64Array;
  /** Clock when it is reached, before its own waiting [s]. */
  t: Float64Array;
}>;

export class ProgramColumns {
  count = 0;
  what = new Uint8Array(64);
  segment = new Int32Array(64);
  value = new Float64Array(64);
  t = new Float64Array(64);

  add(what: number, segment: number, value: number): void {
    const k = this.count++;
    if (k >= this.what.length) {
      const room = 2 * k;
      this.what = longer(this.what, room);
      this.segment = longer(this.segment, room);
      this.value = longer(this.value, room);
      this.t = longer(this.t, room);
    }
    this.what[k] = what;
    this.segment[k] = segment;
    this.value[k] = value;
  }

  finish(): Program {
    const n = this.count;
    return {
      count: n,
      what: this.what.slice(0, n),
      segment: this.segment.slice(0, n),
      value: this.value.slice(0, n),
      t: this.t.slice(0, n),
    };
  }
}
