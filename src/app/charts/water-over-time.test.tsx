import { describe, expect, it } from 'vitest';
import type { DryDepth } from '../../server/api.ts';
import { drawn, ofClass } from './drawn.fixture.ts';
import { WaterDrawing, waterAxis, waterRows } from './water-over-time.tsx';

const hours = Array.from({ length: 25 }, (_, i) => i);
const band = (start: number) => ({
  low: hours.map((t) => start * 0.7 * 0.9 ** t),
  median: hours.map((t) => start * 0.9 ** t),
  high: hours.map((t) => start * 1.4 * 0.9 ** t),
});
const DRY: DryDepth = {
  hours,
  mean: band(0.8),
  worst: band(1),
  plannedHours: 8,
  flips: [4],
  limits: [
    { name: 'strict', water: 0.2, label: 'strict 0.2 wt %' },
    { name: 'visible', water: 0.45, label: 'visible 0.45 wt %' },
  ],
  needed: ['To the visible limit: 7 h for half of the runs, 11 h for 9 in 10.'],
  scale: [],
  advice: [],
  cautions: [],
  weak: [],
  levers: [],
};
const draw = (width: number, planned: DryDepth | null = null) =>
  drawn(<WaterDrawing dry={DRY} planned={planned} width={width} text={12} />);

describe('water over time', () => {
  it('has room for the bands and both limits', () => {
    const { top } = waterAxis(DRY);
    expect(top).toBeGreaterThan(1.4);
    expect(waterAxis({ ...DRY, limits: [{ name: 'far', water: 9, label: '' }] }).top).toBeGreaterThan(9);
  });

  it.each([340, 760])(
    'at %d px names both limits, the flip and the planned end, and shades what is allowed',
    (width) => {
      const all = draw(width);
      const words = all.map((element) => element.words);
      for (const word of ['strict 0.2 wt %', 'visible 0.45 wt %', 'flip', 'planned end'])
        expect(words).toContain(word);
      expect(ofClass(all, 'limit')).toHaveLength(3);
      const [zone] = ofClass(all, 'zone');
      const strict = ofClass(all, 'limit').filter(({ props }) => props['y1'] === props['y2']);
      expect(strict.map(({ props }) => props['y1'])).toContain(zone!.props['y']);
    },
  );

  it('draws the allowed zone downwards from the lowest limit to nought', () => {
    const all = draw(760);
    const [zone] = ofClass(all, 'zone');
    const ys = ofClass(all, 'limit')
      .filter(({ props }) => props['y1'] === props['y2'])
      .map(({ props }) => Number(props['y1']));
    expect(Number(zone!.props['y'])).toBe(Math.max(...ys));
  });

  it('draws the plan as it stands behind while a change is tried, and not otherwise', () => {
    expect(ofClass(draw(760), 'planned')).toHaveLength(0);
    expect(ofClass(draw(760, DRY), 'planned')).toHaveLength(1);
  });

  it('lets no label at the right meet another', () => {
    const labels = draw(760).filter(
      ({ tag, words }) => tag === 'text' && /winding|spool|strict|visible/.test(words),
    );
    const ys = labels.map(({ props }) => Number(props['y'])).sort((a, b) => a - b);
    expect(ys).toHaveLength(4);
    for (let i = 1; i < ys.length; i++) expect(ys[i]! - ys[i - 1]!).toBeGreaterThan(14);
  });

  it('lists about a dozen times in its table, the first, the last and the planned end among them', () => {
    const rows = waterRows({ ...DRY, plannedHours: 7 });
    expect(rows[0]).toBe(0);
    expect(rows.at(-1)).toBe(24);
    expect(rows).toContain(7);
    expect(rows.length).toBeLessThanOrEqual(15);
  });
});
