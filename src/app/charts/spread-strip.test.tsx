import { describe, expect, it } from 'vitest';
import { bendRadiusDrawn, thingIn } from './bend.tsx';
import { spreadPlaces } from './spread-strip.tsx';

describe('the strip of a spread', () => {
  it('puts five points in order between its ends', () => {
    const places = spreadPlaces([0.25, 0.31, 0.36, 0.42, 0.5], 280, 8);
    expect(places[0]).toBe(8);
    expect(places[4]).toBe(272);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  it('puts a spread of nothing in the middle', () => {
    expect(spreadPlaces([2, 2, 2, 2, 2], 280, 8)).toEqual([140, 140, 140, 140, 140]);
  });
});

describe('the drawings of a bend', () => {
  it('are chosen by the thing that the words name', () => {
    expect(thingIn('12 mm x 90 deg as tight as a coin (12 mm)')).toBe('coin');
    expect(thingIn('round as a cup')).toBe('cup');
    expect(thingIn('round as a plate, or wider')).toBe('plate');
    expect(thingIn('something platelike')).toBeNull();
  });

  it('grow from coin to plate', () => {
    const radii = (['coin', 'cup', 'plate'] as const).map(bendRadiusDrawn);
    expect([...radii].sort((a, b) => a - b)).toEqual(radii);
    expect(new Set(radii).size).toBe(3);
  });
});
