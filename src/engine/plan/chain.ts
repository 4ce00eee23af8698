import type { Draws } from '../draws.ts';
import { type Answer, type Assessment, type Check, LINK_NAMES, type LinkName } from '../links/link.ts';
import { correlation, ranks } from '../numerics/rank.ts';
import { type Predictive, shareHolds } from './predictive.ts';
import { chanceOf, type Fates, fates, verdict } from './verdict.ts';

/** One check judged: its spread as people may meet it, and the share of runs in which it holds. */
export type JudgedCheck = Readonly<{ check: Check; predictive: Predictive; share: number }>;

/** How much of a link's spread one unknown carries: squared rank correlation with ln of the ruling margin. */
export type Driver = Readonly<{ key: string; share: number; sign: number }>;

export type JudgedLink = Readonly<{
  name: LinkName;
  checks: readonly JudgedCheck[];
  /** The check with the least share: the one a row shows. */
  ruling: JudgedCheck;
  /** Share of runs in which all checks of an answer hold; null where the link has none of that answer. */
  shares: Readonly<Record<Answer, number | null>>;
  /** All checks together. */
  together: number;
  /** Chance per draw that the run comes off here, and that it does and counts. */
  off: Float64Array;
  both: Float64Array;
  drivers: readonly Driver[];
}>;

export type JudgedChain = Readonly<{
  links: Readonly<Partial<Record<LinkName, JudgedLink>>>;
  /** Chance of each answer over the links that are there, other mishaps included in both. */
  comesOff: number;
  counts: number;
  errors: Readonly<{ comesOff: number; counts: number }>;
  weakest: LinkName | null;
  /** Order: links that are there, in job order; other mishaps last. */
  order: readonly LinkName[];
  fates: Fates;
  /** Chance that no other mishap strikes, over all draws. */
  noMishap: number;
}>;

/**
 * Judges the whole chain from what its links found in the same draws: equations [plan-1] to [plan-4], [chain-1].
 * @param found   links that are computed
 * @param weights of the draws, even until something was seen
 * @param printing time of all prints in s, for other mishaps outside the eight links; 0 where no print is known
 */
export function judgeChain(
  found: Readonly<Partial<Record<LinkName, Assessment>>>,
  draws: Draws,
  weights: Float64Array,
  printing: number,
  reads: Readonly<Partial<Record<LinkName, readonly string[]>>>,
): JudgedChain {
  const order = LINK_NAMES.filter((name) => found[name]);
  const links = Object.fromEntries(
    order.map((name) => [name, judgeLink(name, found[name]!, draws, weights, reads[name] ?? [])]),
  ) as Partial<Record<LinkName, JudgedLink>>;
  const rate = draws.column('risks.other mishaps');
  const noMishap = rate.map((perSecond) => Math.exp(-perSecond * printing));
  const off = order.map((name) => links[name]!.off);
  const both = order.map((name) => links[name]!.both);
  const comesOff = verdict([...off, noMishap], weights);
  const counts = verdict([...both, noMishap], weights);
  const least = order.length > 0 ? verdict(both, weights).weakest : null;
  return {
    links,
    comesOff: comesOff.chain,
    counts: counts.chain,
    errors: { comesOff: comesOff.error, counts: counts.error },
    weakest: least === null ? null : order[least]!,
    order,
    fates: fates([...off, noMishap], [...both, noMishap], weights),
    noMishap: verdict([noMishap], weights).chain,
  };
}

function judgeLink(
  name: LinkName,
  assessment: Assessment,
  draws: Draws,
  weights: Float64Array,
  reads: readonly string[],
): JudgedLink {
  const bias = draws.column(`links.bias of ${name}`);
  const scatter = draws.column(`links.scatter of ${name}`)[0]!;
  const x = (check: Check) => check.margin.map((m, i) => Math.log(Math.max(m, 0)) + bias[i]!);
  const checks = assessment.checks.map((check) => {
    const predictive = { x: x(check), scatter, weights, hazard: check.chance };
    return { check, predictive, share: shareHolds(predictive) };
  });
  const [first] = checks;
  if (!first) throw new Error(`${name} found no check`);
  const ruling = checks.reduce((least, next) => (next.share < least.share ? next : least), first);
  const chance = (kept: readonly JudgedCheck[]) => {
    // One run has one scatter: the least margin of the link decides, hazards multiply.
    const least = new Float64Array(draws.count).fill(Number.POSITIVE_INFINITY);
    const none = new Float64Array(draws.count).fill(1);
    for (const { check, predictive } of kept)
      for (let i = 0; i < draws.count; i++) {
        if (check.chance) none[i]! *= check.chance[i]!;
        else least[i] = Math.min(least[i]!, predictive.x[i]!);
      }
    return chanceOf(least, scatter, none);
  };
  const ofAnswer = (answer: Answer) => checks.filter(({ check }) => check.answer === answer);
  const mean = (column: Float64Array) => verdict([column], weights).chain;
  const shareOf = (answer: Answer) => {
    const kept = ofAnswer(answer);
    return kept.length > 0 ? mean(chance(kept)) : null;
  };
  const both = chance(checks);
  return {
    name,
    checks,
    ruling,
    shares: { 'comes off': shareOf('comes off'), counts: shareOf('counts') },
    together: mean(both),
    off: chance(ofAnswer('comes off')),
    both,
    drivers: driversOf(ruling.predictive.x, draws, weights, reads),
  };
}

/** Unknowns that carry the spread of x, the strongest first. */
function driversOf(
  x: Float64Array,
  draws: Draws,
  weights: Float64Array,
  reads: readonly string[],
): readonly Driver[] {
  const ranked = ranks(x);
  return reads
    .map((key) => {
      const rho = correlation(ranks(draws.normals(key)), ranked, weights);
      return { key, share: rho * rho, sign: Math.sign(rho) };
    })
    .sort((a, b) => b.share - a.share || (a.key < b.key ? -1 : 1));
}
