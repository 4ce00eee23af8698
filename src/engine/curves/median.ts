/** Median of the first `count` values [same unit]; orders them in place as far as needed. NaN must not be among them. */
export function medianInPlace(values: Float64Array, count: number = values.length): number {
  if (count === 0) return Number.NaN;
  const middle = count >> 1;
  const upper = select(values, count, middle);
  if (count % 2 === 1) return upper;
  let lower = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < middle; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
}

/** The value of rank `rank` from 0 (Hoare's selection, pivot by the median of three): all before it are not greater. */
function select(values: Float64Array, count: number, rank: number): number {
  let left = 0;
  let right = count - 1;
  while (right > left) {
    const a = values[left]!;
    const b = values[(left + right) >> 1]!;
    const c = values[right]!;
    const pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const held = values[i]!;
        values[i++] = values[j]!;
        values[j--] = held;
      }
    }
    if (rank <= j) right = j;
    else if (rank >= i) left = i;
    else break;
  }
  return values[rank]!;
}
