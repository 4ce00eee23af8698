import { normalShare } from '../numerics/normal.ts';

/**
 * What a run may show: the spread of the draws and, on top, the scatter that no knowledge removes.
 * ln of the margin of a run is x_i + s z in draw i; with a hazard, the run fails outright with chance 1 - q_i [chart-1].
 */
export type Predictive = Readonly<{
  /** ln of the margin with the lasting bias, one a draw. */
  x: Float64Array;
  scatter: number;
  hazard?: Float64Array | undefined;
  weights: Float64Array;
}>;

/** Share of runs whose ln margin lies below t. */
function shareBelow({ x, scatter, hazard, weights }: Predictive, t: number): number {
  let below = 0;
  let total = 0;
  for (let i = 0; i < x.length; i++) {
    const q = hazard?.[i] ?? 1;
    const inside = scatter > 0 ? normalShare(clampZ((t - x[i]!) / scatter)) : x[i]! < t ? 1 : 0;
    below += weights[i]! * (1 - q + q * inside);
    total += weights[i]!;
  }
  return below / total;
}

const Z_MAX = 37; // beyond this the normal share is 0 or 1 to the last digit
function clampZ(z: number): number {
  return Math.min(Math.max(z, -Z_MAX), Z_MAX);
}

/** ln margin below which the share p of runs lies; minus infinity where more than p fails outright. By bisection. */
export function quantileOf(predictive: Predictive, p: number): number {
  const finite = predictive.x.filter(Number.isFinite);
  if (finite.length === 0) return predictive.x[0]! > 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
  const reach = 8 * predictive.scatter + 1e-9;
  let low = finite.reduce((a, b) => Math.min(a, b)) - reach;
  let high = finite.reduce((a, b) => Math.max(a, b)) + reach;
  if (shareBelow(predictive, low) >= p) return Number.NEGATIVE_INFINITY;
  if (shareBelow(predictive, high) < p) return Number.POSITIVE_INFINITY;
  for (let step = 0; step < 100 && high - low > 1e-12; step++) {
    const middle = (low + high) / 2;
    if (shareBelow(predictive, middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Share of runs that hold: ln margin nought or more. */
export function shareHolds(predictive: Predictive): number {
  const { x, scatter, hazard, weights } = predictive;
  let holds = 0;
  let total = 0;
  for (let i = 0; i < x.length; i++) {
    const inside = scatter > 0 ? normalShare(clampZ(x[i]! / scatter)) : x[i]! >= 0 ? 1 : 0;
    holds += weights[i]! * (hazard?.[i] ?? 1) * inside;
    total += weights[i]!;
  }
  return holds / total;
}
