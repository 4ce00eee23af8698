/** The list in an order drawn by `uniform` (Fisher and Yates); every order has the same chance. */
export function shuffled<T>(list: readonly T[], uniform: () => number): T[] {
  const out = [...list];
  for (let i = out.length - 1; i > 0; i--) {
    const j = Math.floor(uniform() * (i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}
