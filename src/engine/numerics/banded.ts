/**
 * Symmetric positive definite systems with a band, by L D L^T without pivoting (stable for such matrices).
 *
 * Layout: `band[k + (width + 1) i]` holds the entry (i, i - k), k = 0 .. width; entries with k > i are never read.
 * Cost: size width (width + 3)/2 multiplications to factor, 2 size width to solve. Nothing is allocated.
 */

/**
 * Factors in place: afterwards k = 0 holds 1/D and k > 0 holds L.
 * @throws RangeError with the row, where the matrix is not positive definite
 */
export function factorBanded(band: Float64Array, size: number, width: number): void {
  const stride = width + 1;
  for (let i = 0; i < size; i++) {
    const row = i * stride;
    const reach = Math.min(i, width);
    // Entries of row i from left to right, still times D: w_ij = a_ij - sum_m w_im L_jm.
    for (let k = reach - 1; k > 0; k--) {
      const other = row - k * stride;
      let entry = band[row + k]!;
      for (let m = 1; m <= reach - k; m++) entry -= band[row + k + m]! * band[other + m]!;
      band[row + k] = entry;
    }
    let pivot = band[row]!;
    for (let k = 1; k <= reach; k++) {
      const entry = band[row + k]!;
      const lower = entry * band[row - k * stride]!;
      pivot -= entry * lower;
      band[row + k] = lower;
    }
    if (!(pivot > 0)) throw new RangeError(`row ${i} of a banded matrix has the pivot ${pivot}`);
    band[row] = 1 / pivot;
  }
}

/** Solves in place, `factor` from {@link factorBanded}: `x` holds the right-hand side before, the answer after. */
export function solveBanded(factor: Float64Array, size: number, width: number, x: Float64Array): void {
  const stride = width + 1;
  for (let i = 1; i < size; i++) {
    const row = i * stride;
    const reach = Math.min(i, width);
    let sum = x[i]!;
    for (let k = 1; k <= reach; k++) sum -= factor[row + k]! * x[i - k]!;
    x[i] = sum;
  }
  for (let i = 0; i < size; i++) x[i] = x[i]! * factor[i * stride]!;
  // Backwards by columns, so that each row of the factor is read once and in order.
  for (let i = size - 1; i > 0; i--) {
    const row = i * stride;
    const reach = Math.min(i, width);
    const value = x[i]!;
    for (let k = 1; k <= reach; k++) x[i - k] = x[i - k]! - factor[row + k]! * value;
  }
}
