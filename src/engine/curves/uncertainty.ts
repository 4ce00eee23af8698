/** Standard uncertainty of one bar's numbers, by propagation (GUM, JCGM 100). All relative unless said. */

export type SizeReadings = Readonly<{
  /** Mean [m]. */
  mean: number;
  /** Standard deviation of the readings [m], and their number. */
  deviation: number;
  count: number;
  /** Standard uncertainty of the instrument [m]: half width/sqrt 3. */
  instrument: number;
}>;

export type StressUncertainty = Readonly<{
  stress: number;
  relative: number;
  /** Expanded: k times. */
  expanded: number;
  /** Shares of the variance. */
  shareForce: number;
  shareWidth: number;
  shareThickness: number;
}>;

/** A class of n % counts as even odds between -n and n. */
export function ofClass(percent: number): number {
  return percent / 100 / Math.sqrt(3);
}

/**
 *   u^2(s)/s^2 = u_F^2 + u_b^2/b^2 + u_h^2/h^2,   u_b^2 = s_b^2/n + u_instrument^2 + 2 ridge^2/12     [curves-16]
 *
 * A caliper rides on the ridges of both printed faces: even odds over the ridge height on each. No correction is made.
 */
export function stressUncertainty(
  force: number,
  forceRelative: number,
  width: SizeReadings,
  thickness: SizeReadings,
  ridgeHeight: number,
  coverage: number = 2,
): StressUncertainty {
  const ridge = (2 * ridgeHeight ** 2) / 12;
  const part = ({ mean, deviation, count, instrument }: SizeReadings) =>
    (deviation ** 2 / count + instrument ** 2 + ridge) / mean ** 2;
  const byForce = forceRelative ** 2;
  const byWidth = part(width);
  const byThickness = part(thickness);
  const variance = byForce + byWidth + byThickness;
  const stress = force / (width.mean * thickness.mean);
  const relative = Math.sqrt(variance);
  const share = (one: number) => (variance > 0 ? one / variance : 0);
  return {
    stress,
    relative,
    expanded: coverage * relative * stress,
    shareForce: share(byForce),
    shareWidth: share(byWidth),
    shareThickness: share(byThickness),
  };
}

/** Modulus: the stress part, the extensometer, and the standard error of the slope, each relative [curves-17]. */
export function modulusUncertainty(
  stressRelative: number,
  extensometerRelative: number,
  modulus: number,
  slopeError: number,
): number {
  return Math.hypot(stressRelative, extensometerRelative, slopeError / modulus);
}
