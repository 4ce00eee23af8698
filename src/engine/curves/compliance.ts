import { Refusal } from '../kernel.ts';
import { fitLine } from './fit.ts';
import { breakOf } from './record-end.ts';
import { firstRise } from './toe.ts';

/** Shares of the greatest force between which the give of the machine is read; 10 to 50 % would give it 12 % too small. */
const FORCE_LOW = 0.04;
const FORCE_HIGH = 0.2;

/**
 * Give of machine and grips [m/N], from one bar that has both an extensometer and the travel of the grips:
 *
 *   slope of d - Leq e on F between 4 and 20 % of the greatest force, first rise     [curves-12]
 *
 * Above that the bar is no longer elastic over its whole length, and the difference is not the machine's.
 *
 * @param equivalentLength Leq [m]
 * @throws Refusal with fewer than three readings in that range
 */
export function machineCompliance(
  force: Float64Array,
  strain: Float64Array,
  travel: Float64Array,
  equivalentLength: number,
): { compliance: number; error: number; count: number } {
  const { peak, index } = breakOf(force);
  const rise = firstRise(force, strain, index, force[peak]!, FORCE_LOW, FORCE_HIGH);
  const rest = travel.map((value, i) => value - equivalentLength * strain[i]!);
  const line = fitLine(force, rest, rise.indices, rise.count);
  if (line === null)
    throw new Refusal(
      `Only ${rise.count} readings lie between 4 and 20 % of the greatest force; at least 3 are needed for the give of the machine.`,
    );
  return { compliance: line.slope, error: line.slopeError, count: line.count };
}
