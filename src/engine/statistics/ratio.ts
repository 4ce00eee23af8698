import { Refusal } from '../kernel.ts';
import { blocks } from './blocks.ts';
import { tCritical } from './distributions.ts';
import { moments } from './group.ts';
import { known, pairScale, satterthwaite, welch } from './pairs.ts';
import { logOf, namesOf, type Row, unconnected } from './rows.ts';

export type Ratio = Readonly<{
  ratio: number;
  df: number;
  /** Null where the denominator cannot be told from 0 (g >= 1): there is no finite interval. */
  lo: number | null;
  hi: number | null;
}>;

/**
 * Ratio of two means R = m1/m2 with Fieller's interval, unequal variances, v = s^2/n:
 *
 *   g = t^2 v2/m2^2,  interval [R -+ (t/|m2|) sqrt(v1 (1 - g) + R^2 v2)]/(1 - g),
 *   df of Satterthwaite for m1 - R m2 at the estimate                                                       [statistics-26]
 *
 * Source: Fieller 1954, J. R. Stat. Soc. B 16, 175; df after Tamhane and Logan 2004 (from memory).
 * @throws Refusal with fewer than two values, a denominator of mean 0, or no scatter
 */
export function fieller(num: readonly number[], den: readonly number[], conf: number): Ratio & { g: number } {
  const a = known(num);
  const b = known(den);
  if (b.mean === 0) throw new Refusal('The denominator has mean 0: there is no ratio.');
  const v1 = a.s ** 2 / a.n;
  const v2 = b.s ** 2 / b.n;
  const ratio = a.mean / b.mean;
  if (!(v1 + ratio ** 2 * v2 > 0)) throw new Refusal('Neither group has scatter: the ratio has no interval.');
  const df = satterthwaite(v1, a.n, ratio ** 2 * v2, b.n);
  const t = tCritical((1 - conf) / 2, df);
  const g = (t * t * v2) / b.mean ** 2;
  if (g >= 1) return { ratio, df, g, lo: null, hi: null };
  const half = (t / Math.abs(b.mean)) * Math.sqrt(v1 * (1 - g) + ratio ** 2 * v2);
  return { ratio, df, g, lo: (ratio - half) / (1 - g), hi: (ratio + half) / (1 - g) };
}

/**
 * Ratio of two geometric means: Welch's interval of the difference of mean logs, and back.                [statistics-27]
 * @throws Refusal with a value that is not positive, and as `welch`
 */
export function logRatio(num: readonly number[], den: readonly number[], conf: number): Ratio {
  const logs = (values: readonly number[]) => known(values.map((x) => logOf(x, 'A value')));
  const { difference, df, lo, hi } = welch(logs(num), logs(den), conf);
  return { ratio: Math.exp(difference), df, lo: Math.exp(lo), hi: Math.exp(hi) };
}

/**
 * Ratio of two orientations on mixed plates: mean of ln(mean on the plate/mean on the plate) over the plates that carry
 * both, t interval, and back. Plate effects cancel within each.                                            [statistics-28]
 * Null without any such plate; no interval from a single one.
 */
export function plateRatio(
  rows: readonly Row[],
  num: string,
  den: string,
  conf: number,
): (Ratio & { s: number | null }) | null {
  const logs: number[] = [];
  for (const plate of new Set(rows.map((row) => row.plate))) {
    const [above, below] = [num, den].map((name) =>
      rows.filter((row) => row.plate === plate && row.orientation === name).map((row) => row.value),
    ) as [number[], number[]];
    if (above.length === 0 || below.length === 0) continue;
    logs.push(
      logOf(moments(above).mean, `The mean of ${num} on plate ${plate}`) -
        logOf(moments(below).mean, `The mean of ${den} on plate ${plate}`),
    );
  }
  if (logs.length === 0) return null;
  const { n, mean, s } = moments(logs);
  const ratio = Math.exp(mean);
  if (s === null) return { ratio, df: 0, lo: null, hi: null, s };
  const half = (tCritical((1 - conf) / 2, n - 1) * s) / Math.sqrt(n);
  return { ratio, df: n - 1, lo: Math.exp(mean - half), hi: Math.exp(mean + half), s };
}

/**
 * Ratio of two orientations where one plate alone carries both, or a chain of plates leads from one to the other:
 * additive blocks on ln(strength), bars of all plates for the scatter, plain t interval, and back. How the ratio changes
 * from plate to plate cannot be seen by it.                                                                [statistics-29]
 *
 * Other orientations are left out where the two are connected without them, so that their scatter does not enter.
 * Null where no chain of plates connects the two, or no scatter is left.
 */
export function blockRatio(
  rows: readonly Row[],
  num: string,
  den: string,
  conf: number,
): (Ratio & { s: number }) | null {
  const own = rows.filter(({ orientation }) => orientation === num || orientation === den);
  const used = unconnected(own, (row) => row.plate).length === 0 ? own : rows;
  if (unconnected(used, (row) => row.plate).length > 0) return null;
  if (namesOf(used, (row) => row.plate).length < 2) return null;
  const logs = used.map((row) => ({ ...row, value: logOf(row.value, `A value of ${row.orientation}`) }));
  const table = blocks(logs, conf);
  const found = table.pairs.find(({ a, b }) => (a === num && b === den) || (a === den && b === num));
  if (found === undefined || table.ms_used === null) return null;
  const d = found.a === num ? found.difference : -found.difference;
  const k = namesOf(used, (row) => row.orientation).length;
  // Of two orientations the simultaneous interval is the plain one: q = t sqrt 2.
  const t = tCritical((1 - conf) / 2, table.df_used);
  const half = k === 2 ? found.half : (found.half * Math.SQRT2 * t) / pairScale(k, table.df_used, conf).q;
  return {
    ratio: Math.exp(d),
    df: table.df_used,
    lo: Math.exp(d - half),
    hi: Math.exp(d + half),
    s: Math.sqrt(table.ms_used),
  };
}
