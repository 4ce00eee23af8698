import { describe, expect, it } from 'vitest';
import type { Strip } from '../../server/api.ts';
import { drawn, ofClass } from './drawn.fixture.ts';
import { placeDots, StripDrawing, stripRise, ticksThatFit } from './margin-strip.tsx';

/** Twenty runs: `fails` of them left of the line, the rest right of it, three to a column. */
function strip(fails: number, beyond = 0): Strip {
  const dots = Array.from({ length: 20 }, (_, i) => {
    const holds = i >= fails;
    const at = holds ? i - fails : fails - 1 - i;
    const last = i >= 20 - beyond;
    return {
      column: last ? 20 : holds ? Math.floor(at / 3) : -1 - Math.floor(at / 3),
      level: at % 3,
      holds,
      beyond: last,
    };
  });
  return {
    dots,
    ticks: [
      { at: -60, label: '0.40' },
      { at: 80, label: '0.00' },
    ],
    limit: '0.20 wt %',
    finding: 'worst winding: some of 20 runs hold.',
    ascii: '',
  };
}

const WIDTHS = [160, 250, 320, 330, 396, 640];

describe('the picture of a margin', () => {
  it.each(WIDTHS)('at %d px has no dot on the line: fails left of it, holds right of it', (width) => {
    const line = (112 / 330) * width;
    const radius = 4.4 * (width / 330);
    for (const fails of [0, 1, 7, 20])
      for (const dot of placeDots(strip(fails), width, 60)) {
        if (dot.holds) expect(dot.x - radius).toBeGreaterThan(line);
        else expect(dot.x + radius).toBeLessThan(line);
      }
  });

  it('draws twenty dots, each as what it is', () => {
    const all = drawn(<StripDrawing strip={strip(7)} width={396} text={12} look="plain" />);
    expect(ofClass(all, 'holding')).toHaveLength(13);
    expect(ofClass(all, 'failing')).toHaveLength(7);
  });

  it('draws what holds in outline while an input is assumed; what fails stays a ring', () => {
    const all = drawn(<StripDrawing strip={strip(7)} width={396} text={12} look="assumed" />);
    expect(ofClass(all, 'assumed')).toHaveLength(13);
    expect(ofClass(all, 'failing')).toHaveLength(7);
    expect(ofClass(all, 'holding')).toHaveLength(0);
  });

  it('draws grey rings while it is computed, and the plan as it stands behind', () => {
    const all = drawn(<StripDrawing strip={strip(2)} behind={strip(7)} width={396} text={12} look="plain" />);
    expect(ofClass(all, 'grey')).toHaveLength(20);
    expect(ofClass(all, 'holding')).toHaveLength(18);
    expect(
      ofClass(drawn(<StripDrawing strip={strip(7)} width={396} text={12} look="grey" />), 'grey'),
    ).toHaveLength(20);
  });

  it('keeps the scale of one axis: the limit is at the same place with and without ticks', () => {
    const at = (axis: boolean) =>
      ofClass(
        drawn(<StripDrawing strip={strip(7)} width={396} text={12} look="plain" axis={axis} />),
        'limit',
      )[0]!.props['x1'];
    expect(at(true)).toBe(at(false));
    expect(at(true)).toBeCloseTo((112 / 330) * 396, 9);
  });

  it('says how many runs lie beyond the box', () => {
    const words = drawn(<StripDrawing strip={strip(3, 4)} width={396} text={12} look="plain" />).map(
      (element) => element.words,
    );
    expect(words).toContain('4 »');
  });

  it('never lets the label of a tick meet that of the limit: at large text it is left out', () => {
    expect(ticksThatFit(strip(7), 396, 12).size).toBe(2);
    expect(ticksThatFit(strip(7), 250, 24).size).toBeLessThan(2);
  });

  it('keeps a sure thing from towering: twenty runs in one column are drawn closer', () => {
    const tall = { ...strip(0), dots: strip(0).dots.map((dot, level) => ({ ...dot, column: 3, level })) };
    const rise = stripRise(tall, 330);
    expect(rise).toBeLessThan(80);
    expect(Math.min(...placeDots(tall, 330, rise).map((dot) => dot.y))).toBeGreaterThan(4);
  });
});
