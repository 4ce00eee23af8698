/** Falls of the stress: grips that slip, and the first true maximum. */

export type Fall = Readonly<{
  /** Index of the greatest stress before the fall. */
  peak: number;
  /** Index of the lowest stress of the fall. */
  trough: number;
  /** First index at which the stress of the peak is reached again, or null. */
  regain: number | null;
}>;

export type Falls = Readonly<{
  slips: readonly Fall[];
  /** Index of the first maximum that is no slip, or null. */
  maximum: number | null;
  /** Whether the stress rises again behind that maximum. */
  risesLater: boolean;
}>;

/**
 * Walks along the stress: a fall begins where it has dropped by more than `threshold` below its running maximum, and
 * ends at its lowest reading before a rise of as much. `isSlip` judges each [curves-10].
 *
 * After a slip that is never regained the running maximum begins anew at the trough, so that a later one is seen.
 */
export function fallsOf(
  stress: Float64Array,
  last: number,
  threshold: number,
  isSlip: (fall: Fall) => boolean,
): Falls {
  const slips: Fall[] = [];
  let maximum: number | null = null;
  let risesLater = false;
  let peak = 0;
  for (let i = 1; i <= last; i++) {
    if (stress[i]! >= stress[peak]!) {
      peak = i;
      continue;
    }
    if (stress[peak]! - stress[i]! <= threshold) continue;
    let trough = i;
    let at = i;
    while (at < last && stress[at]! - stress[trough]! <= threshold) {
      at++;
      if (stress[at]! < stress[trough]!) trough = at;
    }
    let regain: number | null = null;
    for (let k = trough + 1; k <= last && regain === null; k++) if (stress[k]! >= stress[peak]!) regain = k;
    const fall = { peak, trough, regain };
    if (isSlip(fall)) slips.push(fall);
    else if (maximum === null) {
      maximum = peak;
      risesLater = stress[at]! - stress[trough]! > threshold;
    }
    i = regain ?? trough;
    peak = i;
  }
  return { slips, maximum, risesLater };
}
