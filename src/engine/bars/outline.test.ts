/**
 * Goal: a bar in any orientation is the same body. Method: its cuts, summed over its height, against its exact
 * volume; its outline against its exact area.
 */
import { describe, expect, it } from 'vitest';
import { barOutline, barSolid, prism, type Ring, ringArea } from './outline.ts';
import { barNames, barShape, barVolume, planArea } from './shapes.ts';

const area = (rings: readonly Ring[]): number => rings.reduce((sum, ring) => sum + ringArea(ring), 0);

describe('a bar on the sheet', () => {
  it.each(barNames)('%s: the outline encloses the plan area within 0.1 %, counter-clockwise', (name) => {
    const bar = barShape(name)!;
    expect(Math.abs(ringArea(barOutline(bar)) / planArea(bar) - 1)).toBeLessThan(1e-3);
  });

  it.each(['flat', 'on edge', 'upright'] as const)(
    '%s: the cuts add up to the volume of the bar',
    (orientation) => {
      const bar = barShape('1B')!;
      const solid = barSolid(bar, orientation);
      const slices = 4000;
      let volume = 0;
      for (let i = 0; i < slices; i++)
        volume += (area(solid.cut(((i + 0.5) / slices) * solid.height)) * solid.height) / slices;
      expect(Math.abs(volume / barVolume(bar) - 1)).toBeLessThan(2e-4);
      expect(solid.volume).toBe(barVolume(bar));
      expect(solid.cut(-1e-6)).toHaveLength(0);
      expect(solid.cut(solid.height + 1e-6)).toHaveLength(0);
    },
  );

  it('lies on edge on two feet, is whole at the waist and ends in two heads', () => {
    const solid = barSolid(barShape('1B')!, 'on edge');
    expect([0.001, 0.01, 0.019].map((z) => solid.cut(z).length)).toEqual([2, 1, 2]);
    const [left, right] = solid.cut(0.001);
    expect(Math.max(...left!.map(([x]) => x))).toBeCloseTo(-Math.min(...right!.map(([x]) => x)), 12);
  });

  it('gives the same object for equal cuts, so that patterns are worked out once', () => {
    for (const orientation of ['flat', 'on edge', 'upright'] as const) {
      const solid = barSolid(barShape('1B')!, orientation);
      expect(solid.cut(0.45 * solid.height)).toBe(solid.cut(0.46 * solid.height));
    }
  });

  it('takes an outline of a person either way round', () => {
    const ring: Ring = [
      [0, 0],
      [0, 0.01],
      [0.15, 0.01],
      [0.15, 0],
    ];
    expect(prism(ring, 0.004).volume).toBeCloseTo(6e-6, 15);
  });
});
