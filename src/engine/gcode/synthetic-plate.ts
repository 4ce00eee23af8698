/**
 * From bars that a plate asks for to a print without G-code: where they lie, and what steadies those that stand.
 * Lengths in m, from the front left corner of the sheet.
 */
import type { Orientation } from '../../job.ts';
import { barSolid, type Point, prism, type Ring, type Solid } from '../bars/outline.ts';
import type { BarShape } from '../bars/shapes.ts';
import { Refusal } from '../kernel.ts';
import { type Placed, type PlacedBar, type SyntheticPrint, usual } from './synthetic.ts';

/** Columns on both narrow sides of a standing bar: near enough to steady it, and to be broken off by hand. */
const postLength = 6e-3;
const postGap = 0.5e-3;
/** Round the foot of a standing bar and its posts. */
const brimWidth = 8e-3;
/** Bars keep this off the edge of the sheet. */
const edgeFree = 5e-3;

export type PlateBar = Readonly<{
  shape: BarShape;
  orientation: Orientation;
  /** Middle of the bar's box; where it is missing on any bar, all are laid in rows. */
  at?: Point;
}>;

export type PlateOptions = Readonly<{
  layer: number;
  bead: number;
  flow: number;
  /** Support under what hangs over, posts and a brim for bars that stand. */
  supports: boolean;
  /** Free width between neighbours laid in rows, supports and brims included. */
  gap: number;
  /** Size of the sheet, x and y. */
  sheet: Point;
}>;

/**
 * The print of a plate of bars.
 *
 * @throws Refusal where they do not fit on the sheet
 */
export function platePrint(bars: readonly PlateBar[], options: PlateOptions): SyntheticPrint {
  const { layer, bead, flow, supports, gap, sheet } = options;
  const solids = new Map<string, Solid>();
  // One solid for bars alike, so that they share the patterns of their cuts.
  const solidOf = ({ shape, orientation }: PlateBar): Solid => {
    const key = `${shape.name} ${orientation}`;
    const solid = solids.get(key) ?? barSolid(shape, orientation);
    solids.set(key, solid);
    return solid;
  };
  const footprints = bars.map((bar): Point => {
    const { length, width } = solidOf(bar);
    return supports && bar.orientation === 'upright'
      ? [length + 2 * (postGap + postLength + brimWidth), width + 2 * brimWidth]
      : [length, width];
  });
  const given = bars.every(({ at }) => at !== undefined);
  const places = given ? bars.map(({ at }) => at!) : inRows(footprints, gap, sheet);
  const brims: SyntheticPrint['brims'][number][] = [];
  const placed = bars.map((bar, i): PlacedBar => {
    const alone = { solid: solidOf(bar), at: places[i]! };
    if (!supports || bar.orientation !== 'upright') return alone;
    const { posts, brim } = steadied(alone);
    brims.push(brim);
    return { ...alone, posts };
  });
  return {
    ...usual,
    bars: placed,
    brims,
    layer,
    bead,
    flow,
    supports,
  };
}

/** Two posts beside a standing solid, as high as it is, and a brim round the three. */
export function steadied({ solid, at }: Placed): { posts: Placed[]; brim: SyntheticPrint['brims'][number] } {
  const beside = solid.length / 2 + postGap + postLength / 2;
  const post = prism(box([0, 0], postLength, solid.width), solid.height);
  return {
    posts: [-beside, beside].map((side) => ({ solid: post, at: [at[0] + side, at[1]] })),
    brim: { outline: box(at, 2 * beside + postLength, solid.width), width: brimWidth },
  };
}

function box([x, y]: Point, length: number, width: number): Ring {
  return [
    [x - length / 2, y - width / 2],
    [x + length / 2, y - width / 2],
    [x + length / 2, y + width / 2],
    [x - length / 2, y + width / 2],
  ];
}

/**
 * Middles of footprints laid in rows in their order, from the left to the right and from the front to the back, each
 * row in the middle of the sheet, the rows in its middle together.
 *
 * @throws Refusal where they do not fit
 */
export function inRows(footprints: readonly Point[], gap: number, sheet: Point): Point[] {
  const [wide, deep] = [sheet[0] - 2 * edgeFree, sheet[1] - 2 * edgeFree];
  const rows: { from: number; to: number; length: number; width: number }[] = [];
  for (const [i, [length, width]] of footprints.entries()) {
    const row = rows.at(-1);
    if (row && row.length + gap + length <= wide) {
      row.to = i + 1;
      row.length += gap + length;
      row.width = Math.max(row.width, width);
    } else rows.push({ from: i, to: i + 1, length, width });
  }
  const depth = rows.reduce((sum, { width }) => sum + width, 0) + gap * Math.max(0, rows.length - 1);
  const longest = Math.max(0, ...rows.map(({ length }) => length));
  if (depth > deep || longest > wide)
    throw new Refusal(
      `${footprints.length} bars need ${mm(longest)} x ${mm(depth)} mm and the sheet of ${mm(sheet[0])} x ${mm(sheet[1])} mm bears ${mm(wide)} x ${mm(deep)} mm: fewer bars, narrower gaps or another plate.`,
    );
  const places: Point[] = [];
  let y = (sheet[1] - depth) / 2;
  for (const { from, to, length, width } of rows) {
    let x = (sheet[0] - length) / 2;
    for (let i = from; i < to; i++) {
      const [own] = footprints[i]!;
      places.push([x + own / 2, y + width / 2]);
      x += own + gap;
    }
    y += width + gap;
  }
  return places;
}

function mm(metres: number): string {
  return (metres * 1000).toFixed(0);
}
