/**
 * Goal: what is laid is the bar, no more and no less, by the rules of the print without G-code. Method: the laid
 * volume against area times height; every run against the outline; the text read back by a few lines of its own.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Orientation } from '../../job.ts';
import { barSolid, type Point, prism, type Ring, ringArea, type Solid } from '../bars/outline.ts';
import { barShape } from '../bars/shapes.ts';
import { Refusal } from '../kernel.ts';
import {
  flowAt,
  joinMost,
  layerCount,
  layerLines,
  layerTracks,
  lineSpacing,
  type SyntheticPrint,
  type Track,
  textBytes,
  usual,
} from './synthetic.ts';
import { contains, distanceTo } from './synthetic-inset.ts';

const layer = 2e-4;
const bead = 4.5e-4;
const strandArea = (Math.PI / 4) * usual.strandDiameter ** 2;

const plan = (solids: readonly Solid[], over: Partial<SyntheticPrint> = {}): SyntheticPrint => ({
  ...usual,
  bars: solids.map((solid, i) => ({ solid, at: [0.1, 0.05 + 0.03 * i] as const })),
  layer,
  bead,
  flow: 6e-9,
  ...over,
});
const bar = (orientation: Orientation): Solid => barSolid(barShape('1B')!, orientation);
/** A bar cut off at a height, to keep tests short. */
const low = (solid: Solid, height: number): Solid => {
  let volume = 0;
  for (let k = 0; k < layerCount(height, layer); k++)
    for (const ring of solid.cut((k + 0.5) * layer)) volume += ringArea(ring) * layer;
  return { ...solid, height, volume };
};

const pathLength = ({ points }: Track): number => {
  let sum = 0;
  for (let i = 1; i < points.length; i++)
    sum += Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
  return sum;
};
const volumeOf = (tracks: readonly Track[], kinds: readonly Track['kind'][]): number =>
  tracks.reduce(
    (sum, track) => sum + (kinds.includes(track.kind) ? pathLength(track) * track.section : 0),
    0,
  );
const rectangle = (a: number, b: number): Ring => [
  [0, 0],
  [a, 0],
  [a, b],
  [0, b],
];

describe('what is laid', () => {
  it.each(['flat', 'on edge', 'upright'] as const)(
    '%s: is the volume of the bar, and of each cut in its layer',
    (orientation) => {
      const solid = bar(orientation);
      let sum = 0;
      let k = 0;
      for (const tracks of layerTracks(plan([solid], { supports: true }))) {
        const laid = volumeOf(tracks, ['loop', 'line']);
        const cut = solid.cut((k + 0.5) * layer).reduce((area, ring) => area + ringArea(ring), 0);
        expect(Math.abs(laid / (cut * layer) - 1)).toBeLessThan(1e-3);
        sum += laid;
        k++;
      }
      expect(k).toBe(Math.round(solid.height / layer));
      expect(sum / solid.volume).toBeCloseTo(1, 10);
    },
  );

  it('needs hardly any scaling: the path is the area over the line spacing within 3 %', () => {
    for (const [a, b] of [
      [0.15, 0.01],
      [0.02, 0.004],
      [0.01, 0.004],
    ] as const) {
      const [tracks] = [...layerTracks(plan([prism(rectangle(a, b), layer)]))];
      const path = tracks!.reduce((sum, track) => sum + pathLength(track), 0);
      expect(Math.abs((path * lineSpacing(layer, bead)) / (a * b) - 1)).toBeLessThan(0.03);
    }
  });

  it.each(['flat', 'on edge', 'upright'] as const)(
    '%s: lies inside the cut, a bead clear of its edge',
    (orientation) => {
      const solid = low(bar(orientation), 1e-3);
      let k = 0;
      for (const tracks of layerTracks(plan([solid], { supports: true }))) {
        const cut = solid.cut((k + 0.5) * layer);
        for (const { kind, points } of tracks) {
          if (kind === 'support') continue;
          const steps = points.flatMap((point, i): Point[] => {
            const before = points[Math.max(0, i - 1)]!;
            return [point, [(point[0] + before[0]) / 2, (point[1] + before[1]) / 2]];
          });
          for (const [x, y] of steps) {
            const own: Point = [x - 0.1, y - 0.05];
            // A centre line half a bead inside: the bead's own edge is the outline.
            const around = cut.find((ring) => contains(ring, ...own));
            expect(around).toBeDefined();
            expect(distanceTo(around!, ...own)).toBeGreaterThan(bead / 2 - 2e-5);
          }
        }
        k++;
      }
    },
  );

  it('has as many loops as asked, then lines at +45 and -45 degrees in turn', () => {
    const layers = [...layerTracks(plan([prism(rectangle(0.05, 0.02), 4 * layer)], { perimeters: 3 }))];
    for (const [k, tracks] of layers.entries()) {
      expect(tracks.filter(({ kind }) => kind === 'loop')).toHaveLength(3);
      const line = tracks.find(({ kind }) => kind === 'line')!.points;
      const middle = Math.floor(line.length / 4) * 2;
      const [[x0, y0], [x1, y1]] = [line[middle]!, line[middle + 1]!];
      expect(Math.atan((y1 - y0) / (x1 - x0))).toBeCloseTo(k % 2 === 0 ? Math.PI / 4 : -Math.PI / 4, 6);
    }
  });

  it('goes through all bars in the order of the plate in every layer', () => {
    const solid = prism(rectangle(0.03, 0.01), 3 * layer);
    for (const tracks of layerTracks(plan([solid, solid, solid]))) {
      const order = tracks.map(({ points }) => Math.floor((points[0]![1] - 0.05) / 0.03));
      expect(order).toEqual(order.slice().sort((a, b) => a - b));
      expect(new Set(order)).toEqual(new Set([0, 1, 2]));
    }
  });

  it('keeps supports off the bar, and posts and brims out of its volume', () => {
    const solid = low(bar('on edge'), 6e-3);
    const post = prism(rectangle(0.006, 0.004), 6e-3);
    const print = plan([], {
      bars: [{ solid, at: [0.1, 0.05], posts: [{ solid: post, at: [0.1, 0.1] }] }],
      supports: true,
      brims: [{ outline: solid.outline.map(([x, y]): Point => [x + 0.1, y + 0.05]), width: 4e-3 }],
    });
    let k = 0;
    let volume = 0;
    for (const tracks of layerTracks(print)) {
      volume += volumeOf(tracks, ['loop', 'line']);
      const cut = solid.cut((k + 0.5) * layer);
      const supports = tracks.filter(({ kind }) => kind === 'support');
      // The post in every layer; the waist's support up to one layer under it, 5 mm up.
      expect(supports.length).toBe(k < 24 ? 2 : 1);
      expect(tracks.filter(({ kind }) => kind === 'brim').length).toBe(k === 0 ? 9 : 0);
      for (const { points } of supports)
        for (const [x, y] of points)
          expect(cut.some((ring) => contains(ring, x - 0.1, y - 0.05))).toBe(false);
      k++;
    }
    expect(volume / solid.volume).toBeCloseTo(1, 10);
  });

  it('is the volume of any convex outline, whichever way it was drawn', () => {
    const corners = fc.record({
      count: fc.integer({ min: 3, max: 9 }),
      radius: fc.double({ min: 0.004, max: 0.03, noNaN: true }),
      turn: fc.double({ min: 0, max: 6, noNaN: true }),
      clockwise: fc.boolean(),
    });
    fc.assert(
      fc.property(corners, ({ count, radius, turn, clockwise }) => {
        const ring = Array.from({ length: count }, (_, i): Point => {
          const angle = turn + (2 * Math.PI * i) / count;
          return [radius * Math.cos(angle), radius * Math.sin(angle)];
        });
        const solid = prism(clockwise ? ring.reverse() : ring, 2 * layer);
        let volume = 0;
        for (const tracks of layerTracks(plan([solid]))) volume += volumeOf(tracks, ['loop', 'line']);
        expect(volume / solid.volume).toBeCloseTo(1, 9);
      }),
      { seed: 4, numRuns: 60 },
    );
  });

  it('is refused where a bead does not fit, in words', () => {
    const thin = prism(rectangle(0.05, 3e-4), 1e-3);
    expect(() => [...layerTracks(plan([thin]))]).toThrow(Refusal);
    expect(() => [...layerTracks(plan([thin]))]).toThrow('narrower than a bead of 0.45 mm');
    expect(() => [...layerTracks(plan([bar('flat')], { layer: 3e-3 }))]).toThrow('cannot be laid');
    expect(() => [...layerTracks(plan([bar('flat')], { flow: 0 }))]).toThrow(Refusal);
  });
});

describe('the text', () => {
  const words = (line: string): Map<string, number> =>
    new Map([...line.matchAll(/([A-Z])(-?[\d.]+)/g)].map(([, letter, value]) => [letter!, Number(value)]));

  it('gives the volume back: strand laid times its area, in both ways of writing it', () => {
    const solid = low(bar('on edge'), 1e-3);
    for (const strand of ['absolute', 'relative'] as const) {
      let debt = 0;
      let laid = 0;
      let at = 0;
      for (const line of layerLines(plan([solid], { strand }))) {
        const e = words(line).get('E');
        if (e === undefined) continue;
        if (line.startsWith('G92')) {
          at = e;
          continue;
        }
        const step = strand === 'absolute' ? e - at : e;
        at = e;
        const paid = Math.min(debt, Math.max(0, step));
        debt += step < 0 ? -step : -paid;
        if (step > 0) laid += step - paid;
      }
      expect((laid * 1e-3 * strandArea) / solid.volume).toBeCloseTo(1, 6);
      expect(debt).toBeLessThan(1e-4);
    }
  });

  it('draws back for every way of 2.5 mm or more, and for no shorter one', () => {
    const seen = { short: 0, long: 0 };
    let [x, y] = [Number.NaN, Number.NaN];
    let before = '';
    for (const line of layerLines(plan([low(bar('on edge'), 2e-3), bar('flat')], { supports: true }))) {
      const word = words(line);
      const [nextX, nextY] = [word.get('X') ?? x, word.get('Y') ?? y];
      if (word.get('G') === 0 && word.has('X') && !Number.isNaN(x)) {
        const way = Math.hypot(nextX - x, nextY - y) * 1e-3;
        // Rounded to a thousandth of a millimetre, a way may fall on the other side by as much.
        if (Math.abs(way - joinMost) > 2e-6) {
          expect(before.includes('E-')).toBe(way >= joinMost);
          seen[way >= joinMost ? 'long' : 'short']++;
        }
      }
      [x, y] = [nextX, nextY];
      before = line;
    }
    expect(Math.min(seen.short, seen.long)).toBeGreaterThan(10);
  });

  it('lays at the planned flow', () => {
    const solid = prism(rectangle(0.05, 0.02), 2 * layer);
    let feed = 0;
    let [x, y] = [0, 0];
    let fast = 0;
    for (const line of layerLines(plan([solid], { flow: 6e-9, firstLayerShare: 1 }))) {
      const word = words(line);
      feed = word.get('F') ?? feed;
      const [nextX, nextY] = [word.get('X') ?? x, word.get('Y') ?? y];
      const length = Math.hypot(nextX - x, nextY - y);
      if (word.has('E') && length > 1) {
        const flow = (word.get('E')! * 1e-3 * strandArea) / (length / (feed / 60));
        expect(Math.abs(flow / 6e-9 - 1)).toBeLessThan(2e-3);
        fast++;
      }
      [x, y] = [nextX, nextY];
    }
    expect(fast).toBeGreaterThan(50);
    expect(flowAt(0.0737, layer, bead)).toBeCloseTo(6e-9, 11);
  });

  it('is the same bytes on every run', () => {
    const text = (): string =>
      [...layerLines(plan([low(bar('upright'), 2e-3)], { supports: true }))].join('\n');
    expect(text()).toBe(text());
  });

  it('becomes bytes without loss, whatever the chunks', () => {
    const lines = Array.from({ length: 9000 }, (_, i) => `G1 X${i}.000 Y0.000`);
    const chunks = [...textBytes(lines)].map((chunk) => Buffer.from(chunk));
    expect(chunks.length).toBeGreaterThan(2);
    expect(Buffer.concat(chunks).toString('latin1')).toBe(`${lines.join('\n')}\n`);
    expect(Buffer.concat([...textBytes(['x'.repeat(200_000)])]).length).toBe(200_001);
  });
});
