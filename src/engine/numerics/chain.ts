/**
 * One implicit step of a chain of stores: store i has the capacity v_i, neighbours i and i+1 are joined by the
 * conductance g_i, and the last store is joined to an end value s by the conductance g_end. Per unit of time:
 *
 *   v_i (x_i - old_i) = g_i (x_(i+1) - x_i) - g_(i-1) (x_i - x_(i-1)),   last: g_end (s - x_last) in place of g_i
 *
 * (conductances times the length of the step). The system is tridiagonal and an M-matrix: no pivoting is needed.
 * Elimination runs from the first store outwards and stops before s is known, so that x_last = a + b s comes out
 * exactly, for any s; a chain can thus be eliminated from a larger system. Cost: 1 division and 6 multiplications a
 * store; nothing is allocated. All arrays are read and written from `at` on, so that many chains share one array.
 */

/**
 * Forward sweep.
 * @param joint g_i in 0 .. count - 2, g_end in count - 1
 * @param carry out: x_i = known_i + carry_i x_(i+1), and for the last store x = known + carry s
 */
export function eliminateChain(
  count: number,
  capacity: Float64Array,
  joint: Float64Array,
  old: Float64Array,
  carry: Float64Array,
  known: Float64Array,
  at: number,
): void {
  let inward = 0;
  let carryBefore = 0;
  let knownBefore = 0;
  for (let i = 0; i < count; i++) {
    const outward = joint[i]!;
    const v = capacity[i]!;
    const pivot = 1 / (v + outward + inward * (1 - carryBefore));
    carryBefore = outward * pivot;
    knownBefore = (v * old[at + i]! + inward * knownBefore) * pivot;
    carry[at + i] = carryBefore;
    known[at + i] = knownBefore;
    inward = outward;
  }
}

/** Backward sweep for a known end value; gives sum(capacity x). `x` may be the array of old values. */
export function resolveChain(
  count: number,
  capacity: Float64Array,
  carry: Float64Array,
  known: Float64Array,
  end: number,
  x: Float64Array,
  at: number,
): number {
  let outer = end;
  let content = 0;
  for (let i = count - 1; i >= 0; i--) {
    outer = known[at + i]! + carry[at + i]! * outer;
    x[at + i] = outer;
    content += capacity[i]! * outer;
  }
  return content;
}
