/**
 * Quantile of weighted values: the value below which this share of the weight lies, each value standing in the middle
 * of its own weight, straight lines between. With equal weights this is the (k - 1/2)/n rule.
 *
 * @param values  any order, at least one
 * @param weights not negative, with a positive sum
 * @param share   0..1; beyond the middle of the first or last value that value is given
 */
export function weightedQuantile(
  values: ArrayLike<number>,
  weights: ArrayLike<number>,
  share: number,
): number {
  const order = Array.from({ length: values.length }, (_, i) => i)
    .filter((i) => weights[i]! > 0)
    .sort((a, b) => values[a]! - values[b]!);
  const total = order.reduce((sum, i) => sum + weights[i]!, 0);
  if (order.length === 0) throw new RangeError('a quantile of values that have no weight');
  let below = 0;
  let placeBefore = 0;
  let valueBefore = values[order[0]!]!;
  for (const i of order) {
    const place = (below + 0.5 * weights[i]!) / total;
    const value = values[i]!;
    if (place >= share) {
      const gap = place - placeBefore;
      // Endless values are met whole: between a number and infinity no straight line helps.
      if (below === 0 || gap <= 0 || !Number.isFinite(value)) return value;
      return valueBefore + ((value - valueBefore) * (share - placeBefore)) / gap;
    }
    below += weights[i]!;
    placeBefore = place;
    valueBefore = value;
  }
  return valueBefore;
}
