import { describe, expect, it } from 'vitest';
import {
  asTightAs,
  type Bend,
  changesOf,
  inserted,
  insertedIn,
  intoTheBox,
  isInBox,
  nameOf,
  newBend,
  piecesOf,
  removed,
  replaced,
  type Said,
  wayText,
  withLength,
  withRadius,
  withTurn,
  wordsOf,
} from './way.ts';

/** Goal: edits of the strand's way say what they mean and nothing else. Method: each edit by hand, and what is written. */
const said = (kind: Said['kind'], text: string, assumed = false): Said => ({ kind, text, assumed });
const CUP = { label: 'round as a cup (40 mm)', radius: '40 mm', spread: 'x/ 1.3' };
const STANDS = [
  said('tube', '0.7 m'),
  said('bend', '60 mm x 90 deg'),
  said('bend', '40 mm x 45 deg +- 5 mm'),
];
const pieces = piecesOf(STANDS);
const bend = (index: number) => pieces[index] as Bend;

describe('the way of the strand', () => {
  it('reads lengths, radii and angles with and without a spread', () => {
    const read = piecesOf([
      said('tube', '0.4 .. 0.8 m'),
      said('tube', '0.4 / 0.5 / 1 m'),
      said('tube', '70 cm x/ 1.1'),
      said('bend', '40 mm x 45 deg x/ 1.3'),
    ]);
    expect(read.map((piece) => (piece.kind === 'tube' ? piece.length : piece.radius))).toEqual([
      expect.closeTo(0.6, 12),
      0.5,
      expect.closeTo(0.7, 12),
      expect.closeTo(0.04, 12),
    ]);
    expect((read[3] as Bend).angle).toBeCloseTo(Math.PI / 4, 12);
  });

  it('keeps the spread of a radius when a bend turns further, and loses it when the radius is measured', () => {
    expect(withTurn(bend(2), 120).text).toBe('40 mm x 120 deg +- 5 mm');
    expect(withRadius(bend(2), 33).text).toBe('33 mm x 45 deg');
    expect(asTightAs(bend(1), CUP).text).toBe('40 mm x 90 deg x/ 1.3');
  });

  it('writes one piece in its place, and the whole list where there are more or fewer', () => {
    const wider = replaced(pieces, 2, withRadius(bend(2), 80));
    expect(changesOf(STANDS, wider, false)).toEqual([
      { path: 'kit.box.path.2.bend', value: '80 mm x 45 deg' },
    ]);
    const whole = '[{ tube: "0.7 m" }, { bend: "60 mm x 90 deg" }, { bend: "80 mm x 45 deg" }]';
    expect(changesOf(STANDS, wider, true)).toEqual([{ path: 'kit.box.path', value: whole }]);
    expect(changesOf(STANDS, removed(pieces, 1), false)[0]!.value).toBe(
      '[{ tube: "0.7 m" }, { bend: "40 mm x 45 deg +- 5 mm" }]',
    );
  });

  it('leaves unsaid what is assumed where it stands as it is assumed, and says it where it does not', () => {
    const assumed = piecesOf([said('tube', '0.8 m x/ 1.4', true), said('bend', '40 mm x 90 deg')]);
    expect(wayText(assumed)).toBe('[{ bend: "40 mm x 90 deg" }]');
    expect(wayText(inserted(assumed, 0, newBend(CUP)))).toBe(
      '[{ bend: "40 mm x 90 deg x/ 1.3" }, { tube: "0.8 m x/ 1.4" }, { bend: "40 mm x 90 deg" }]',
    );
  });

  it('puts a bend half way into a tube, which becomes two of half its length', () => {
    const split = insertedIn(pieces, 0, newBend(CUP));
    expect(split.map(({ text }) => text).slice(0, 3)).toEqual(['0.35 m', '40 mm x 90 deg x/ 1.3', '0.35 m']);
    expect(nameOf(split, 2)).toBe('tube 2');
  });

  it('moves a bend into the box: before the tube begins', () => {
    const moved = intoTheBox(pieces, 2);
    expect(moved[0]!.text).toBe('40 mm x 45 deg +- 5 mm');
    expect(isInBox(moved, 0)).toBe(true);
    expect(isInBox(moved, 2)).toBe(false);
    expect(moved).toHaveLength(3);
  });

  it('says what is tried in words', () => {
    expect(wordsOf(pieces, replaced(pieces, 0, withLength(0.35)))).toBe(
      'The way: tube 0.35\u00a0m, not 0.7\u00a0m',
    );
    expect(wordsOf(pieces, intoTheBox(pieces, 2))).toBe(
      'The way: 0.7\u00a0m of tube, 2 bends, 1 of them in the box',
    );
  });
});
