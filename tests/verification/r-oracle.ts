import { WebR } from 'webr';
import { normalQuantile } from '../../src/engine/numerics/normal.ts';
import { hashText, uniformStream } from '../../src/engine/numerics/random.ts';
import { blocks } from '../../src/engine/statistics/blocks.ts';
import { fQuantile, tCritical } from '../../src/engine/statistics/distributions.ts';
import { summary } from '../../src/engine/statistics/group.ts';
import { line } from '../../src/engine/statistics/line.ts';
import { nested } from '../../src/engine/statistics/nested.ts';
import { noncentralTShare } from '../../src/engine/statistics/noncentral-t.ts';
import { shapiroWilk } from '../../src/engine/statistics/normality.ts';
import { anova, welchAnova } from '../../src/engine/statistics/one-way.ts';
import { grubbs } from '../../src/engine/statistics/outlier.ts';
import { holm, known, pairs, welch } from '../../src/engine/statistics/pairs.ts';
import { powerAnova, powerTwo, scatterUpper } from '../../src/engine/statistics/power.ts';
import { blockRatio, fieller, plateRatio } from '../../src/engine/statistics/ratio.ts';
import { rounds } from '../../src/engine/statistics/rounds.ts';
import type { Row } from '../../src/engine/statistics/rows.ts';
import {
  studentizedRangeQuantile,
  studentizedRangeTail,
} from '../../src/engine/statistics/studentized-range.ts';
import { boundRank, toleranceFactor } from '../../src/engine/statistics/tolerance.ts';
import { levene } from '../../src/engine/statistics/variances.ts';

/**
 * R as a second opinion: the language R 4.6 built for this runtime (npm `webr`), base and stats alone, no network. Data
 * sets are random and seeded; every statistic that R has is computed by both.
 */

export async function startR(): Promise<WebR> {
  const r = new WebR({ interactive: false });
  await r.init();
  return r;
}

/** A figure of ours and the same by R; `abs` or `rel`, whichever is wider. */
export type Compared = Readonly<{ what: string; ours: number; r: number; rel: number; abs: number }>;

type Series = Readonly<{
  x: number[];
  y: number[];
  z: number[];
  /** Mixed plates, rounds, and plates of one orientation each. */
  mixed: Row[];
  round: Row[];
  nest: Row[];
}>;

const GROUPS = ['flat', 'edge', 'upright'] as const;
const MEANS = { flat: 80, edge: 85, upright: 33 } as const;

/** Group sizes, scatters and layouts change from set to set. */
export function seriesOf(seed: number): Series {
  const uniform = uniformStream(hashText(`against R ${seed}`));
  const normal = () => normalQuantile(uniform());
  const whole = (from: number, to: number) => from + Math.floor(uniform() * (to - from + 1));
  const values = (mean: number, sd: number, n: number) =>
    Array.from({ length: n }, () => mean + sd * normal());
  const [sx, sy, sz] = [1 + 6 * uniform(), 1 + 6 * uniform(), 1 + 6 * uniform()];
  const plates = whole(2, 5);
  const bar = (orientation: (typeof GROUPS)[number], plate: string, effect: number, round?: string): Row => ({
    orientation,
    plate,
    ...(round === undefined ? {} : { round }),
    value: MEANS[orientation] * Math.exp(effect + 0.05 * normal()),
  });
  const effects = Array.from({ length: plates }, () => 0.03 * normal());
  const each = whole(1, 3);
  return {
    x: values(80, sx, whole(4, 12)),
    y: values(85 - 10 * uniform(), sy, whole(4, 12)),
    z: values(33, sz, whole(4, 12)),
    mixed: effects.flatMap((effect, p) =>
      GROUPS.flatMap((name) => Array.from({ length: each }, () => bar(name, `p${p}`, effect))),
    ),
    round: effects.flatMap((effect, p) =>
      GROUPS.flatMap((name) => {
        const own = effect + 0.03 * normal();
        return Array.from({ length: each }, () => bar(name, `${name}${p}`, own, `r${p}`));
      }),
    ),
    nest: GROUPS.flatMap((name) =>
      Array.from({ length: whole(2, 4) }, (_, p) => p).flatMap((p) => {
        const own = 0.03 * normal();
        return Array.from({ length: whole(2, 4) }, () => bar(name, `${name}${p}`, own));
      }),
    ),
  };
}

const vector = (values: readonly (number | string)[]) =>
  `c(${values.map((value) => (typeof value === 'number' ? value : JSON.stringify(value))).join(',')})`;
const frame = (rows: readonly Row[]) =>
  `data.frame(o=factor(${vector(rows.map((row) => row.orientation))}, levels=${vector([...GROUPS])}), p=factor(${vector(rows.map((row) => row.plate))}), r=factor(${vector(rows.map((row) => row.round ?? ''))}), v=${vector(rows.map((row) => row.value))})`;

/** Rounding of sums of squares that nearly cancel. */
const EXACT = { rel: 1e-8, abs: 1e-10 };
/**
 * R's ptukey stops early: at two groups it leaves R's own pt by 5e-7, and below 8 degrees of freedom by up to 5e-6 in 1e-3
 * (q = 30, df = 3.2), where ours agrees with pt to 1e-13; at three groups about ten times as much.
 */
const RANGE = { rel: 2e-6, abs: 2e-6 };
const RANGE_FEW = { rel: 1e-4, abs: 5e-5 };
const FEW_DF = 8;

/** All figures of one data set by both. */
export async function compareWithR(r: WebR, seed: number): Promise<Compared[]> {
  const set = seriesOf(seed);
  const { x, y, z, mixed, round, nest } = set;
  const groups = [
    { name: 'flat', values: x },
    { name: 'edge', values: y },
    { name: 'upright', values: z },
  ];
  const n = x.length;
  const ours: [string, number, { rel: number; abs: number }][] = [];
  const code: string[] = [];
  /** One R expression that gives as many numbers as are named. */
  const both = (figures: Record<string, number>, expression: string, room = EXACT) => {
    for (const [what, value] of Object.entries(figures)) ours.push([what, value, room]);
    code.push(`as.numeric(local({${expression}}))`);
  };

  const own = summary(x, 0.95);
  both({ mean: own.mean, s: own.s!, lo: own.lo!, hi: own.hi! }, 'c(mean(x), sd(x), t.test(x)$conf.int)');
  const w = welch(known(x), known(y), 0.95);
  both(
    { 'welch t': w.t, 'welch df': w.df, 'welch p': w.p, 'welch lo': w.lo, 'welch hi': w.hi },
    'u <- t.test(x, y); c(u$statistic, u$parameter, u$p.value, u$conf.int)',
  );
  const wa = welchAnova(groups);
  both(
    { 'oneway F': wa.F, 'oneway df2': wa.df2, 'oneway p': wa.p },
    'u <- oneway.test(v ~ g, groups); c(u$statistic, u$parameter[2], u$p.value)',
  );
  const an = anova(groups);
  both(
    { 'aov F': an.F!, 'aov p': an.p!, 'aov resid': an.resid_sd! },
    'u <- summary(aov(v ~ g, groups))[[1]]; c(u[1,4], u[1,5], sqrt(u[2,3]))',
  );
  const le = levene(groups);
  both(
    { 'levene F': le.F!, 'levene p': le.p! },
    'm <- ave(groups$v, groups$g, FUN=median); u <- anova(lm(abs(v - m) ~ g, groups)); c(u[1,4], u[1,5])',
  );
  const tukey = pairs(groups, 'tukey', 0.95);
  both(
    Object.fromEntries(
      tukey.flatMap(({ a, b, difference, lo, hi }) => [
        [`tukey ${a}-${b}`, difference],
        [`tukey lo ${a}-${b}`, lo],
        [`tukey hi ${a}-${b}`, hi],
      ]),
    ),
    'u <- TukeyHSD(aov(v ~ g, groups))$g; c(t(cbind(-u[,1], -u[,3], -u[,2])))',
    RANGE,
  );
  both(
    Object.fromEntries(tukey.map(({ a, b, p }) => [`tukey p ${a}-${b}`, p])),
    'TukeyHSD(aov(v ~ g, groups))$g[,4]',
    RANGE,
  );
  // Games-Howell is not in R itself: its formula on R's own mean, var and ptukey.
  for (const { a, b, df, p, half } of pairs(groups, 'games-howell', 0.95)) {
    const [first, second] = [a, b].map((name) => ({ flat: 'x', edge: 'y', upright: 'z' })[name]!);
    const scale = `a <- ${first}; b <- ${second}; va <- var(a)/length(a); vb <- var(b)/length(b); df <- (va+vb)^2/(va^2/(length(a)-1)+vb^2/(length(b)-1)); s <- sqrt((va+vb)/2)`;
    both({ [`games-howell df ${a}-${b}`]: df }, `${scale}; df`);
    both(
      { [`games-howell p ${a}-${b}`]: p, [`games-howell half ${a}-${b}`]: half },
      `${scale}; c(ptukey(abs(mean(a)-mean(b))/s, 3, df, lower.tail=FALSE), qtukey(0.95, 3, df)*s)`,
      df < FEW_DF ? RANGE_FEW : RANGE,
    );
    const q = Math.abs(2 + df / 2);
    both({ [`range of two ${a}-${b}`]: studentizedRangeTail(q, 2, df) }, `2*pt(-${q}/sqrt(2), ${df})`);
  }
  const q = 2 + 3 * ((seed % 7) / 7);
  both(
    { ptukey: studentizedRangeTail(q, 3, n), qtukey: studentizedRangeQuantile(0.95, 3, n) },
    `c(ptukey(${q}, 3, ${n}, lower.tail=FALSE), qtukey(0.95, 3, ${n}))`,
    RANGE,
  );
  const delta = normalQuantile(0.9) * Math.sqrt(n);
  // R's own noncentral t stops at 1e-12 in the sum; its quantile by bisection at about 1e-8.
  both(
    { 'pt ncp': noncentralTShare(delta + 1, n - 1, delta), k: toleranceFactor(n, 0.9, 0.95) },
    `c(pt(${delta + 1}, ${n - 1}, ${delta}), qt(0.95, ${n - 1}, ${delta})/sqrt(${n}))`,
    { rel: 1e-6, abs: 1e-9 },
  );
  both(
    { qf: fQuantile(0.95, 2, n), qt: tCritical(0.025, n), chi: scatterUpper(1, n - 1) },
    `c(qf(0.95, 2, ${n}), qt(0.975, ${n}), sqrt(${n - 1}/qchisq(0.2, ${n - 1})))`,
  );
  both({ 'power two': powerTwo(1.5, n, 0.05) }, `power.t.test(n=${n}, delta=1.5, sd=1, strict=TRUE)$power`, {
    rel: 1e-7,
    abs: 1e-7,
  });
  both(
    { 'power anova': powerAnova([0, 0.5, 1], 1, n, 0.05) },
    `power.anova.test(groups=3, n=${n}, between.var=var(c(0,0.5,1)), within.var=1)$power`,
    { rel: 1e-7, abs: 1e-7 },
  );
  const sw = shapiroWilk(x)!;
  both({ 'shapiro W': sw.W, 'shapiro p': sw.p }, 'u <- shapiro.test(x); c(u$statistic, u$p.value)', {
    rel: 5e-6,
    abs: 2e-6,
  });
  const p = [0.01 + 0.002 * (seed % 9), 0.04, 0.03, 0.2];
  both(Object.fromEntries(holm(p).map((value, k) => [`holm ${k}`, value])), `p.adjust(${vector(p)}, "holm")`);
  const xs = x.map((_, k) => k);
  const li = line(xs, x);
  both(
    { b0: li.b0, b1: li.b1, se_b0: li.se_b0!, se_b1: li.se_b1!, r2: li.r2!, resid: li.resid_sd! },
    'u <- summary(lm(x ~ seq_along(x) - 1 + I(rep(1, length(x))))); k <- seq_along(x) - 1; u <- summary(lm(x ~ k)); c(u$coefficients[,1], u$coefficients[,2], u$r.squared, u$sigma)',
  );
  const gr = grubbs(x, 0.05, 2);
  both(
    { G: gr.G, crit: gr.crit },
    'n <- length(x); t <- qt(1 - 0.05/(2*n), n - 2); c(max(abs(x - mean(x)))/sd(x), (n-1)/sqrt(n)*sqrt(t^2/(n-2+t^2)))',
  );
  const big = 29 + (seed % 40);
  both({ rank: boundRank(big, 0.9, 0.95) }, `r <- 0; while (pbinom(r, ${big}, 0.1) <= 0.05) r <- r + 1; r`);
  const fi = fieller(z, x, 0.95);
  both(
    { 'fieller ratio': fi.ratio, 'fieller lo': fi.lo!, 'fieller hi': fi.hi! },
    `R <- mean(z)/mean(x); v1 <- var(z)/length(z); v2 <- var(x)/length(x); df <- (v1+R^2*v2)^2/(v1^2/(length(z)-1)+(R^2*v2)^2/(length(x)-1)); t <- qt(0.975, df); g <- t^2*v2/mean(x)^2; h <- t/mean(x)*sqrt(v1*(1-g)+R^2*v2); c(R, (R-h)/(1-g), (R+h)/(1-g))`,
  );
  const bl = blocks(mixed, 0.95);
  const F = bl.interaction?.is_error ? 'a[2,2]/a[2,1]/(a[3,2]/a[3,1])' : null;
  both(
    { 'blocks SS': bl.ss_treatment, 'blocks SS plate': bl.ss_block, 'blocks SS error': bl.ss_error },
    'a <- anova(lm(v ~ p + o, mixed)); b <- anova(lm(v ~ o + p, mixed)); c(a[2,2], b[2,2], a[3,2])',
  );
  both(
    { 'blocks F': bl.F_treatment! },
    F === null
      ? 'anova(lm(v ~ p + o, mixed))[2,4]'
      : 'a <- anova(lm(v ~ p + o + p:o, mixed)); (a[2,2]/a[2,1])/(a[3,2]/a[3,1])',
  );
  const ra = plateRatio(mixed, 'upright', 'flat', 0.95)!;
  both(
    { 'plate ratio': ra.ratio, 'plate lo': ra.lo!, 'plate hi': ra.hi! },
    'k <- with(mixed, tapply(v, list(p, o), mean)); u <- t.test(log(k[,"upright"]) - log(k[,"flat"])); exp(c(u$estimate, u$conf.int))',
  );
  const ro = rounds(round, 0.95);
  const pair = ro.pairs.find(({ a, b }) => a === 'flat' && b === 'upright')!;
  both(
    { 'rounds F': ro.F, 'rounds p': ro.p, 'rounds lo': pair.lo_single, 'rounds hi': pair.hi_single },
    'h <- aggregate(v ~ o + r, rounds, mean); f <- lm(log(v) ~ r + o, h); a <- anova(f); c(a[2,4], a[2,5], sort(exp(-confint(f)["oupright",])))',
  );
  const ne = nested(nest);
  both(
    {
      'nested SS': ne.ss[0]!,
      'nested SS plates': ne.ss[1]!,
      'nested SS bars': ne.ss[2]!,
      'as units F': ne.F_bars_as_units!,
    },
    'a <- anova(lm(v ~ o + o:p, nest)); b <- anova(lm(v ~ o, nest)); c(a[1,2], a[2,2], a[3,2], b[1,4])',
  );
  // One plate that carries both and others of one orientation each: additive blocks of the logs.
  const lone = [
    ...nest.filter(({ orientation }) => orientation !== 'edge'),
    ...mixed.filter(({ plate, orientation }) => plate === 'p0' && orientation !== 'edge'),
  ];
  const bo = blockRatio(lone, 'upright', 'flat', 0.95);
  const interaction = blocks(lone, 0.95).interaction;
  if (bo && !interaction?.is_error)
    both(
      { 'block ratio': bo.ratio, 'block lo': bo.lo!, 'block hi': bo.hi! },
      `e <- ${frame(lone)}; f <- lm(log(v) ~ p + o, e); exp(c(coef(f)["oupright"], confint(f)["oupright",]))`,
    );

  const script = `{ x <- ${vector(x)}; y <- ${vector(y)}; z <- ${vector(z)};
    groups <- data.frame(v=c(x,y,z), g=factor(rep(c("flat","edge","upright"), c(length(x),length(y),length(z))), levels=c("flat","edge","upright")));
    mixed <- ${frame(mixed)}; rounds <- ${frame(round)}; nest <- ${frame(nest)};
    c(${code.join(',\n')}) }`;
  const theirs = await r.evalRRaw(script, 'number[]');
  if (theirs.length !== ours.length)
    throw new Error(`R gave ${theirs.length} figures for ${ours.length} of ours`);
  return ours.map(([what, value, room], k) => ({ what, ours: value, r: theirs[k]!, ...room }));
}

export function disagreements(compared: readonly Compared[], seed: number): string[] {
  return compared
    .filter(({ ours, r, rel, abs }) => !(Math.abs(ours - r) <= Math.max(abs, rel * Math.abs(r))))
    .map(({ what, ours, r }) => `set ${seed}, ${what}: ours ${ours}, R ${r}`);
}
