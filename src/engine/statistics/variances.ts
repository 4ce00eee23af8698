import type { Group } from './group.ts';
import { anova } from './one-way.ts';

function median(values: readonly number[]): number {
  const x = values.toSorted((a, b) => a - b);
  const middle = x.length >> 1;
  return x.length % 2 === 1 ? x[middle]! : 0.5 * (x[middle - 1]! + x[middle]!);
}

/**
 * Levene's test of equal variances with medians (Brown and Forsythe 1974): one-way F on |x - group median|. [statistics-11]
 */
export function levene(groups: readonly Group[]): {
  F: number | null;
  df: [number, number];
  p: number | null;
} {
  const spreads = groups.map(({ name, values }) => {
    const middle = median(values);
    return { name, values: values.map((x) => Math.abs(x - middle)) };
  });
  const { F, df_b, df_w, p } = anova(spreads);
  return { F, df: [df_b, df_w], p };
}
