import { ZERO_CELSIUS } from '../air/constants.ts';
import { Refusal } from '../kernel.ts';
import type { Case } from './model.ts';
import { type Contact, type HotEnd, seriesAt } from './parameters.ts';
import type { Print } from './print.ts';
import { TABLE_FROM, TABLE_SIZE } from './strand.ts';

/** Melt may come out hotter than the nozzle by rounding of the enthalpy alone: this is left free at the ends of tables [K]. */
const TABLE_MARGIN = 15;
/** A rounding error of files is no retraction too long [m]. */
const LENGTH_SLACK = 1e-9;

/** Entries that may be 0; all others must be above it. */
const MAY_BE_ZERO: ReadonlySet<string> = new Set<keyof HotEnd | keyof Contact>([
  'leak',
  'landLength',
  'entranceLoss',
  'gripExponent',
  'gearWarmth',
  'recirculation',
  'fanStirring',
  'friction',
  'slipShare',
  'residuePerReturn',
  'touchShare',
  'eccentricity',
]);

/**
 * Refuses what cannot be computed, with one sentence each.
 * @throws Refusal
 */
export function refuse(c: Case, print: Print): void {
  for (const [key, value] of [...Object.entries(c.hotEnd), ...Object.entries(c.contact)]) {
    if (!Number.isFinite(value) || value < 0 || (value === 0 && !MAY_BE_ZERO.has(key)))
      throw new Refusal(`The hot end has ${words(key)} ${value}: a positive number is needed.`);
  }
  if (c.hotEnd.breakOutside <= c.hotEnd.bore)
    throw new Refusal('The heat break is not thicker than its bore: it has no wall.');
  if (print.count === 0) throw new Refusal('The print has no segment that takes time.');
  let feeds = false;
  const end = print.start[print.count]!;
  const lowest = TABLE_FROM + TABLE_MARGIN;
  const highest = TABLE_FROM + TABLE_SIZE - 1 - TABLE_MARGIN;
  for (let i = 0; i < print.count; i++) {
    if (print.drawnBack[i + 1]! > c.hotEnd.sinkLength + LENGTH_SLACK)
      throw new Refusal(
        `segment ${i + 1} draws the strand back by ${mm(print.drawnBack[i + 1]!)} mm in all, more than the ${mm(c.hotEnd.sinkLength)} mm of the cooled bore: the strand would leave it.`,
      );
    if (!(print.feed[i]! > 0)) continue;
    feeds = true;
    const nozzle = seriesAt(c.surroundings.nozzle, print.start[i]!);
    if (!(nozzle >= c.strand.flowsAbove))
      throw new Refusal(
        `The nozzle has ${celsius(nozzle)} C where strand is fed: this strand flows from ${celsius(c.strand.flowsAbove)} C on, so nothing comes out.`,
      );
  }
  if (!feeds) throw new Refusal('The print feeds no strand at all: nothing can jam and nothing is printed.');
  const steps = 64;
  for (let k = 0; k <= steps; k++) {
    const t = (end * k) / steps;
    for (const [what, series] of [
      ['nozzle', c.surroundings.nozzle],
      ['chamber', c.surroundings.chamber],
    ] as const) {
      const value = seriesAt(series, t);
      if (!(value >= lowest && value <= highest))
        throw new Refusal(
          `The ${what} has ${celsius(value)} C: a temperature between ${celsius(lowest)} and ${celsius(highest)} C is needed.`,
        );
    }
  }
}

const celsius = (kelvin: number) => +(kelvin - ZERO_CELSIUS).toFixed(1);
const mm = (metres: number) => +(metres * 1e3).toPrecision(4);
const words = (key: string) => key.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
