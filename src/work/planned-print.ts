import { resolve } from 'node:path';
import { barShape } from '../engine/bars/shapes.ts';
import type { Planned } from '../engine/gcode/against.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { Job, Plate } from '../job.ts';
import { InputFault } from '../problem.ts';
import { printView } from '../report/print-view.ts';
import type { PrintView } from '../report/views.ts';
import { fromSi } from '../units.ts';
import { barsFound, lyingOf, sidesOf } from './bars-found.ts';
import type { ReadPlate } from './prints.ts';

/** What the file of a plate asks of the kit, beside what the plate plans; null where there is no print. */
export function plateView(job: Job, { plate, print, file }: ReadPlate): PrintView | null {
  if (!print || file === null) return null;
  return printView(print, {
    file,
    entries: job.entries,
    plate: plate.name,
    planned: plannedPrint(job, plate),
    lying: lyingOf(print),
  });
}

/** What the campaign says of one plate's print, for the ten lines; what it leaves out is not compared. */
export function plannedPrint(job: Job, plate: Plate): Planned {
  const { settings } = job;
  const celsius = (kelvin: number | undefined) => (kelvin === undefined ? undefined : fromSi(kelvin, 'C'));
  const bars = plate.bars.map((bar) => {
    const group = job.groups.find((one) => one.name === bar.group);
    const shape = group && barShape(group.bar);
    if (!group || !shape) return null;
    const [lengthMm, widthMm, thickMm] = sidesOf(shape, 'flat');
    const lie = group.orientation === 'on edge' ? ('edge' as const) : group.orientation;
    const at = bar.at && ([1000 * bar.at[0], 1000 * bar.at[1]] as const);
    return { lengthMm, widthMm, thickMm, orientation: lie, ...(at ? { atMm: at } : {}) };
  });
  const number = (key: string) => {
    const value = job.entries[key]?.value;
    return typeof value === 'number' ? value : undefined;
  };
  const left = number('spool.strand left') ?? number('spool.net');
  return {
    bars: bars.length > 0 && bars.every((bar) => bar !== null) ? bars : undefined,
    nozzleC: celsius(settings.nozzle),
    bedC: celsius(settings.bed),
    fan: settings.fan,
    retract: settings.retract && {
      lengthMm: 1000 * settings.retract.length,
      speedMmS: 1000 * settings.retract.speed,
    },
    layerMm: settings.layer === undefined ? undefined : 1000 * settings.layer,
    leftG: left === undefined ? undefined : 1000 * left,
    densityKgM3: number('strand.density'),
    purgeG: 1000 * (number('path.purge') ?? 0),
  };
}

/**
 * The plate that a file should be: the one that names it, the one asked for, or the only one whose bars fit in number.
 * @throws InputFault where none is found, or the name is not known
 */
export function plateOfFile(job: Job, path: string, asked: string | undefined, print: PrintSummary): Plate {
  if (asked !== undefined) {
    const plate = job.plates.find((one) => one.name === asked);
    if (plate) return plate;
    throw new InputFault([
      {
        code: 'unknown-plate',
        message: `"${asked}" is no plate of this campaign.`,
        expected: `one of ${job.plates.map((one) => one.name).join(', ') || 'its plates: it has none'}`,
      },
    ]);
  }
  const naming = job.plates.find(
    (one) => one.print?.kind === 'gcode' && resolve(job.folder, one.print.file) === path,
  );
  if (naming) return naming;
  const found = barsFound(print).length;
  const fitting = job.plates.filter((one) => one.bars.length === found);
  if (fitting.length === 1) return fitting[0]!;
  throw new InputFault([
    {
      code: 'which-plate',
      message:
        fitting.length === 0
          ? `No plate of the campaign names this file or has its ${found} bars.`
          : `Plates ${fitting.map((one) => one.name).join(', ')} have ${found} bars each.`,
      expected: 'its name with --plate, such as --plate A',
    },
  ]);
}
