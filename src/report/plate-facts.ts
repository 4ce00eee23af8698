import type { Job } from '../job.ts';
import { fromSi, showQuantity, showRange, showSpan } from '../units.ts';
import type { BarsFound } from './bars-found.ts';
import type { PlateView } from './results-views.ts';

/** The plates that bars came from: print, order, spool, drying and the water of the strand that day. */

export function platesOf({ job, plates, water, series }: BarsFound): PlateView[] {
  const tested = new Set(series.flatMap(({ bars }) => bars.map(({ facts }) => facts.plate)));
  return job.plates
    .filter(({ name }) => tested.has(name))
    .map((plate): PlateView => {
      const read = plates.find((one) => one.plate.name === plate.name);
      const wet = water.get(plate.name);
      const { size } = job.kit.sheet;
      const layers = series
        .flatMap(({ bars }) => bars)
        .filter(({ facts }) => facts.plate === plate.name && facts.covariates.layerTime !== null)
        .map(({ facts }) => facts.covariates.layerTime!);
      return {
        plate: plate.name,
        bars: plate.bars.map((bar) => ({
          bar: bar.id,
          at: bar.at === undefined ? null : [fromSi(bar.at[0], 'mm'), fromSi(bar.at[1], 'mm')],
          lies: job.groups.find(({ name }) => name === bar.group)?.orientation ?? '',
        })),
        sheet: size === null ? null : [fromSi(size[0], 'mm'), fromSi(size[1], 'mm')],
        facts: [
          {
            what: 'print',
            value:
              plate.print?.kind === 'gcode'
                ? plate.print.file
                : plate.print?.kind === 'made'
                  ? 'described, no file'
                  : 'not said',
          },
          {
            what: 'in the order of printing',
            value: `${job.plates.indexOf(plate) + 1} of ${job.plates.length}`,
          },
          ...(plate.round === undefined ? [] : [{ what: 'round', value: plate.round }]),
          ...(read?.print
            ? [{ what: 'printing time by its file', value: showSpan(read.print.totals.timeS) }]
            : []),
          ...(layers.length > 0
            ? [
                {
                  what: 'time between layers',
                  value: showSpan(layers.reduce((sum, one) => sum + one, 0) / layers.length),
                },
              ]
            : []),
          {
            what: 'water of the strand that day',
            value: wet
              ? `${showRange(wet, 'wt %').whole}, computed from drying, box and tube; 9 draws in 10`
              : 'not computed',
          },
          { what: 'spool', value: spoolWords(job) },
          { what: 'drying', value: dryingWords(job) },
        ],
      };
    });
}

export function spoolWords({ kit, entries }: Job): string {
  const net = entries['spool.net']?.value;
  return `${kit.cards['strand']?.name ?? 'not said'}${typeof net === 'number' ? `, ${showQuantity(net, 'g')}` : ''}`;
}

export function dryingWords({ drying, kit, entries }: Job): string {
  const heat = entries['dryer.temperature']?.value;
  const flips = drying.flipEvery === null ? '' : `, turned over every ${showSpan(drying.flipEvery)}`;
  return `${showSpan(drying.time)} in ${kit.cards['dryer']?.name ?? 'a dryer'}${typeof heat === 'number' ? ` at ${showQuantity(heat, 'C')}` : ''}${flips}${drying.assumed ? ', assumed' : ''}`;
}
