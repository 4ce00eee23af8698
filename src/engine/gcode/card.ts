import { z } from 'zod';

const positive = z.number().positive();
const notNegative = z.number().nonnegative();
const heaters = z.strictObject({ nozzle: positive, bed: positive, chamber: positive });

/**
 * What reading a file needs to know of the machine and the strand; every value comes from a card. G-code speaks in
 * mm, s and degrees Celsius, and so does this subject: each name says its unit.
 */
export const gcodeCard = z.strictObject({
  filamentMm: positive.describe('strand diameter'),
  printMmS2: positive.describe('acceleration while laying; M204 in the file wins'),
  travelMmS2: positive,
  retractMmS2: positive,
  deltaMm: positive.describe('corner rounding: how far the path may miss a corner'),
  maxMmS: positive.describe('top speed of the machine'),
  controllerRetractMm: positive.describe('G10 and G11'),
  controllerRetractMmS: positive,
  homeS: notNegative,
  probeS: notNegative,
  cellMm: positive.describe('cell of the raster of parts'),
  heatKS: heaters.describe('ramps upwards, K/s'),
  coolKS: heaters.describe('ramps downwards, K/s'),
  layerDefaultMm: positive.describe('height of a pass that has none'),
  restS: notNegative.describe('allowed rest of the strand in the hot nozzle'),
  freezeC: z.number().describe('the strand sets under this'),
  clearMm: positive.describe('drawn back this far, the strand is clear of the hot zone'),
  startS: notNegative.describe('start block done by macros'),
  roomC: z.number().optional().describe('where all heaters start; 25 without it'),
});

export type GcodeCard = Readonly<z.infer<typeof gcodeCard>>;

/** Heaters start here where the card has no `roomC`: the clock of a file begins with a cold machine. */
const ROOM_C = 25;

export function roomC(card: GcodeCard): number {
  return card.roomC ?? ROOM_C;
}

/** Section of the strand [mm2]. */
export function strandArea(card: GcodeCard): number {
  return (Math.PI / 4) * card.filamentMm ** 2;
}
