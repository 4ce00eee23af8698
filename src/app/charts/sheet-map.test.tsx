import { describe, expect, it } from 'vitest';
import type { PrintView } from '../../server/api.ts';
import { drawn, ofClass } from './drawn.fixture.ts';
import { overlap, textWidth } from './labels.ts';
import { frameOf, labelPlaces, mapSentence, type Part, SheetDrawing } from './sheet-map.tsx';

function part(number: number, box: Part['box'], kind: Part['kind'] = 'bar'): Part {
  const [x0, y0, x1, y1] = box;
  return {
    number,
    kind,
    words: '',
    box,
    outline: [
      [
        [x0, y0],
        [x1, y0],
        [x1, y1],
        [x0, y1],
      ],
    ],
    orientation: 'upright',
    rows: [],
  };
}

/** A dozen small footprints close together. */
const PARTS = Array.from({ length: 12 }, (_, i) => {
  const [x, y] = [20 + (i % 4) * 30, 20 + Math.floor(i / 4) * 20];
  return part(i + 1, [x, y, x + 20, y + 4]);
});
const BOX: [number, number, number, number] = [20, 20, 130, 64];

describe('the sheet from above', () => {
  it('has x to the right and the door side at the bottom, one scale for both', () => {
    const { x, y } = frameOf(BOX, 600, 12);
    expect(x(130)).toBeGreaterThan(x(20));
    expect(y(64)).toBeLessThan(y(20));
    expect(x(30) - x(20)).toBeCloseTo(y(20) - y(30), 9);
  });

  it.each([300, 600])(
    'at %d px puts each number where it covers no other number and no other part',
    (width) => {
      const frame = frameOf(BOX, width, 12);
      const sheet = { left: 0, right: width, top: 0, bottom: frame.height };
      const labels = labelPlaces(PARTS, frame, sheet, 14);
      expect(labels.map((label) => label.number)).toEqual(PARTS.map(({ number }) => number));
      const rooms = labels.map(({ number, x, y }) => {
        const half = textWidth(String(number), 14) / 2;
        return { left: x - half, right: x + half, top: y - 7, bottom: y + 7 };
      });
      rooms.forEach((room, i) => {
        rooms.forEach((other, j) => {
          if (j > i) expect(overlap(room, other)).toBe(false);
        });
      });
    },
  );

  it('keeps the number of a long part inside it', () => {
    const frame = frameOf([0, 0, 150, 100], 600, 12);
    const [label] = labelPlaces(
      [part(1, [0, 40, 150, 60])],
      frame,
      { left: 0, right: 600, top: 0, bottom: 600 },
      14,
    );
    expect(label!.inside).toBe(true);
  });

  it('numbers bars and not their supports, and lights the part that is pointed at', () => {
    const parts = [...PARTS, part(13, [10, 10, 140, 70], 'support')];
    const print = { sheet: { box: BOX, parts } } as unknown as PrintView;
    const all = drawn(<SheetDrawing print={print} width={600} text={12} lit={3} />);
    expect(ofClass(all, 'part')).toHaveLength(13);
    expect(all.filter(({ words }) => words === '13')).toHaveLength(0);
    expect(ofClass(all, 'lit')).toHaveLength(1);
  });

  it('says in one sentence what there is, and that nothing can be told apart where that is so', () => {
    const print = { sheet: { box: BOX, parts: PARTS } } as unknown as PrintView;
    expect(mapSentence(print)).toContain('12 parts on 110 by 44 mm, 12 of them bars');
    expect(mapSentence({ sheet: { box: BOX, parts: [] } } as unknown as PrintView)).toContain(
      'no part can be told apart',
    );
  });
});
