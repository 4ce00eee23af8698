/**
 * Solves a tridiagonal system without pivoting (Thomas), stable for diagonally dominant matrices.
 *
 *   below_i x_(i-1) + diagonal_i x_i + above_i x_(i+1) = right_i
 *
 * `below[0]` and `above[size - 1]` are never read. The answer replaces `right`; `scratch` has the same length. Cost:
 * 1 division and 5 multiplications a row; nothing is allocated.
 */
export function solveTridiagonal(
  size: number,
  below: Float64Array,
  diagonal: Float64Array,
  above: Float64Array,
  right: Float64Array,
  scratch: Float64Array,
): void {
  let carry = 0;
  let known = 0;
  for (let i = 0; i < size; i++) {
    const lower = i > 0 ? below[i]! : 0;
    const pivot = 1 / (diagonal[i]! - lower * carry);
    carry = i < size - 1 ? above[i]! * pivot : 0;
    known = (right[i]! - lower * known) * pivot;
    scratch[i] = carry;
    right[i] = known;
  }
  for (let i = size - 2; i >= 0; i--) right[i] = right[i]! - scratch[i]! * right[i + 1]!;
}
