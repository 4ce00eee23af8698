/**
 * Goal: supports stand under what hangs over, and nowhere else. Method: bodies of boxes whose overhangs are plain,
 * and tensile bars in three orientations.
 */
import { describe, expect, it } from 'vitest';
import { barSolid, type Ring, ringArea, type Solid } from '../bars/outline.ts';
import { barNames, barShape } from '../bars/shapes.ts';
import type { Lines } from './synthetic-lines.ts';
import { type SupportOptions, supportLines } from './synthetic-support.ts';

const layer = 2e-4;
const bead = 4.5e-4;
const box = (x0: number, x1: number, y0: number, y1: number): Ring => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];
const options = (solid: Solid, over: Partial<SupportOptions> = {}): SupportOptions => ({
  layer,
  layers: Math.round(solid.height / layer),
  bead,
  spacing: 2.5e-3,
  gap: 1.5 * bead,
  layersFree: 1,
  ...over,
});
const drawn = (lines: Lines): number => lines.on.reduce((sum, on) => sum + on.length / 2, 0);

/** A post 4 mm wide and 4 mm high with a plate of 20 mm x 6 mm on it, 2 mm thick; the plate is `out` wider. */
function table(out: number): Solid {
  const post = [box(-0.002, 0.002, -0.003, 0.003)];
  const plate = [box(-0.002 - out, 0.002 + out, -0.003, 0.003)];
  const outline = plate[0]!;
  return {
    length: 0.004 + 2 * out,
    width: 0.006,
    height: 0.006,
    volume: ringArea(post[0]!) * 0.004 + ringArea(outline) * 0.002,
    outline,
    cut: (z) => (z < 0 || z > 0.006 ? [] : z < 0.004 ? post : plate),
  };
}

describe('supports', () => {
  it('stand under both wings of a table, clear of its post and one layer below its plate', () => {
    const solid = table(0.008);
    const found = supportLines(solid, options(solid));
    expect(found).toHaveLength(30);
    const perLayer = found.map(drawn);
    // Lines at three places across, two pieces each; 20 layers of post, the topmost one left free.
    expect(perLayer.slice(0, 19)).toEqual(Array(19).fill(6));
    expect(perLayer.slice(19)).toEqual(Array(11).fill(0));
    for (const on of found[0]!.on) {
      const [from, to, nextFrom, nextTo] = on as [number, number, number, number];
      expect(from).toBeCloseTo(-0.01 + bead / 2, 9);
      expect(to).toBeCloseTo(-0.002 - 1.5 * bead - bead / 2, 9);
      expect(nextFrom).toBeCloseTo(-to, 9);
      expect(nextTo).toBeCloseTo(-from, 9);
    }
  });

  it('are not laid for a ledge of one bead, and are for a wider one', () => {
    const narrow = table(0.999 * bead);
    expect(supportLines(narrow, options(narrow)).every((lines) => drawn(lines) === 0)).toBe(true);
    const wide = table(4 * bead);
    expect(supportLines(wide, options(wide)).some((lines) => drawn(lines) > 0)).toBe(true);
  });

  it('see a ledge across their lines too', () => {
    const base = [box(-0.005, 0.005, -0.003, 0.003)];
    const plate = [box(-0.005, 0.005, -0.003, 0.009)];
    const solid = (from: readonly Ring[]): Solid => ({
      ...table(0),
      width: 0.018,
      cut: (z) => (z < 0.004 ? from : plate),
    });
    const found = supportLines(solid(base), options(solid(base)));
    const at = found[0]!.across.filter((_, i) => found[0]!.on[i]!.length > 0);
    expect(at.length).toBeGreaterThan(0);
    expect(Math.min(...at)).toBeGreaterThan(0.003);
    const almost = [box(-0.005, 0.005, -0.003, 0.009 - 0.9 * bead)];
    expect(supportLines(solid(almost), options(solid(almost))).every((lines) => drawn(lines) === 0)).toBe(
      true,
    );
  });

  it('stand on the body where the body is below them', () => {
    const foot = [box(-0.01, 0.01, -0.003, 0.003)];
    const post = [box(-0.002, 0.002, -0.003, 0.003)];
    const solid: Solid = { ...table(0.008), cut: (z) => (z < 0.001 || z > 0.004 ? foot : post) };
    const perLayer = supportLines(solid, options(solid)).map(drawn);
    expect(perLayer.slice(0, 5)).toEqual([0, 0, 0, 0, 0]);
    expect(perLayer.slice(5, 19).every((count) => count === 6)).toBe(true);
    expect(perLayer.slice(19).every((count) => count === 0)).toBe(true);
  });

  it.each(barNames)('%s flat needs none', (name) => {
    const solid = barSolid(barShape(name)!, 'flat');
    expect(supportLines(solid, options(solid)).every((lines) => drawn(lines) === 0)).toBe(true);
  });

  it.each(['1A', '1B', '5A', 'IV'])(
    '%s upright needs none: its shoulder goes out less than a bead a layer',
    (name) => {
      const solid = barSolid(barShape(name)!, 'upright');
      expect(supportLines(solid, options(solid)).every((lines) => drawn(lines) === 0)).toBe(true);
    },
  );

  it('stand under the waist of a 1B bar on edge, and nowhere else', () => {
    const bar = barShape('1B')!;
    const solid = barSolid(bar, 'on edge');
    const found = supportLines(solid, options(solid));
    const perLayer = found.map(drawn);
    // The waist begins 5 mm up: 25 layers below it, the topmost left free.
    expect(perLayer.slice(0, 24).every((count) => count > 0)).toBe(true);
    expect(perLayer.slice(24).every((count) => count === 0)).toBe(true);
    // The narrow parallel part is carried over its whole length.
    const [from, to] = found[20]!.on[0]! as [number, number];
    expect(from).toBeLessThan(-bar.lengthNarrow / 2 + bead);
    expect(to).toBeGreaterThan(bar.lengthNarrow / 2 - bead);
    // From where the underside begins to go out by more than a bead a layer, which is beside the foot.
    const foot = Math.max(...solid.cut(layer / 2)[0]!.map(([x]) => x));
    expect(found[0]!.on[0]![0]! - foot).toBeLessThan(2e-3);
    expect(found[0]!.on[0]).toHaveLength(2);
    for (const [k, lines] of found.entries()) {
      const [left] = solid.cut((k + 0.5) * layer);
      for (const on of lines.on)
        if (on.length > 0)
          expect(on[0]! - bead / 2).toBeGreaterThan(Math.max(...left!.map(([x]) => x)) + 1.49 * bead);
    }
  });
});
