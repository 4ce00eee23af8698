/**
 * One implicit step of many chains of stores at once: store i of a chain has the capacity v_i, neighbours are joined by
 * conductances. The systems are tridiagonal M-matrices: no pivoting is needed. Values stand one chain beside the other,
 * `x[store * 1 + size * chain]` for {@link stepAcross} and `x[chain + width * store]` for {@link stepAlong}, so that the
 * same array can be stepped across and along. Conductances are given times the length of the step. Cost: one division
 * and about ten multiplications a store; nothing is allocated.
 */

/**
 * `count` chains of `size` stores, each joined to its own end value beyond its last store.
 *
 * @param capacity   v, one a store
 * @param joint      between store j and j + 1, the same in all chains, size - 1 values
 * @param endJoint   between the last store and the end value, one a chain
 * @param end        end value, one a chain
 * @param x          old values in, new values out
 * @param carry      scratch of the length of x
 */
export function stepAcross(
  count: number,
  size: number,
  capacity: Float64Array,
  joint: Float64Array,
  endJoint: Float64Array,
  end: Float64Array,
  x: Float64Array,
  carry: Float64Array,
): void {
  const last = size - 1;
  for (let i = 0; i < count; i++) {
    const at = i * size;
    let inward = 0;
    let carryBefore = 0;
    let knownBefore = 0;
    for (let j = 0; j < size; j++) {
      const outward = j < last ? joint[j]! : endJoint[i]!;
      const v = capacity[at + j]!;
      const pivot = 1 / (v + outward + inward * (1 - carryBefore));
      carryBefore = outward * pivot;
      knownBefore = (v * x[at + j]! + inward * knownBefore) * pivot;
      carry[at + j] = carryBefore;
      x[at + j] = knownBefore;
      inward = outward;
    }
    let outer = end[i]!;
    for (let j = last; j >= 0; j--) {
      outer = x[at + j]! + carry[at + j]! * outer;
      x[at + j] = outer;
    }
  }
}

/**
 * `width` chains of `count` stores, both ends closed. `joint` between neighbours is the same along a chain, one value a
 * chain. The chains are eliminated side by side: their divisions do not wait for one another.
 */
export function stepAlong(
  count: number,
  width: number,
  capacity: Float64Array,
  joint: Float64Array,
  x: Float64Array,
  carry: Float64Array,
): void {
  const all = count * width;
  for (let j = 0; j < width; j++) {
    const v = capacity[j]!;
    const pivot = 1 / (v + joint[j]!);
    carry[j] = joint[j]! * pivot;
    x[j] = v * x[j]! * pivot;
  }
  const lastRow = all - width;
  for (let at = width; at < lastRow; at += width) {
    for (let j = 0; j < width; j++) {
      const k = at + j;
      const g = joint[j]!;
      const v = capacity[k]!;
      const pivot = 1 / (v + g + g * (1 - carry[k - width]!));
      carry[k] = g * pivot;
      x[k] = (v * x[k]! + g * x[k - width]!) * pivot;
    }
  }
  for (let j = 0; j < width; j++) {
    const k = lastRow + j;
    const g = joint[j]!;
    const v = capacity[k]!;
    x[k] = (v * x[k]! + g * x[k - width]!) / (v + g * (1 - carry[k - width]!));
  }
  for (let k = lastRow - 1; k >= 0; k--) x[k] = x[k]! + carry[k]! * x[k + width]!;
}
