import type { GcodeCard } from './card.ts';
import { strandArea } from './card.ts';
import type { Faults } from './faults.ts';
import { longer, PRINT, type Segments } from './segments.ts';

/** A turn less what its sum may lose to rounding [rad]. */
const FULL_TURN = 2 * Math.PI - 1e-6;
/** Two heights further apart than this are two passes [mm]. */
export const PASS_STEP_MM = 0.02;
/** A file where more than this share of the printing moves change height is one long spiral. */
const SPIRAL_SHARE = 0.2;

/**
 * Passes: runs of printing at one height, in the order of the file. Segments belong to the pass that began last;
 * those before the first to none.
 */
export type Passes = Readonly<{
  count: number;
  /** First print segment of each. */
  first: Int32Array;
  zMm: Float64Array;
  heightMm: Float64Array;
  startS: Float64Array;
  /** To the first print segment of the next; of the last, to the end of its last print segment. */
  timeS: Float64Array;
  /** Laid by print segments. */
  volumeMm3: Float64Array;
  spiral: boolean;
}>;

/** Starts of passes, as the reader meets them. */
export class PassColumns {
  readonly step = PASS_STEP_MM;
  /** Height of the pass being printed; far away before the first. */
  zNow = Number.NEGATIVE_INFINITY;
  count = 0;
  first = new Int32Array(256);
  z = new Float64Array(256);
  line = new Int32Array(256);

  begin(segment: number, z: number, line: number): void {
    const k = this.count++;
    if (k >= this.first.length) {
      this.first = longer(this.first, 2 * k);
      this.z = longer(this.z, 2 * k);
      this.line = longer(this.line, 2 * k);
    }
    this.first[k] = segment;
    this.z[k] = z;
    this.line[k] = line;
    this.zNow = z;
  }
}

/**
 * Heights, times and volumes of the passes. A pass whose height cannot be told takes the card's, with a note
 * (`z-zero`); a file that rises while it lays is grouped by turns instead (`spiral`).
 */
export function passesOf(
  begun: PassColumns,
  segments: Segments,
  card: GcodeCard,
  rising: Readonly<{ moves: number; all: number }>,
  faults: Faults,
): Passes {
  const spiral = rising.moves > SPIRAL_SHARE * rising.all;
  if (spiral) {
    faults.add(0, 'spiral', 'note');
    begun = turnsOf(begun, segments);
  }
  const n = begun.count;
  const first = begun.first.slice(0, n);
  const zMm = begun.z.slice(0, n);
  const heightMm = new Float64Array(n);
  const startS = new Float64Array(n);
  const timeS = new Float64Array(n);
  const volumeMm3 = new Float64Array(n);
  const area = strandArea(card);
  for (let p = 0; p < n; p++) {
    const z = zMm[p]!;
    const below = p > 0 ? zMm[p - 1]! : 0;
    let height = z > below ? z - below : z;
    if (!(height > 0)) {
      height = card.layerDefaultMm;
      faults.add(begun.line[p]!, 'z-zero', 'note');
    }
    heightMm[p] = height;
    startS[p] = segments.t[first[p]!]!;
    let laid = 0;
    let end = startS[p]!;
    const stop = p + 1 < n ? first[p + 1]! : segments.count;
    for (let i = first[p]!; i < stop; i++) {
      if (segments.kind[i] !== PRINT) continue;
      laid += segments.laid[i]!;
      end = segments.t[i]! + segments.dt[i]!;
    }
    volumeMm3[p] = laid * area;
    timeS[p] = (p + 1 < n ? segments.t[first[p + 1]!]! : end) - startS[p]!;
  }
  return { count: n, first, zMm, heightMm, startS, timeS, volumeMm3, spiral };
}

/**
 * Passes of a spiral: one a turn. A closed way turns its direction by a full circle, whatever its shape, so the turn of
 * the direction is summed over the rising moves; level moves keep the rule of equal height.
 */
function turnsOf(begun: PassColumns, segments: Segments): PassColumns {
  const turns = new PassColumns();
  let angle = 0;
  let dirX = 0;
  let dirY = 0;
  let rising = false;
  let lineCursor = 0;
  const lineOf = (segment: number) => {
    while (lineCursor + 1 < begun.count && begun.first[lineCursor + 1]! <= segment) lineCursor++;
    return begun.line[lineCursor]!;
  };
  for (let i = 0; i < segments.count; i++) {
    if (segments.kind[i] !== PRINT) continue;
    const dx = segments.x1[i]! - segments.x0[i]!;
    const dy = segments.y1[i]! - segments.y0[i]!;
    const z = segments.z1[i]!;
    if (z === segments.z0[i]) {
      if (Math.abs(z - turns.zNow) > PASS_STEP_MM) turns.begin(i, z, lineOf(i));
      rising = false;
      continue;
    }
    if (rising) angle += Math.atan2(dirX * dy - dirY * dx, dirX * dx + dirY * dy);
    if (!rising || Math.abs(angle) >= FULL_TURN) {
      // What is over goes into the next turn, or the seam would creep.
      angle = rising ? angle - Math.sign(angle) * 2 * Math.PI : 0;
      turns.begin(i, z, lineOf(i));
      rising = true;
    }
    // The height of a turn is where it ends.
    if (turns.count > 0) turns.z[turns.count - 1] = z;
    dirX = dx;
    dirY = dy;
  }
  return turns;
}
