import { logGamma } from '../numerics/beta.ts';

/** Beyond this nobody buys spares: the chance is then not reached, which the caller is told by `enough`. */
const SPARES_MOST = 1000;

/** Chance that a print costs a part, 1 - prod (1 - chance_l part_l).     [jam-14] */
export function partLost(chances: readonly Readonly<{ chance: number; part: number }>[]): number {
  return 1 - chances.reduce((kept, { chance, part }) => kept * (1 - chance * part), 1);
}

/**
 * Beta law of a chance by its mean and standard deviation.     [jam-14]
 * @throws RangeError where no such law exists: the deviation is 0 or too wide for the mean
 */
export function betaFrom(mean: number, sd: number): [number, number] {
  const k = (mean * (1 - mean)) / (sd * sd) - 1;
  if (!(k > 0 && Number.isFinite(k)))
    throw new RangeError(`no beta law has the mean ${mean} and the deviation ${sd}`);
  return [mean * k, (1 - mean) * k];
}

export type Spares = Readonly<{ spares: number; expected: number; enough: number }>;

function fewest(expected: number, want: number, most: number, chanceOf: (lost: number) => number): Spares {
  let enough = 0;
  for (let s = 0; ; s++) {
    enough += chanceOf(s);
    if (enough >= want || s >= most) return { spares: s, expected, enough: Math.min(1, enough) };
  }
}

/** Fewest spares with P(lost <= spares) >= want in n prints, each of which loses one with a Beta(a, b) chance. [jam-15] */
export function sparesForPrints(prints: number, a: number, b: number, want: number): Spares {
  const lnBeta = (x: number, y: number) => logGamma(x) + logGamma(y) - logGamma(x + y);
  return fewest((prints * a) / (a + b), want, prints, (s) =>
    Math.exp(
      logGamma(prints + 1) -
        logGamma(s + 1) -
        logGamma(prints - s + 1) +
        lnBeta(a + s, b + prints - s) -
        lnBeta(a, b),
    ),
  );
}

/** The same by kilograms: losses per kg are Gamma(k, kg), so losses in x kg are negative binomial. [jam-15] */
export function sparesForKg(kg: number, shape: number, perKg: number, want: number): Spares {
  const p = perKg / (perKg + kg);
  return fewest((shape * kg) / perKg, want, SPARES_MOST, (s) =>
    Math.exp(
      logGamma(s + shape) -
        logGamma(s + 1) -
        logGamma(shape) +
        shape * Math.log(p) +
        (s > 0 ? s * Math.log1p(-p) : 0),
    ),
  );
}

/** Nozzles that wear out: floor((kg on it + kg planned)/kg to change). */
export function wornNozzles(kgOnNozzle: number, kgPlanned: number, kgToRetire: number): number {
  return Math.floor((kgOnNozzle + kgPlanned) / kgToRetire);
}
