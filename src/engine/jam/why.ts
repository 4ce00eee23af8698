import { betaQuantile } from '../numerics/beta.ts';
import { hashText, stratifiedPoint } from '../numerics/random.ts';
import { weightedQuantile } from '../numerics/weighted-quantile.ts';
import { type When, whenDensity } from './when.ts';

/** Causes of a stopped print and the signs that tell them apart, as the card gives them; `chance` in the order of causes. */
export type CauseTable = Readonly<{
  causes: readonly Readonly<{ id: string; family: string; when: When; part: number }>[];
  signs: readonly Readonly<{ id: string; minutes: number; chance: readonly number[] }>[];
  /** Signs depend on one another and on the same person: each counts to this power. */
  trust: number;
  /** Each chance of the table is Beta(kappa p, kappa (1 - p)). */
  kappa: number;
  /** Minutes lost by mending the wrong thing first. */
  wrongMinutes: number;
}>;

/** Sign by sign: seen, or looked for and not seen. What was not looked for is left out. */
export type Saw = Readonly<Record<string, boolean>>;

/** How often each cause of the kit showed a sign, or did not, once it was confirmed: learned counts beside the table. */
export type SignCounts = Readonly<
  Record<string, Readonly<Record<string, Readonly<{ yes: number; no: number }>>>>
>;

/** Chance of a table with what was learned: (kappa p + yes)/(kappa + yes + no). */
export function learnedTable(table: CauseTable, counts: SignCounts): CauseTable {
  return {
    ...table,
    signs: table.signs.map((sign) => ({
      ...sign,
      chance: sign.chance.map((p, l) => {
        const seen = counts[sign.id]?.[table.causes[l]!.id];
        return seen ? (table.kappa * p + seen.yes) / (table.kappa + seen.yes + seen.no) : p;
      }),
    })),
  };
}

/** What is known of a cause before any sign: its chance in this print, and when (the table's, unless a link knows better). */
export type Before = Readonly<{ chance: number; when?: When }>;

/** Rate of each cause at the hour, before any sign [1/h].     [jam-11] */
export function hazards(
  table: CauseTable,
  before: Readonly<Record<string, Before>>,
  hours: number,
  length: number,
): Float64Array {
  return Float64Array.from(table.causes, ({ id, when }) => {
    const known = before[id];
    return known ? known.chance * whenDensity(known.when ?? when, hours, length) : 0;
  });
}

/**
 * Chance of each cause once signs were seen.     [jam-12]
 *
 *   P(l | S) ~ h_l(t) prod_s q_sl^trust,  q = p where the sign was seen, 1 - p where it was looked for and not seen
 *
 * @param rates h_l, in the order of causes
 * @param chance p_sl of each sign of the table, in the order of its signs and causes
 * @returns shares that sum to 1; all 0 where no cause has any chance
 */
export function causeShares(
  table: CauseTable,
  rates: Float64Array,
  saw: Saw,
  chance: (sign: number, cause: number) => number = (s, l) => table.signs[s]!.chance[l]!,
): Float64Array {
  // Products of small numbers are kept in the logarithm, so that an unlikely sign never turns all causes to 0.
  const ln = Float64Array.from(rates, Math.log);
  table.signs.forEach((sign, s) => {
    const seen = saw[sign.id];
    if (seen === undefined) return;
    for (let l = 0; l < ln.length; l++) {
      const p = chance(s, l);
      ln[l]! += table.trust * Math.log(seen ? p : 1 - p);
    }
  });
  const most = ln.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  if (most === Number.NEGATIVE_INFINITY) return new Float64Array(ln.length);
  const shares = ln.map((x) => Math.exp(x - most));
  const total = shares.reduce((sum, x) => sum + x, 0);
  return shares.map((x) => x / total);
}

/** Sums over the causes of each family, in the order in which families first come. */
export function familyShares(table: CauseTable, shares: ArrayLike<number>): Map<string, number> {
  const out = new Map<string, number>();
  table.causes.forEach(({ family }, l) => {
    out.set(family, (out.get(family) ?? 0) + shares[l]!);
  });
  return out;
}

/** Nodes of each drawn chance: quantiles at even steps, straight between. Exact quantiles would cost a second. */
const NODES = 129;

/**
 * 10 and 90 % of the chance of each family when the table is drawn.
 * Each chance is its own unknown with its own column, keyed by seed, sign and cause.
 */
export function familyBands(
  table: CauseTable,
  rates: Float64Array,
  saw: Saw,
  draws: number,
  seed: number,
): Map<string, [number, number]> {
  const columns = new Map<number, Float64Array>();
  const causes = table.causes.length;
  table.signs.forEach((sign, s) => {
    if (saw[sign.id] === undefined) return;
    sign.chance.forEach((p, l) => {
      columns.set(
        s * causes + l,
        drawnChances(p, table.kappa, draws, hashText(`${seed}|${sign.id}|${table.causes[l]!.id}`)),
      );
    });
  });
  const families = [...familyShares(table, new Float64Array(causes)).keys()];
  const rows = families.map(() => new Float64Array(draws));
  for (let i = 0; i < draws; i++) {
    const shares = causeShares(table, rates, saw, (s, l) => columns.get(s * causes + l)![i]!);
    const sums = familyShares(table, shares);
    families.forEach((family, f) => {
      rows[f]![i] = sums.get(family)!;
    });
  }
  const even = new Float64Array(draws).fill(1);
  return new Map(
    families.map((family, f) => [
      family,
      [weightedQuantile(rows[f]!, even, 0.1), weightedQuantile(rows[f]!, even, 0.9)],
    ]),
  );
}

function drawnChances(p: number, kappa: number, draws: number, key: number): Float64Array {
  const nodes = Float64Array.from({ length: NODES }, (_, k) =>
    betaQuantile((k + 0.5) / NODES, kappa * p, kappa * (1 - p)),
  );
  return Float64Array.from({ length: draws }, (_, i) => {
    const u = Math.min(Math.max(stratifiedPoint(i, key) * NODES - 0.5, 0), NODES - 1.000001);
    const k = Math.floor(u);
    return nodes[k]! + (u - k) * (nodes[k + 1]! - nodes[k]!);
  });
}
