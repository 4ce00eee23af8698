import type { z } from 'zod';
import { Refusal } from '../kernel.ts';
import { boxMedians, polymerMedians, spoolMedians } from './kernel-defaults.ts';
import {
  type BoxSpreads,
  type BoxValues,
  type PolymerValues,
  polymerEntries,
  type polymerSpreads,
  type SpoolValues,
  type spoolSpreads,
  toPlace,
  toPolymer,
  toWinding,
} from './kernel-inputs.ts';
import type { Place } from './place.ts';
import { waterOfShare } from './polymer.ts';
import type { Spool } from './spool.ts';
import { normalOf, type Spread, spreadAt } from './spreads.ts';

/** A step of the ensemble as it is given. */
export type StepSpreads = Readonly<{
  box: BoxSpreads;
  hours: Spread;
  flips_h: readonly number[];
  dt_s: number;
}>;

export type EnsembleSpreads = Readonly<{
  polymer: z.infer<typeof polymerSpreads>;
  spool: z.infer<typeof spoolSpreads>;
  box: BoxSpreads;
  start_wt: Spread;
}>;

/** Says the value of an unknown by its name: from a draw's standard normal, or the number itself. */
export type Draw = (name: string, spread: Spread) => number;

/** Draws by seed and number of the draw. Every unknown has its own column, whatever else is asked for. */
export function seededDraw(seed: number, draw: number): Draw {
  return (name, spread) =>
    typeof spread === 'number' ? spread : spreadAt(spread, normalOf(seed, name, draw));
}

function valuesOf(
  medians: Record<string, unknown>,
  given: Record<string, unknown>,
  block: string,
  draw: Draw,
): Record<string, unknown> {
  const values: Record<string, unknown> = { ...medians };
  for (const [key, spread] of Object.entries(given)) {
    if (spread === undefined) continue;
    values[key] =
      typeof spread === 'object' && spread !== null ? draw(`${block}.${key}`, spread as Spread) : spread;
  }
  return values;
}

/** Strand and winding of one draw, at the start. */
export function drawSpool(from: EnsembleSpreads, draw: Draw, startTemperature: number): Spool {
  const polymer = toPolymer(
    valuesOf(polymerMedians, polymerEntries<Spread>(from.polymer as never), 'polymer', draw) as PolymerValues,
  );
  const winding = toWinding(valuesOf(spoolMedians, from.spool, 'spool', draw) as SpoolValues, polymer);
  const share = draw('start_wt', from.start_wt) / 100;
  if (!(share >= 0 && share < 1))
    throw new Refusal(`The start of ${100 * share} wt% is no share of the strand.`);
  return { polymer, winding, water: waterOfShare(share, polymer.fibreShare), temperature: startTemperature };
}

/**
 * Box of one step in one draw: the step's entries before the common ones, words resolved to the entry they name. The
 * same step box gets the same values wherever it stands, because its columns are named by what it says.
 */
export function drawBox(common: BoxSpreads, own: BoxSpreads, draw: Draw): BoxValues {
  const ownName = `box ${JSON.stringify(own)}`;
  const values = valuesOf(boxMedians, common, 'box', draw);
  Object.assign(values, valuesOf({}, own, ownName, draw));
  const numbers = (key: string, seen: readonly string[]): unknown => {
    const value = values[key];
    if (typeof value !== 'string' || key === 'mode' || key === 'desiccant') return value;
    if (!(value in boxMedians) || seen.includes(value))
      throw new Refusal(`The box entry ${key} names "${value}", which is no other entry of the box.`);
    return numbers(value, [...seen, key]);
  };
  return Object.fromEntries(Object.keys(values).map((key) => [key, numbers(key, [key])])) as BoxValues;
}

export function drawPlace(common: BoxSpreads, own: BoxSpreads, draw: Draw): Place {
  return toPlace(drawBox(common, own, draw));
}
