import { type GcodeCard, roomC } from './card.ts';
import type { LookAhead } from './look-ahead.ts';
import { CHAMBER, DWELL, HOME, NOZZLE, PROBE, type Program, WAIT_EQUAL, WAIT_HOT } from './program.ts';

type Steps = Pick<Program, 'count' | 'what' | 'segment' | 'value'>;

/**
 * The clock of a file. Moves come timed from the look-ahead; heaters run beside on straight ramps towards their
 * targets, never under the room they stand in; a wait lasts until its ramp is there.
 */
export class Clock {
  now = 0;
  /** Dwells, homing and probing [s]. */
  dwell = 0;
  /** Waits for heaters [s]. */
  warm = 0;
  /** Segments that have passed. */
  passed = 0;
  private cursor = 0;
  private readonly room: number;
  private readonly up: readonly number[];
  private readonly down: readonly number[];
  private readonly homeS: number;
  private readonly probeS: number;
  private readonly from: number[];
  private readonly since = [0, 0, 0];
  private readonly target: number[];

  constructor(card: GcodeCard) {
    this.room = roomC(card);
    this.up = [card.heatKS.nozzle, card.heatKS.bed, card.heatKS.chamber];
    this.down = [card.coolKS.nozzle, card.coolKS.bed, card.coolKS.chamber];
    this.homeS = card.homeS;
    this.probeS = card.probeS;
    this.from = [this.room, this.room, this.room];
    this.target = [this.room, this.room, this.room];
  }

  /**
   * Lets the first `count` moves of the look-ahead pass, with the steps of the program that stand between them.
   * Writes when each began into `t` and how long it took into `dt`, from row `passed` on.
   */
  pass(
    ahead: LookAhead,
    count: number,
    steps: Steps,
    t: Float64Array,
    dt: Float32Array,
    stepT: Float64Array,
  ): void {
    const times = ahead.dt;
    const first = this.passed;
    let now = this.now;
    let next = this.nextStep(steps);
    for (let k = 0; k < count; k++) {
      const i = first + k;
      if (next <= i) {
        this.now = now;
        this.stepsUpTo(i, steps, stepT);
        now = this.now;
        next = this.nextStep(steps);
      }
      const time = times[k]!;
      t[i] = now;
      dt[i] = time;
      now += time;
    }
    this.now = now;
    this.passed = first + count;
  }

  /** The same without a record of the moves. */
  passUnseen(ahead: LookAhead, count: number, steps: Steps): void {
    const times = ahead.dt;
    const first = this.passed;
    let now = this.now;
    let next = this.nextStep(steps);
    for (let k = 0; k < count; k++) {
      if (next <= first + k) {
        this.now = now;
        this.stepsUpTo(first + k, steps, null);
        now = this.now;
        next = this.nextStep(steps);
      }
      now += times[k]!;
    }
    this.now = now;
    this.passed = first + count;
  }

  /** Steps that stand before the segment `segment` or earlier. */
  stepsUpTo(segment: number, steps: Steps, stepT: Float64Array | null): void {
    while (this.cursor < steps.count && steps.segment[this.cursor]! <= segment) {
      const k = this.cursor++;
      if (stepT) stepT[k] = this.now;
      this.step(steps.what[k]!, steps.value[k]!);
    }
  }

  private nextStep(steps: Steps): number {
    return this.cursor < steps.count ? steps.segment[this.cursor]! : Number.MAX_SAFE_INTEGER;
  }

  private step(what: number, value: number): void {
    if (what >= NOZZLE && what <= CHAMBER) {
      this.from[what] = this.temperature(what);
      this.since[what] = this.now;
      this.target[what] = Math.max(value, this.room);
    } else if (what === WAIT_HOT || what === WAIT_EQUAL) this.wait(value, what === WAIT_EQUAL);
    else if (what === DWELL) this.stand(value);
    else if (what === HOME) this.stand(this.homeS);
    else if (what === PROBE) this.stand(this.probeS);
  }

  private stand(time: number): void {
    this.now += time;
    this.dwell += time;
  }

  private wait(heater: number, either: boolean): void {
    const gap = this.target[heater]! - this.temperature(heater);
    if (gap === 0 || (gap < 0 && !either)) return;
    const time = gap > 0 ? gap / this.up[heater]! : -gap / this.down[heater]!;
    this.now += time;
    this.warm += time;
    this.from[heater] = this.target[heater]!;
    this.since[heater] = this.now;
  }

  private temperature(heater: number): number {
    const from = this.from[heater]!;
    const target = this.target[heater]!;
    const time = this.now - this.since[heater]!;
    return from < target
      ? Math.min(target, from + this.up[heater]! * time)
      : Math.max(target, from - this.down[heater]! * time);
  }
}
