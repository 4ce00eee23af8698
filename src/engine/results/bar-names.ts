import type { BarFacts } from './bar.ts';

/** Names of bars as machines and people write them: "F-01", "f1" and "F01" are one bar. */
function plainName(name: string): string {
  return name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]/gu, '')
    .replace(/(?<!\d)0+(?=\d)/g, '');
}

/**
 * The bar that a name in a machine's file means: what the campaign says it is called there, its id, or its id in another
 * spelling where that fits one bar alone.
 */
export function barNamed(name: string, bars: readonly BarFacts[]): BarFacts | null {
  const exact = bars.find(({ called }) => called === name) ?? bars.find(({ bar }) => bar === name);
  if (exact !== undefined) return exact;
  const plain = plainName(name);
  const near = bars.filter(({ bar, called }) => plainName(called ?? bar) === plain);
  return near.length === 1 ? near[0]! : null;
}
