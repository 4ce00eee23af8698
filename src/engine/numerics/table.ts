/** Value of a table at x: straight lines, or straight lines in ln of the value; beyond the ends the end value holds. */
export function tableAt(
  x: number,
  table: Readonly<{ xs: readonly number[]; ys: readonly number[]; between: 'straight' | 'straight in ln' }>,
): number {
  const { xs, ys, between } = table;
  const last = xs.length - 1;
  if (x <= xs[0]!) return ys[0]!;
  if (x >= xs[last]!) return ys[last]!;
  let k = 1;
  while (xs[k]! < x) k++;
  const share = (x - xs[k - 1]!) / (xs[k]! - xs[k - 1]!);
  const from = ys[k - 1]!;
  const to = ys[k]!;
  return between === 'straight' ? from + share * (to - from) : from * (to / from) ** share;
}
