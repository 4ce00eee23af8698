/**
 * Goal: there is one spool, and the scale is believed about it. Readings without a print between them tell water, those
 * with prints between tell strand, and both go on into every later plate. Method: campaigns as text; the scale is given
 * what one of the draws foretells, and the figures are compared with that draw and with sums by hand.
 */
import { describe, expect, it } from 'vitest';
import { lighterAt, lostAt, weightsOfWeighings } from '../../src/engine/links/dry-weights.ts';
import { printsToCome } from '../../src/engine/links/feed.ts';
import { placedWeighings } from '../../src/engine/links/weighings.ts';
import type { Job } from '../../src/job.ts';
import { withWeighedStrand } from '../../src/work/weighed-spool.ts';
import { assessed, type Found, jobOf, median, print } from '../facts/campaign-scenes.ts';

const DRAWS = 32;
const HOUR = 3600;
/** Two prints of about 100 g, the drying from 08:00 to 16:00 UTC, A from 16:30 to 21:30, B from 08:00 on. */
const prints = [print('A', 0.5, 5), print('B', 16, 5), print('C', 40, 5)];
const campaign = (events: string, more = '') => `kit:
  dryer: { card: fan-oven, at: "90 C", for: "8 h" }
  box: { card: sealed-box-with-desiccant, path: [{ tube: "0.7 m" }, { bend: "60 mm x 90 deg" }] }
spool: { net: "750 g", body: plastic, dry at most: "100 C", since opened: [{ in: room, for: "2 d" }]${more} }
plates: [{ name: A, bars: {} }, { name: B, bars: {} }, { name: C, bars: {} }]
events: [{ at: 2027-03-02T08:00Z, did: started drying }${events}]
`;
const at = (day: string, hour: string, grams: number, plate = '') =>
  `, { at: 2027-03-${day}T${hour}Z, weighed: "${grams} g"${plate === '' ? '' : `, plate: ${plate}`} }`;
const job = (events: string, more = ''): Job => withWeighedStrand(jobOf(campaign(events, more), prints));
const laid = (k: number) => prints[k]!.mass;
const left = (found: Found) => found.Feed!.figures['strand left']!;

describe('readings of the scale after the drying', () => {
  it('a reading in the drying or within half an hour of its end is of the drying; one that names its plate is not', () => {
    const one = job(at('02', '12:00', 960) + at('02', '16:20', 958) + at('02', '16:21', 957, 'A'));
    expect(one.drying.weighings.map((reading) => reading.at / HOUR)).toEqual([4, expect.closeTo(8.333, 3)]);
    expect(one.weighings).toEqual([{ at: 21 * 60, mass: expect.closeTo(0.957, 12), plate: 'A' }]);
  });

  it('stand between the prints: by the plate that is named, else by the clock, never inside a print', () => {
    const placed = placedWeighings(
      job(
        at('02', '17:00', 960) +
          at('02', '21:00', 861) +
          at('03', '03:00', 860) +
          at('09', '08:00', 858, 'A'),
      ),
    );
    expect(placed.map(({ done }) => done)).toEqual([0, 1, 1, 1]);
    // 17:00 lies in A, before its middle; 21:00 behind it. A week late it is still the wait behind A.
    expect(placed.map((reading) => reading.at! / HOUR)).toEqual([0.5, 5.5, 11, 16]);
  });

  it('without a booked drying a plate is enough to tell strand, and nothing is told of water', () => {
    const text = campaign(at('02', '22:00', 960, 'A') + at('03', '22:00', 850, 'B')).replace(
      '{ at: 2027-03-02T08:00Z, did: started drying }, ',
      '',
    );
    const unbooked = jobOf(text, prints);
    const found = assessed(unbooked, DRAWS);
    expect(weightsOfWeighings(unbooked, found.Dry!, found['Stay dry'])).toBeNull();
    // A by its file, B by the scale.
    expect(median(found['Stay dry']!.figures['strand taken']!)).toBeCloseTo(laid(0) + 0.11, 2);
  });
});

describe('water by the scale', () => {
  const whole = job('');
  const foretold = assessed(whole, DRAWS);

  it.each([3, 11, 20])('an evening and a morning of draw %i are best foretold by that draw', (draw) => {
    const [evening, morning] = [6 * HOUR, 15 * HOUR].map((t) =>
      lighterAt(foretold['Stay dry']!, draw, t),
    ) as [number, number];
    const before = lostAt(foretold.Dry!, draw, 8 * HOUR);
    const told = job(
      at('02', '08:00', 1000) +
        at('02', '22:00', 1000 - 1000 * (before + evening), 'A') +
        at('03', '07:00', 1000 - 1000 * (before + morning), 'A'),
    );
    const found = assessed(told, DRAWS);
    const fine: Job = {
      ...told,
      entries: {
        ...told.entries,
        'scale.resolution': { ...told.entries['scale.resolution']!, value: 1e-5 },
        'scale.drift': { ...told.entries['scale.drift']!, value: 1e-5 },
      },
    };
    // Strand by the scale moves the winding a little, so that the draw is near its readings and not on them.
    const { weights, believable } = weightsOfWeighings(fine, found.Dry!, found['Stay dry'])!;
    expect(believable).toBe(true);
    const better = weights.filter((weight) => weight > weights[draw]!).length;
    expect(better).toBeLessThanOrEqual(2);
  });

  it('a spool that gained 40 g in a night behaves like no draw', () => {
    const told = job(at('02', '22:00', 860, 'A') + at('03', '07:00', 900, 'A'));
    const found = assessed(told, DRAWS);
    expect(weightsOfWeighings(told, found.Dry!, found['Stay dry'])!.believable).toBe(false);
  });

  it('readings of the drying alone say the same, whether or not the box is computed', () => {
    const late = job(at('02', '08:00', 1000) + at('02', '16:10', 994));
    const found = assessed(late, DRAWS);
    const alone = weightsOfWeighings(late, found.Dry!)!;
    const both = weightsOfWeighings(late, found.Dry!, found['Stay dry'])!;
    expect(both).toEqual(alone);
  });
});

describe('strand by the scale', () => {
  const taken = 0.15;
  const weighedAfter = (grams: number) => job(at('02', '16:10', 970) + at('02', '22:00', grams, 'A'));

  it('replaces what the file says of that print, in what is left and in the winding of every later plate', () => {
    const [weighed, filed] = [assessed(weighedAfter(970 - 1000 * taken), DRAWS), assessed(job(''), DRAWS)];
    const net = 0.75;
    expect(median(left(weighed))).toBeCloseTo(net - taken, 2);
    expect(median(left(filed))).toBeCloseTo(net, 2);
    const radius = (found: Found, hour: number) => {
      const { axis, rows } = found['Stay dry']!.traces['winding radius']!;
      const k = axis.findIndex((t) => t >= hour * HOUR);
      return median(Array.from({ length: DRAWS }, (_, i) => rows[k + axis.length * i]!));
    };
    // More was taken than the file lays, so the winding is smaller from A on to the end.
    expect(taken).toBeGreaterThan(1.3 * laid(0));
    expect(radius(weighed, 0.5)).toBeCloseTo(radius(filed, 0.5), 12);
    for (const hour of [5.5, 16, 45]) expect(radius(weighed, hour)).toBeLessThan(radius(filed, hour) - 5e-4);
    const balance = weighed['Stay dry']!.figures['water balance']!;
    expect(Math.max(...balance) * 1000).toBeLessThan(1e-3);
  });

  it('leaves the prints that have come off out of what is needed', () => {
    const told = weighedAfter(970 - 1000 * taken);
    expect(printsToCome(told).map(({ plate }) => plate)).toEqual(['B', 'C']);
    const needed = (one: Job) => median(assessed(one, DRAWS).Feed!.figures['strand needed']!);
    expect(needed(job('')) - needed(told)).toBeCloseTo(laid(0) + 0.006, 2);
  });

  it('shares what several prints took as their files lay it', () => {
    const told = job(at('02', '16:10', 970) + at('03', '22:00', 720, 'B'));
    const drawn = assessed(told, DRAWS)['Stay dry']!.figures;
    expect(median(drawn['strand taken']!)).toBeCloseTo(0.25, 3);
    expect(median(drawn['strand drawn']!)).toBeCloseTo(0.25 + laid(2), 2);
  });

  it('a spool that is heavier after a print was weighed wrongly: the file stays', () => {
    const found = assessed(weighedAfter(990), DRAWS);
    expect(median(found['Stay dry']!.figures['strand taken']!)).toBeCloseTo(laid(0), 2);
  });

  it('with the empty weight told, a reading says what is on the spool, before the prints or between them', () => {
    const before = job(at('02', '16:10', 760), ', empty weight: "210 g"').entries['spool.strand left']!;
    expect(before).toMatchObject({ value: expect.closeTo(0.55, 12), from: 'campaign' });
    expect(before.law).toMatchObject({ kind: 'normal', sd: expect.closeTo(0.002, 3) });
    const between = assessed(job(at('02', '22:00', 660, 'A'), ', empty weight: "210 g"'), DRAWS);
    // 450 g on the spool; the purge at the start of A is taken for printed.
    expect(median(left(between))).toBeCloseTo(0.45, 2);
    // What the person says of the strand itself wins.
    const said = job(at('02', '16:10', 760), ', empty weight: "210 g", strand left: "500 g"');
    expect(said.entries['spool.strand left']!.value).toBeCloseTo(0.5, 12);
  });
});
