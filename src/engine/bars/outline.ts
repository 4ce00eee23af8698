/**
 * The bar as it lies on the sheet. Axes: x along the sheet's front edge, y towards the back, z up, m; the origin
 * is the middle of the bar's box, on the sheet. A flat bar and one on edge point along x; a standing bar has its
 * width along x.
 */
import type { Orientation } from '../../job.ts';
import { type BarShape, barVolume, halfWidth, reach } from './shapes.ts';

export type Point = readonly [number, number];
/** A closed outline, counter-clockwise, its first point not repeated. */
export type Ring = readonly Point[];

/** What stands on the sheet: its box, its volume, and its cut at any height. */
export type Solid = Readonly<{
  length: number;
  width: number;
  height: number;
  volume: number;
  /** Outline of the whole seen from above. */
  outline: Ring;
  /** Cut at height z [m]; no ring above or below the solid. Equal cuts are the same object. */
  cut(z: number): readonly Ring[];
}>;

/** Arcs are cut so that no chord leaves its arc by more than this: a hundredth of a bead. */
const sagitta = 5e-6;

function rectangle(x0: number, x1: number, y0: number, y1: number): Ring {
  return [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
}

/** Outline of the broad face, counter-clockwise from the right end's lower corner [m]. */
export function barOutline(shape: BarShape): Ring {
  const broadFrom = reach(shape, shape.widthBroad / 2)!;
  const radius = Math.min(shape.radius, shape.radiusOuter ?? shape.radius);
  const start = shape.lengthNarrow / 2;
  const chord = 2 * Math.sqrt(2 * radius * sagitta);
  const steps = Math.max(4, Math.ceil((broadFrom - start) / chord));
  const xs: number[] = [shape.length / 2];
  for (let step = steps; step >= 0; step--) xs.push(start + ((broadFrom - start) * step) / steps);
  const upper: Point[] = xs.map((x) => [x, halfWidth(shape, x)]);
  const left: Point[] = upper.map(([x, y]): Point => [-x, y]).reverse();
  const top = [...upper, ...left];
  const bottom = top.map(([x, y]): Point => [x, -y]).reverse();
  return [...top, ...bottom];
}

/** The bar in an orientation, as it is printed. */
export function barSolid(shape: BarShape, orientation: Orientation): Solid {
  const { length, widthBroad, thickness } = shape;
  const volume = barVolume(shape);
  if (orientation === 'flat') {
    const outline = barOutline(shape);
    const whole = [outline];
    const cut = (z: number): readonly Ring[] => (z > 0 && z < thickness ? whole : []);
    return { length, width: widthBroad, height: thickness, volume, outline, cut };
  }
  if (orientation === 'on edge') {
    const outline = rectangle(-length / 2, length / 2, -thickness / 2, thickness / 2);
    const cut = remembered(
      (z): number | null => {
        if (z <= 0 || z >= widthBroad) return null;
        return reach(shape, Math.abs(z - widthBroad / 2));
      },
      (from) =>
        from === 0
          ? [outline]
          : [
              rectangle(-length / 2, -from, -thickness / 2, thickness / 2),
              rectangle(from, length / 2, -thickness / 2, thickness / 2),
            ],
    );
    return { length, width: thickness, height: widthBroad, volume, outline, cut };
  }
  const outline = rectangle(-widthBroad / 2, widthBroad / 2, -thickness / 2, thickness / 2);
  const cut = remembered(
    (z): number | null => (z > 0 && z < length ? halfWidth(shape, z - length / 2) : null),
    (half) => [rectangle(-half, half, -thickness / 2, thickness / 2)],
  );
  return { length: widthBroad, width: thickness, height: length, volume, outline, cut };
}

/** Cuts that one size tells apart, each made once. A size of null: nothing is there. */
function remembered(
  size: (z: number) => number | null,
  rings: (size: number) => readonly Ring[],
): (z: number) => readonly Ring[] {
  const known = new Map<number | null, readonly Ring[]>([[null, []]]);
  return (z) => {
    const key = size(z);
    const found = known.get(key) ?? rings(key!);
    known.set(key, found);
    return found;
  };
}

/** A solid with the same cut from the sheet to its top, such as a plan view given by a person [m]. */
export function prism(outline: Ring, height: number): Solid {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  const area = Math.abs(ringArea(outline));
  const whole = [outline];
  return {
    length: Math.max(...xs) - Math.min(...xs),
    width: Math.max(...ys) - Math.min(...ys),
    height,
    volume: area * height,
    outline,
    cut: (z) => (z > 0 && z < height ? whole : []),
  };
}

/** Area with sign, positive for counter-clockwise. */
export function ringArea(ring: Ring): number {
  let twice = 0;
  for (let i = 0; i < ring.length; i++) {
    const [x0, y0] = ring[i]!;
    const [x1, y1] = ring[(i + 1) % ring.length]!;
    twice += x0 * y1 - x1 * y0;
  }
  return twice / 2;
}
