import type { PartSaid } from '../campaign/answers.ts';
import { BAR_TYPES } from '../campaign/schema.ts';
import { type BarShape, barShape } from '../engine/bars/shapes.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { Orientation } from '../job.ts';
import type { Problem } from '../problem.ts';
import { listed } from '../report/link-words.ts';
import type { ReadPlate } from './prints.ts';

/** Sides of a part may differ from the standard's by this [mm]: a bead's half width and the raster's cells. */
const SIDE_MM = 1;

/** Sides of a bar as it lies: long and short side on the sheet, height [mm]. */
export function sidesOf(shape: BarShape, orientation: Orientation): [number, number, number] {
  const [l, b, t] = [shape.length, shape.widthBroad, shape.thickness].map((m) => 1000 * m) as [
    number,
    number,
    number,
  ];
  return orientation === 'flat' ? [l, b, t] : orientation === 'on edge' ? [l, t, b] : [b, t, l];
}

/**
 * The parts of a print that are solid, with the bar and the direction their sides fit. A guess to be confirmed on the
 * drawing: `unknown` where no standard bar fits.
 */
export function barsFound(print: PrintSummary): PartSaid[] {
  return (print.parts?.parts ?? []).flatMap((part, index): PartSaid[] => {
    if (part.kind !== 'bar') return [];
    const fits = BAR_TYPES.flatMap((type) =>
      (['flat', 'on edge', 'upright'] as const).flatMap((orientation) => {
        const shape = barShape(type);
        if (!shape) return [];
        const sides = sidesOf(shape, orientation);
        const off = [part.longMm, part.shortMm, part.heightMm].map((side, k) => Math.abs(side - sides[k]!));
        return off.every((mm) => mm <= SIDE_MM)
          ? [{ type, orientation, off: off.reduce((a, b) => a + b) }]
          : [];
      }),
    ).sort((a, b) => a.off - b.off);
    const best = fits[0];
    return [{ part: index + 1, bar: best?.type ?? 'unknown', orientation: best?.orientation ?? 'unknown' }];
  });
}

/** How the bars of a print lie, by the number of their part; what fits no bar is left out. */
export function lyingOf(print: PrintSummary): ReadonlyMap<number, string> {
  return new Map(
    barsFound(print).flatMap(({ part, orientation }) =>
      orientation === 'unknown' ? [] : [[part, orientation] as const],
    ),
  );
}

/**
 * Bars of a plate whose numbers do not fit the parts of its file: it was made anew, or it is a slip. A number that is
 * not there stops; one whose part does not look like a bar is a note, since what a part is is a guess.
 */
export function strayBars({ plate, file, print }: ReadPlate): { stops: Problem[]; notes: Problem[] } {
  const parts = print?.usable ? print.parts?.parts : undefined;
  const stops: Problem[] = [];
  const notes: Problem[] = [];
  const bars = (parts ?? []).flatMap(({ kind }, k) => (kind === 'bar' ? [k + 1] : []));
  const expected = bars.length > 0 ? `the number of a bar: ${numbersOf(bars)}` : 'a file with solid bars';
  for (const { id, part } of parts ? plate.bars : []) {
    if (part === null) continue;
    const start = `Bar ${id} of plate ${plate.name} is part ${part} of ${file}`;
    const there = parts![part - 1];
    if (!there)
      stops.push({
        code: 'no-such-part',
        message: `${start}, which has ${parts!.length === 1 ? 'one part' : `${parts!.length} parts`}.`,
        expected,
      });
    else if (there.kind !== 'bar')
      notes.push({
        code: 'part-is-no-bar',
        message: `${start}, which looks like ${KINDS[there.kind]}.`,
        expected,
      });
  }
  return { stops, notes };
}

const KINDS = {
  bar: 'a bar',
  support: 'a support',
  low: 'a low part, such as a brim',
  open: 'no solid bar',
} as const;

/** "1, 3, 5 and 7"; a long list is cut short. */
function numbersOf(numbers: readonly number[]): string {
  const told = numbers.slice(0, NUMBERS_TOLD).map(String);
  return numbers.length > NUMBERS_TOLD ? `${told.join(', ')} ...` : listed(told);
}
const NUMBERS_TOLD = 12;
