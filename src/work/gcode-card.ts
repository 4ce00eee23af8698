import type { GcodeCard } from '../engine/gcode/card.ts';
import type { Job } from '../job.ts';
import { fromSi } from '../units.ts';

/**
 * What reading a file needs to know of machine and strand, from the nominal values of the job's cards. The strand sets
 * under its melting point; a bed that cools along an exponential starts at (hot - room)/time constant.
 */
export function gcodeCardOf(job: Job): GcodeCard {
  const si = (key: string) => {
    const value = job.entries[key]?.value;
    if (typeof value !== 'number') throw new Error(`"${key}" has no single value`);
    return value;
  };
  const mm = (key: string) => fromSi(si(key), 'mm');
  const celsius = (key: string) => fromSi(si(key), 'C');
  const room = celsius('room.temperature');
  const bed = fromSi(job.settings.bed ?? si('dryer.temperature'), 'C');
  return {
    filamentMm: mm('strand.diameter'),
    printMmS2: mm('printer.acceleration printing'),
    travelMmS2: mm('printer.acceleration travelling'),
    retractMmS2: mm('printer.acceleration retracting'),
    deltaMm: mm('printer.corner rounding'),
    maxMmS: mm('printer.top speed'),
    controllerRetractMm: mm('printer.length of own retraction'),
    controllerRetractMmS: mm('printer.speed of own retraction'),
    homeS: si('printer.homing'),
    probeS: si('printer.probing'),
    cellMm: mm('printer.cell of raster'),
    heatKS: {
      nozzle: si('printer.nozzle warms at'),
      bed: si('printer.bed warms at'),
      chamber: si('printer.chamber warms at'),
    },
    coolKS: {
      nozzle: si('printer.nozzle cools at'),
      bed: (bed - room) / si('printer.bed cools in'),
      chamber: si('chamber.cools at'),
    },
    layerDefaultMm: fromSi(job.settings.layer ?? LAYER_USUAL, 'mm'),
    restS: si('strand.rest at 270 C'),
    freezeC: celsius('strand.melts at'),
    clearMm: mm('printer.clear of hot zone'),
    startS: si('printer.start with macros'),
    roomC: room,
  };
}

/** Height of a pass that has none, where the campaign names no layer either [m]: common practice, no source. */
const LAYER_USUAL = 2e-4;
