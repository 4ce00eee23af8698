import { normalQuantile } from '../numerics/normal.ts';
import { binomialShare } from './distributions.ts';
import { moments } from './group.ts';
import { noncentralTQuantile } from './noncentral-t.ts';
import { weibullFit } from './weibull.ts';

/**
 * Factor k of the one-sided bound m - k s that lies below the share p of the population with confidence conf:
 *
 *   k = t'(conf; n - 1, z_p sqrt n)/sqrt n,  t' the quantile of the noncentral t                           [statistics-13]
 */
export function toleranceFactor(n: number, p: number, conf: number): number {
  return noncentralTQuantile(conf, n - 1, normalQuantile(p) * Math.sqrt(n)) / Math.sqrt(n);
}

/**
 * Rank r of the order statistic that bounds without any distribution: largest r with BinomialCDF(r - 1; n, 1 - p) <=
 * 1 - conf; 0 where n is too small (below 29 for 90/95, below 299 for 99/95).                            [statistics-14]
 */
export function boundRank(n: number, p: number, conf: number): number {
  let rank = 0;
  while (rank < n && binomialShare(rank, n, 1 - p) <= 1 - conf) rank++;
  return rank;
}

/** V of the Weibull bound is an approximation that was fitted for these two alone (CMH-17-1G 8.3.4, from memory). */
function weibullMargin(n: number, p: number, conf: number): number | null {
  if (conf !== 0.95) return null;
  if (p === 0.9) return 3.803 + Math.exp(1.79 - 0.516 * Math.log(n) + 5.1 / (n - 1));
  if (p === 0.99) return 6.649 + Math.exp(2.55 - 0.526 * Math.log(n) + 4.76 / n);
  return null;
}

/** Weibull bound q exp(-V/(b sqrt n)), q the quantile at 1 - p of the fitted distribution. [statistics-15] */
function weibullBound(values: readonly number[], p: number, conf: number): number | null {
  const n = values.length;
  const V = weibullMargin(n, p, conf);
  if (V === null || !values.every((x) => x > 0) || new Set(values).size < 2) return null;
  const { shape, scale } = weibullFit(values);
  return scale * (-Math.log(p)) ** (1 / shape) * Math.exp(-V / (shape * Math.sqrt(n)));
}

/** Bars from which a bound is shown at all. */
const SHOWN_FROM = 5;
/** The rule that allows the name B-basis: bars, and plates or spools that pool (CMH-17, from memory). */
const B_BASIS = { bars: 18, batches: 3, p: 0.9, conf: 0.95 } as const;

export type Bound = Readonly<{
  n: number;
  k: number | null;
  normal: number | null;
  lognormal: number | null;
  weibull: number | null;
  /** 0 where n is too small. */
  rank: number;
  rank_bound: number | null;
  shown: boolean;
  b_basis: boolean;
  /** The honest name, and what is missing or why nothing is shown; null when nothing is. */
  name: string;
  missing: string | null;
}>;

/**
 * Lower bounds of one population of values: normal m - k s, lognormal on the logs, Weibull, rank.          [statistics-15]
 * @param batches plates or spools that the values come from and that pool
 */
export function lowerBound(values: readonly number[], p: number, conf: number, batches: number): Bound {
  const { n, mean, s } = moments(values);
  const k = n > 1 ? toleranceFactor(n, p, conf) : null;
  const normal = k === null ? null : mean - k * s!;
  const logs = k !== null && values.every((x) => x > 0) ? moments(values.map(Math.log)) : null;
  const rank = boundRank(n, p, conf);
  const shown = n >= SHOWN_FROM && normal !== null && normal > 0.5 * Math.abs(mean);
  const enough = n >= B_BASIS.bars && batches >= B_BASIS.batches;
  const basis = enough && p === B_BASIS.p && conf === B_BASIS.conf;
  const shares = `${100 * p}/${100 * conf}`;
  return {
    n,
    k,
    normal,
    lognormal: logs && Math.exp(logs.mean - k! * logs.s!),
    weibull: n > 1 ? weibullBound(values, p, conf) : null,
    rank,
    rank_bound: rank > 0 ? values.toSorted((a, b) => a - b)[rank - 1]! : null,
    shown,
    b_basis: basis,
    name: basis ? 'B-basis' : `${shares} lower bound of ${batches > 1 ? 'these plates' : 'this plate'}`,
    missing: !shown
      ? 'Too few bars for a bound, or too much scatter.'
      : basis || p !== B_BASIS.p
        ? null
        : `A B-basis needs ${B_BASIS.bars} bars or more from ${B_BASIS.batches} plates or spools that pool; here are ${n} from ${batches}.`,
  };
}
