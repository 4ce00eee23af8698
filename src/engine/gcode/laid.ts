import type { Level } from './levels.ts';
import { cellAt, type Grid, pieces } from './raster.ts';
import { type Arcs, PRINT, type Segments } from './segments.ts';

/** Passes over each part, in the order of time: `part` and `pass` by number. */
export type PartPasses = Readonly<{
  count: number;
  part: Int32Array;
  pass: Int32Array;
  /** First and last moment at which it is laid. */
  startS: Float64Array;
  endS: Float64Array;
  /** To the start of the next pass over the same part; of the last, to its own end. */
  returnS: Float64Array;
  volumeMm3: Float64Array;
}>;

/** Under the third level, a piece of a segment this long at most goes to one part [mm]. */
const PIECE_MM = 1;

type Row = { figure: number; pass: number; start: number; end: number; volume: number };
/** What one pass lays on one part. */
export type PartRow = { part: number; pass: number; start: number; end: number; volume: number };

/** What is laid, by figure and pass, gathered level by level. */
export class Laid {
  readonly #rows: Row[] = [];
  /** Row of each figure in the pass at hand. */
  readonly #open = new Map<number, Row>();
  readonly #area: number;
  #loose = 0;

  constructor(area: number) {
    this.#area = area;
  }

  /** Print segments of a level that is drawn: each lies wholly in the figure in which it begins. */
  takeLevel(level: Level, segments: Segments, figureAt: (x: number, y: number) => number): void {
    for (const { pass, from, to } of level.ranges) {
      this.#open.clear();
      for (let i = from; i < to; i++) {
        if (segments.kind[i] !== PRINT) continue;
        const figure = figureAt(segments.x0[i]!, segments.y0[i]!);
        const t = segments.t[i]!;
        this.#add(figure, pass, t, t + segments.dt[i]!, segments.laid[i]! * this.#area);
      }
    }
  }

  /** Print segments under the third level, piece by piece. */
  takePieces(
    level: Level,
    segments: Segments,
    arcs: Arcs,
    grid: Grid,
    nearestFoot: (cell: number) => number,
  ): void {
    for (const { pass, from, to } of level.ranges) {
      this.#open.clear();
      for (let i = from; i < to; i++) {
        if (segments.kind[i] !== PRINT) continue;
        const volume = segments.laid[i]! * this.#area;
        const t = segments.t[i]!;
        const dt = segments.dt[i]!;
        let done = 0;
        pieces(segments, arcs, i, PIECE_MM, (x0, y0, x1, y1, share) => {
          const figure = nearestFoot(cellAt(grid, (x0 + x1) / 2, (y0 + y1) / 2));
          if (figure < 0) this.#loose += volume * share;
          else this.#add(figure, pass, t + done * dt, t + (done + share) * dt, volume * share);
          done += share;
        });
      }
    }
  }

  #add(figure: number, pass: number, start: number, end: number, volume: number): void {
    const row = this.#open.get(figure);
    if (row) {
      row.volume += volume;
      row.end = end;
      return;
    }
    const begun = { figure, pass, start, end, volume };
    this.#open.set(figure, begun);
    this.#rows.push(begun);
  }

  /** One row a part and pass, in the order of time. */
  rowsByPart(partOf: Int32Array, place: Int32Array): PartRow[] {
    const rows = this.#rows
      .filter(({ figure }) => partOf[figure]! >= 0)
      .sort((a, b) => a.pass - b.pass || a.start - b.start);
    const result: PartRow[] = [];
    const open = new Map<number, PartRow>();
    for (const { figure, pass, start, end, volume } of rows) {
      const part = place[partOf[figure]!]!;
      const row = open.get(part);
      if (row?.pass === pass) {
        row.volume += volume;
        row.end = Math.max(row.end, end);
      } else {
        const begun = { part, pass, start, end, volume };
        open.set(part, begun);
        result.push(begun);
      }
    }
    return result;
  }

  /** Volume on no part [mm3]. */
  onNone(partOf: Int32Array): number {
    return this.#rows.reduce(
      (sum, { figure, volume }) => (partOf[figure]! < 0 ? sum + volume : sum),
      this.#loose,
    );
  }
}

/** The rows as columns, with the time until the part is printed on again. */
export function partPasses(rows: readonly PartRow[]): PartPasses {
  const n = rows.length;
  const returnS = new Float64Array(n);
  const next = new Map<number, number>();
  for (let k = n - 1; k >= 0; k--) {
    const row = rows[k]!;
    returnS[k] = (next.get(row.part) ?? row.end) - row.start;
    next.set(row.part, row.start);
  }
  return {
    count: n,
    part: Int32Array.from(rows, (row) => row.part),
    pass: Int32Array.from(rows, (row) => row.pass),
    startS: Float64Array.from(rows, (row) => row.start),
    endS: Float64Array.from(rows, (row) => row.end),
    returnS,
    volumeMm3: Float64Array.from(rows, (row) => row.volume),
  };
}
