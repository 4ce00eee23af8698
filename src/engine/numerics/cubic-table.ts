/**
 * A smooth function as cubic pieces on an even grid, for loops that would spend their time in exp and log.
 *
 * Piece k holds 4 coefficients from `4 k` on, in d = (x - low) * inverse - k, 0 <= d < 1: c0 + d (c1 + d (c2 + d c3)),
 * made from values and slopes at both ends (Hermite). The relative error is about h^4/384 of the fourth derivative:
 * whoever fills one tests it against the function. Reading is 6 multiplications and no branch but the caller's check
 * that x lies inside.
 */
export type CubicTable = Readonly<{
  low: number;
  high: number;
  inverse: number;
  pieces: number;
  coefficients: Float64Array;
}>;

export function makeCubicTable(low: number, high: number, pieces: number): CubicTable {
  return { low, high, inverse: pieces / (high - low), pieces, coefficients: new Float64Array(4 * pieces) };
}

/** Fills from values and slopes by x at the `pieces + 1` grid points. */
export function fillCubicTable(table: CubicTable, values: Float64Array, slopes: Float64Array): void {
  const { coefficients: c, pieces } = table;
  const width = 1 / table.inverse;
  for (let k = 0; k < pieces; k++) {
    const from = values[k]!;
    const rise = values[k + 1]! - from;
    const start = slopes[k]! * width;
    const end = slopes[k + 1]! * width;
    c[4 * k] = from;
    c[4 * k + 1] = start;
    c[4 * k + 2] = 3 * rise - 2 * start - end;
    c[4 * k + 3] = start + end - 2 * rise;
  }
}

/** Value at x, low <= x < high; not checked. */
export function readCubicTable(table: CubicTable, x: number): number {
  const place = (x - table.low) * table.inverse;
  const k = place | 0;
  const d = place - k;
  const at = k << 2;
  const c = table.coefficients;
  return c[at]! + d * (c[at + 1]! + d * (c[at + 2]! + d * c[at + 3]!));
}
