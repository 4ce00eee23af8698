import type { PartSaid } from '../campaign/answers.ts';
import { BAR_TYPES } from '../campaign/schema.ts';
import { type BarShape, barShape } from '../engine/bars/shapes.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { Orientation } from '../job.ts';

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
