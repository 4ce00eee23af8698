/** Points and weights of Gauss-Legendre quadrature on -1 .. 1, ascending. */
export type Rule = Readonly<{ points: Float64Array; weights: Float64Array }>;

const rules = new Map<number, Rule>();
/** Newton on a Legendre polynomial from the usual cosine guess needs five steps; more would be a fault of ours. */
const STEPS_MAX = 20;

/**
 * The rule with `count` points, exact for polynomials up to degree 2 count - 1; computed once.
 * Roots of the Legendre polynomial by Newton, weights 2/((1 - x^2) P'(x)^2).
 */
export function gaussLegendre(count: number): Rule {
  const known = rules.get(count);
  if (known) return known;
  const points = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let i = 0; i < Math.ceil(count / 2); i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 1;
    let steps = 0;
    for (let change = 1; Math.abs(change) > 1e-15; steps++) {
      if (steps === STEPS_MAX) throw new Error(`Gauss-Legendre point ${i} of ${count} did not settle`);
      let before = 1;
      let value = x;
      for (let k = 2; k <= count; k++) {
        const next = ((2 * k - 1) * x * value - (k - 1) * before) / k;
        before = value;
        value = next;
      }
      slope = (count * (x * value - before)) / (x * x - 1);
      change = value / slope;
      x -= change;
    }
    const weight = 2 / ((1 - x * x) * slope * slope);
    points[i] = -x;
    points[count - 1 - i] = x;
    weights[i] = weight;
    weights[count - 1 - i] = weight;
  }
  const rule = { points, weights };
  rules.set(count, rule);
  return rule;
}

/** Integral of f from a to b with `count` points. */
export function integrate(f: (x: number) => number, a: number, b: number, count: number): number {
  const { points, weights } = gaussLegendre(count);
  const middle = 0.5 * (a + b);
  const half = 0.5 * (b - a);
  let sum = 0;
  for (let i = 0; i < count; i++) sum += weights[i]! * f(middle + half * points[i]!);
  return sum * half;
}
