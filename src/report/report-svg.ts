import { sentenceCase } from './bars-words.ts';
import type { BarView, CovariateView, CurvesChart, EveryBar, PlateView } from './results-views.ts';

/** Pictures of the report as SVG text: black on white, legible in grey, letters of 12 px at least. */

export function escaped(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** Shade and dash of a group; more groups than that repeat them. */
const SHADES = ['#111', '#555', '#888', '#333', '#777', '#aaa'];
const DASHES = ['', '7 3', '2 3', '9 3 2 3', '4 4', ''];
const stroke = (group: number) => {
  const k = ((group % SHADES.length) + SHADES.length) % SHADES.length;
  return `stroke="${SHADES[k]}"${DASHES[k] === '' ? '' : ` stroke-dasharray="${DASHES[k]}"`}`;
};
/** Marks of a group: disc, square, triangle, diamond. */
function mark(group: number, x: number, y: number, filled: boolean, size = 4): string {
  const paint = filled ? 'fill="#111"' : 'fill="#fff" stroke="#111" stroke-width="1.3"';
  switch (((group % 4) + 4) % 4) {
    case 0:
      return `<circle cx="${fine(x)}" cy="${fine(y)}" r="${size}" ${paint}/>`;
    case 1:
      return `<rect x="${fine(x - size)}" y="${fine(y - size)}" width="${2 * size}" height="${2 * size}" ${paint}/>`;
    case 2:
      return `<path d="M${fine(x)} ${fine(y - size)}l${size} ${2 * size}h${-2 * size}z" ${paint}/>`;
    default:
      return `<path d="M${fine(x)} ${fine(y - size)}l${size} ${size}l${-size} ${size}l${-size} ${-size}z" ${paint}/>`;
  }
}
const fine = (value: number) => String(Math.round(10 * value) / 10);

const frame = (width: number, height: number, finding: string, inside: string) =>
  `<svg viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-label="${escaped(finding)}" font-size="12" fill="#111">${inside}</svg>`;

type Ticks = readonly Readonly<{ at: number; label: string }>[];
type Axes = Readonly<{
  left: number;
  top: number;
  width: number;
  height: number;
  xTicks: Ticks;
  yTicks: Ticks;
  xLabel: string;
  yLabel: string;
}>;

/** Two axes with their marks; gives the places of x and y. */
function axes({ left, top, width, height, xTicks, yTicks, xLabel, yLabel }: Axes) {
  const [x0, x1] = [xTicks[0]!.at, xTicks.at(-1)!.at];
  const [y0, y1] = [yTicks[0]!.at, yTicks.at(-1)!.at];
  const x = (value: number) => left + (width * (value - x0)) / (x1 - x0 || 1);
  const y = (value: number) => top + height - (height * (value - y0)) / (y1 - y0 || 1);
  const drawn = [
    `<path d="M${left} ${top}V${top + height}H${left + width}" fill="none" stroke="#111"/>`,
    ...xTicks.map(
      ({ at, label }) =>
        `<path d="M${fine(x(at))} ${top + height}v4" stroke="#111"/><text x="${fine(x(at))}" y="${top + height + 17}" text-anchor="middle">${escaped(label)}</text>`,
    ),
    ...yTicks.map(
      ({ at, label }) =>
        `<path d="M${left} ${fine(y(at))}h-4" stroke="#111"/><text x="${left - 7}" y="${fine(y(at) + 4)}" text-anchor="end">${escaped(label)}</text>`,
    ),
    `<text x="${left + width}" y="${top + height + 33}" text-anchor="end">${escaped(xLabel)}</text>`,
    `<text x="${left}" y="${top - 8}" text-anchor="start">${escaped(yLabel)}</text>`,
  ].join('');
  return { x, y, drawn };
}

const pathOf = (
  points: readonly (readonly [number, number])[],
  x: (v: number) => number,
  y: (v: number) => number,
) => points.map(([px, py], k) => `${k === 0 ? 'M' : 'L'}${fine(x(px))} ${fine(y(py))}`).join('');

/** Every bar a mark, the mean with its interval below, the bracket of the lower bound. */
export function everyBarSvg(chart: EveryBar): string {
  const [left, width, row] = [110, 560, 58];
  const height = row * chart.rows.length;
  const x = (value: number) => left + (width * (value - chart.low)) / (chart.high - chart.low);
  const inside = chart.rows.map(({ group, points, mean, lo, hi, bound }, k) => {
    const base = 14 + row * k + 22;
    const taken: number[] = [];
    const marks = [...points]
      .sort((a, b) => a.at - b.at)
      .map(({ bar, at, counts }) => {
        const px = x(at);
        const level = taken.findIndex((last) => px - last > 9);
        const at0 = level < 0 ? taken.length : level;
        taken[at0] = px;
        return `<a href="#bar-${escaped(bar)}"><title>${escaped(bar)}</title>${mark(k, px, base - 9 * at0, counts)}</a>`;
      });
    const line =
      mean === null
        ? ''
        : `<path d="M${fine(x(mean))} ${base + 8}v10" stroke="#111" stroke-width="2"/>${lo === null || hi === null ? '' : `<path d="M${fine(x(lo))} ${base + 13}H${fine(x(hi))}" stroke="#111" stroke-width="1.5"/>`}`;
    const bracket =
      bound === null
        ? ''
        : `<path d="M${fine(x(bound) + 5)} ${base + 6}h-5v14h5" fill="none" stroke="#111"/>`;
    return `<text x="0" y="${base + 4}">${escaped(sentenceCase(group))}</text>${marks.join('')}${line}${bracket}`;
  });
  const foot = 14 + height;
  const axis = [
    `<path d="M${left} ${foot}h${width}" stroke="#111"/>`,
    ...chart.ticks.map(
      ({ at, label }) =>
        `<path d="M${fine(x(at))} ${foot}v4" stroke="#111"/><text x="${fine(x(at))}" y="${foot + 17}" text-anchor="middle">${escaped(label)}</text>`,
    ),
    `<text x="${left + width}" y="${foot + 33}" text-anchor="end">strength, MPa</text>`,
  ];
  return frame(left + width + 20, foot + 40, chart.finding, inside.join('') + axis.join(''));
}

/** All curves, each group with its shade and dash, the strength marked, groups named at their last curve. */
export function curvesSvg(chart: CurvesChart, groups: readonly string[]): string {
  const { x, y, drawn } = axes({
    left: 50,
    top: 26,
    width: 610,
    height: 330,
    xTicks: chart.xTicks,
    yTicks: chart.yTicks,
    xLabel: 'strain, %',
    yLabel: 'stress, MPa',
  });
  const lines = chart.lines.map(
    ({ bar, group, counts, points, peak, words }) =>
      `<a href="#bar-${escaped(bar)}"><title>${escaped(words)}</title><path d="${pathOf(points, x, y)}" fill="none" ${stroke(group)} stroke-width="${counts ? 1.2 : 0.7}"/>${peak === null ? '' : mark(group, x(peak[0]), y(peak[1]), counts, 3)}</a>`,
  );
  const names = groups.map((name, k) => {
    const ends = chart.lines.filter(({ group, points }) => group === k && points.length > 0);
    if (ends.length === 0) return '';
    const top = ends.reduce((a, b) => ((b.peak?.[1] ?? 0) > (a.peak?.[1] ?? 0) ? b : a));
    const [px, py] = top.peak ?? top.points.at(-1)!;
    return `<text x="${fine(Math.min(x(px) + 8, 600))}" y="${fine(Math.max(y(py) - 6, 38))}" font-weight="600">${escaped(name)}</text>`;
  });
  return frame(680, 400, chart.finding, drawn + lines.join('') + names.join(''));
}

export function barSvg(bar: BarView): string {
  if (bar.curve.length === 0) return '<p>No strain and no travel: there is no curve to draw.</p>';
  const { x, y, drawn } = axes({
    left: 46,
    top: 24,
    width: 290,
    height: 150,
    xTicks: bar.xTicks,
    yTicks: bar.yTicks,
    xLabel: 'strain, %',
    yLabel: 'stress, MPa',
  });
  const finding = `Curve of bar ${bar.bar}, strength ${bar.strength}.`;
  return frame(
    350,
    214,
    finding,
    `${drawn}<path d="${pathOf(bar.curve, x, y)}" fill="none" stroke="#111" stroke-width="1.3"/>`,
  );
}

export function covariateSvg(view: CovariateView): string {
  const { x, y, drawn } = axes({
    left: 46,
    top: 24,
    width: 270,
    height: 130,
    xTicks: view.xTicks,
    yTicks: view.yTicks,
    xLabel: `${view.name.toLowerCase()}${view.unit === '' ? '' : `, ${view.unit}`}`,
    yLabel: 'strength, MPa',
  });
  const marks = view.points.map(
    ({ bar, group, x: px, y: py }) =>
      `<a href="#bar-${escaped(bar)}"><title>${escaped(bar)}</title>${mark(group, x(px), y(py), true, 3)}</a>`,
  );
  return frame(340, 196, view.finding, drawn + marks.join(''));
}

/** The sheet from above, door side at the bottom: which bar lay where. */
export function sheetSvg({ plate, bars, sheet }: PlateView): string {
  const placed = bars.flatMap(({ bar, at, lies }) => (at === null ? [] : [{ bar, at, lies }]));
  if (sheet === null || placed.length === 0) return '';
  const scale = 260 / sheet[0];
  const height = sheet[1] * scale;
  const marks = placed.map(({ bar, at, lies }) => {
    const [px, py] = [at[0] * scale, height - at[1] * scale];
    const [w, h] = lies === 'upright' ? [14, 8] : lies === 'on edge' ? [90, 5] : [90, 11];
    return `<a href="#bar-${escaped(bar)}"><rect x="${fine(px - w / 2)}" y="${fine(py - h / 2)}" width="${w}" height="${h}" fill="#ddd" stroke="#111"/><text x="${fine(lies === 'upright' ? px : px + w / 2 + 4)}" y="${fine(lies === 'upright' ? py + h / 2 + 13 : py + 4)}"${lies === 'upright' ? ' text-anchor="middle"' : ''}>${escaped(bar)}</text></a>`;
  });
  return frame(
    262,
    Math.round(height) + 2,
    `Plate ${plate} from above, door side at the bottom, with ${placed.length} bars. Sizes of the bars are not to scale.`,
    `<rect x="0.5" y="0.5" width="260" height="${fine(height)}" fill="none" stroke="#111"/>${marks.join('')}`,
  );
}
