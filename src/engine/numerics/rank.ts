/** Ranks from 0 in order of size; equal values share the mean of their ranks. */
export function ranks(values: Float64Array): Float64Array {
  const order = Array.from(values, (_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const result = new Float64Array(values.length);
  for (let from = 0; from < order.length; ) {
    let to = from;
    while (to + 1 < order.length && values[order[to + 1]!] === values[order[from]!]) to++;
    for (let k = from; k <= to; k++) result[order[k]!] = (from + to) / 2;
    from = to + 1;
  }
  return result;
}

/** Weighted correlation of two columns, -1..1; 0 where one of them does not vary. */
export function correlation(a: Float64Array, b: Float64Array, weights: Float64Array): number {
  let total = 0;
  let meanA = 0;
  let meanB = 0;
  for (let i = 0; i < a.length; i++) {
    total += weights[i]!;
    meanA += weights[i]! * a[i]!;
    meanB += weights[i]! * b[i]!;
  }
  meanA /= total;
  meanB /= total;
  let aa = 0;
  let bb = 0;
  let ab = 0;
  for (let i = 0; i < a.length; i++) {
    const da = a[i]! - meanA;
    const db = b[i]! - meanB;
    aa += weights[i]! * da * da;
    bb += weights[i]! * db * db;
    ab += weights[i]! * da * db;
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}
