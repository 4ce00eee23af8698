import type { Table } from '../../job.ts';
import { normalShare } from '../numerics/normal.ts';
import { tableAt } from '../numerics/table.ts';

/** A hot end that was left full and cooled: what froze to the wall holds the strand when it is hot again. SI, kelvin. */
export type ColdPlug = Readonly<{
  nozzle: number;
  /** Wall at the top of the break when hot again without flow. */
  breakTop: number;
  breakLength: number;
  bore: number;
  meltsAt: number;
  /** Top of the touching polymer above the throat at switch-off, and how far the strand was drawn back then [m]. */
  front: number;
  drawnBack: number;
  /** Share of the wall that polymer covers: 1 full, a tenth after unloading hot. */
  share: number;
  /** Shear strength of frozen polymer on the wall [Pa], and the share of it that melt laid while drawing back has. */
  bond: number;
  weakBond: number;
  /** Pa by K, straight in the logarithm. */
  yieldStress: Table;
}>;

/** The wall lets go this far below the peak of melting [K]. */
const LETS_GO_BELOW = 4;
/** Parts of the integral over the plug: its kinks cost 1e-5 of the force. */
const PARTS = 2000;

/** Height above the throat up to which the wall melts what froze to it [m].     [jam-5] */
export function meltLine(p: ColdPlug): number {
  return ((p.nozzle - (p.meltsAt - LETS_GO_BELOW)) * p.breakLength) / (p.nozzle - p.breakTop);
}

/** Temperature of the top of the break at which all of the plug would melt [K]. */
export function topToFree(p: ColdPlug): number {
  return p.nozzle - ((p.nozzle - (p.meltsAt - LETS_GO_BELOW)) * p.breakLength) / (p.front + p.drawnBack);
}

/** Length of what stays frozen [m]. */
export function plugLength(p: ColdPlug): number {
  return Math.max(0, p.front + p.drawnBack - meltLine(p));
}

/**
 * Force with which the plug holds [N].     [jam-6]
 *
 *   F = pi D_b share [int_xm^xf tau dx + weak int_xf^(xf + b) tau dx],  tau = min(bond, yield(T(x))/sqrt 3)
 *
 * T(x) is straight along the break and that of its top above.
 */
export function plugForce(p: ColdPlug): number {
  const from = Math.max(0, meltLine(p));
  const shear = (x: number) => {
    const T = p.nozzle + (p.breakTop - p.nozzle) * Math.min(1, x / p.breakLength);
    return Math.min(p.bond, tableAt(T, p.yieldStress) / Math.sqrt(3));
  };
  const integral = (a: number, b: number) => {
    if (b <= a) return 0;
    const width = (b - a) / PARTS;
    let sum = 0;
    for (let k = 0; k < PARTS; k++) sum += shear(a + (k + 0.5) * width);
    return sum * width;
  };
  const whole = integral(from, p.front);
  const weak = integral(Math.max(from, p.front), p.front + p.drawnBack);
  return Math.PI * p.bore * p.share * (whole + p.weakBond * weak);
}

/** Chance that the start is stopped, Phi(-ln(push/force)/scatter), where bond, front and grip are not drawn one by one. */
export function stopChance(push: number, force: number, scatter: number): number {
  if (force <= 0) return 0;
  return push <= 0 ? 1 : normalShare(-Math.log(push / force) / scatter);
}
