import type { Entry, Job, Law } from '../../job.ts';
import { specimenOf } from '../curves/specimen.ts';
import type { PrintSummary } from '../gcode/summary.ts';
import type { BarFacts, TestFacts } from './bar.ts';
import type { PrintWater } from './print-water.ts';

/** What the campaign, the prints and the chain know of the bars before a curve is read. */

/** A plate's file as it was read, and the water of the strand while it was printed; null where either is not known. */
export type PlateKnown = Readonly<{ print: Pick<PrintSummary, 'parts'> | null; water: PrintWater | null }>;

/** The condition of a bar of which nobody said how it was kept. */
export const NOT_SAID = 'not said';

/** Names of bar types are those of the standards; types of ASTM D638 are numerals and carry their standard here. */
export function typeNamed(bar: string): string {
  return specimenOf(bar) === undefined ? `D638-${bar}` : bar;
}

/** @param known by the name of the plate */
export function factsOf(job: Job, known: ReadonlyMap<string, PlateKnown>): BarFacts[] {
  const tested = new Map(job.test.bars.map((bar) => [bar.id, bar]));
  return job.plates.flatMap((plate, index) => {
    const { print = null, water = null } = known.get(plate.name) ?? {};
    return plate.bars.flatMap((bar): BarFacts[] => {
      const group = job.groups.find(({ name }) => name === bar.group);
      if (group === undefined) return [];
      const said = tested.get(bar.id);
      return [
        {
          bar: bar.id,
          called: said?.called ?? null,
          group: group.name,
          orientation: group.orientation,
          type: typeNamed(group.bar),
          plate: plate.name,
          round: plate.round ?? null,
          at: bar.at ?? null,
          condition: said?.conditioning ?? job.test.conditioning ?? NOT_SAID,
          width: said?.width ?? [],
          thickness: said?.thickness ?? [],
          area: said?.area ?? null,
          leftOut: said?.leftOut == null ? null : { reason: said.leftOut, note: said.note ?? '' },
          note: said?.note ?? '',
          spare: said?.spare ?? false,
          covariates: {
            layerTime: bar.part === null ? null : layerTime(print, bar.part),
            water: water?.median ?? null,
            mass: said?.mass ?? null,
            plateOrder: index + 1,
            testOrder: null,
          },
        },
      ];
    });
  });
}

/** Mean time from one layer of a part to its next [s]; null where the file was not read or has no such part. */
function layerTime(print: PlateKnown['print'], part: number): number | null {
  const passes = print?.parts?.passes;
  if (!passes) return null;
  let sum = 0;
  let count = 0;
  let last = -1;
  for (let row = 0; row < passes.count; row++) {
    if (passes.part[row] !== part - 1) continue;
    // Each row counts once its next is met: behind the last layer nothing comes.
    if (last >= 0) {
      sum += passes.returnS[last]!;
      count++;
    }
    last = row;
  }
  return count === 0 ? null : sum / count;
}

/** The test as the campaign and its cards tell of it; errors as standard uncertainties. */
export function testFacts({ entries, test }: Job): TestFacts {
  const give = entries['test-machine.give of machine']?.value;
  const ridge = entries['bars.ridge height']?.value;
  return {
    gaugeLength: test.gaugeLength,
    gripDistance: test.gripDistance,
    compliance: typeof give === 'number' ? give : null,
    options: { toe: test.toe === 'as read' ? 'none' : 'auto' },
    forceError: standardError(entries['test-machine.force error']),
    extensometerError: standardError(entries['test-machine.extensometer error']),
    caliperError: standardError(entries['test-machine.caliper error']),
    ridge: typeof ridge === 'number' ? ridge : 0,
  };
}

/** Standard deviation of an entry about its value; even odds between two limits give their distance over sqrt 12. */
function standardError(entry: Entry | undefined): number {
  const law: Law = entry?.law ?? { kind: 'fixed' };
  switch (law.kind) {
    case 'normal':
      return law.sd;
    case 'even':
      return (law.high - law.low) / Math.sqrt(12);
    case 'triangle': {
      const { low, peak, high } = law;
      return Math.sqrt((low * low + peak * peak + high * high - low * peak - low * high - peak * high) / 18);
    }
    default:
      return 0;
  }
}
