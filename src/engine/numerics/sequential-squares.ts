/** A column whose part outside the earlier ones is smaller than this share of it depends on them. */
const DEPENDENT = 1e-9;

/** Columns made orthonormal one after the other; those that depend on earlier ones are left out. */
export type Basis = Readonly<{
  /** Orthonormal columns. */
  q: readonly Float64Array[];
  /** Index of the original column behind each. */
  kept: readonly number[];
  /** r[j]: the kept column j as a combination of q[0..j]. */
  r: readonly Float64Array[];
}>;

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** Gram-Schmidt, each column cleaned twice, which makes it as good as Householder's way (Bjorck 1967, from memory). */
export function orthonormal(columns: readonly Float64Array[]): Basis {
  const q: Float64Array[] = [];
  const r: Float64Array[] = [];
  const kept: number[] = [];
  columns.forEach((column, index) => {
    const rest = Float64Array.from(column);
    const parts = new Float64Array(q.length + 1);
    const size = Math.sqrt(dot(rest, rest));
    for (let pass = 0; pass < 2; pass++)
      for (let j = 0; j < q.length; j++) {
        const part = dot(q[j]!, rest);
        parts[j]! += part;
        for (let i = 0; i < rest.length; i++) rest[i]! -= part * q[j]![i]!;
      }
    const left = Math.sqrt(dot(rest, rest));
    if (!(left > DEPENDENT * size)) return;
    parts[q.length] = left;
    q.push(rest.map((value) => value / left));
    r.push(parts);
    kept.push(index);
  });
  return { q, r, kept };
}

/** Takes the columns of the basis out of y; `effects` are its parts along them. */
export function residual(basis: Basis, y: Float64Array): { rest: Float64Array; effects: Float64Array } {
  const rest = Float64Array.from(y);
  const effects = new Float64Array(basis.q.length);
  for (let pass = 0; pass < 2; pass++)
    basis.q.forEach((column, j) => {
      const part = dot(column, rest);
      effects[j]! += part;
      for (let i = 0; i < rest.length; i++) rest[i]! -= part * column[i]!;
    });
  return { rest, effects };
}

/**
 * Least squares with terms added one after the other: what each takes away from the sum of squares that is left, and
 * its degrees of freedom. Nothing is found as a difference of large sums.
 *
 * @param terms groups of columns, in the order in which they enter
 */
export function sequentialSquares(
  y: Float64Array,
  terms: readonly (readonly Float64Array[])[],
): { ss: number[]; df: number[]; ssRest: number; dfRest: number } {
  const basis = orthonormal(terms.flat());
  const { rest, effects } = residual(basis, y);
  const ends: number[] = [];
  let end = 0;
  for (const term of terms) {
    end += term.length;
    ends.push(end);
  }
  const ss = terms.map(() => 0);
  const df = terms.map(() => 0);
  basis.kept.forEach((index, j) => {
    const term = ends.findIndex((stop) => index < stop);
    ss[term]! += effects[j]! ** 2;
    df[term]! += 1;
  });
  return { ss, df, ssRest: dot(rest, rest), dfRest: y.length - basis.q.length };
}

/** Coefficients of the kept columns, and what the variance of any combination of them is in units of the error's. */
export function coefficients(
  basis: Basis,
  effects: Float64Array,
): { values: Float64Array; varianceOf: (weights: Float64Array) => number } {
  const n = basis.q.length;
  const values = new Float64Array(n);
  for (let j = n - 1; j >= 0; j--) {
    let value = effects[j]!;
    for (let k = j + 1; k < n; k++) value -= basis.r[k]![j]! * values[k]!;
    values[j] = value / basis.r[j]![j]!;
  }
  const varianceOf = (weights: Float64Array) => {
    const solved = new Float64Array(n);
    let sum = 0;
    for (let j = 0; j < n; j++) {
      let value = weights[j]!;
      for (let k = 0; k < j; k++) value -= basis.r[j]![k]! * solved[k]!;
      solved[j] = value / basis.r[j]![j]!;
      sum += solved[j]! ** 2;
    }
    return sum;
  };
  return { values, varianceOf };
}
