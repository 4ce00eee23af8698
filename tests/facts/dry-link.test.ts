/**
 * Goal: trade fact 4 through the whole of the product, from a campaign's text and the shipped cards to the link Dry:
 * 8 h on a 90 C bed under a card cover, flipped half way, make a spool printable (visible limit); for test bars (strict
 * limit) they are mostly not enough. The fact is common practice, no source; the bands are those of the reference
 * (chance of the mean below the visible limit 0.4 .. 0.9, strict far lower). It was in view when the cards were set, so
 * it checks that cards, draws and link meet the reference, not the physics.
 * Method: 128 draws of a spool open for some days, the same draws in every variant, both ways round.
 */
import { describe, expect, it } from 'vitest';
import { makeJob } from '../../src/campaign/job.ts';
import { readCampaign } from '../../src/campaign/read.ts';
import { Draws } from '../../src/engine/draws.ts';
import { dry } from '../../src/engine/links/dry.ts';
import type { Assessment } from '../../src/engine/links/link.ts';
import { narrow } from '../../src/work/assess.ts';
import { cardsFor } from '../../src/work/library.ts';

const DRAWS = 128;
const known = new Map<string, Assessment>();

/** The link for one way of drying; days open are the card's: half a day to ten, median 60 h. */
function assessed(dryer: string, body: 'plastic' | 'card' = 'plastic'): Assessment {
  const before = known.get(body + dryer);
  if (before) return before;
  const text = `format: 1
campaign: a spool for sensor brackets
kit: { dryer: ${dryer}, printer: { limit of bed: "110 C" } }
spool: { net: "1000 g", body: ${body}, dry at most: "100 C" }
`;
  const cards = cardsFor(null);
  const { campaign, problems } = readCampaign(text, { file: 'fact.yaml', cards });
  if (!campaign) throw new Error(JSON.stringify(problems));
  const job = narrow(makeJob(campaign, cards), dry);
  const found = dry.assess(job, new Draws(job.entries, { seed: 7, from: 0, to: DRAWS }), {}, () => {});
  known.set(body + dryer, found);
  return found;
}

const BED = '{ card: bed-under-card-cover, at: "90 C", for: "8 h", flip: "every 4 h" }';
const UNFLIPPED = '{ card: bed-under-card-cover, at: "90 C", for: "8 h", flip: no }';
const PLASTIC = '{ card: bed-under-plastic-cover, at: "90 C", for: "8 h", flip: "every 4 h" }';
const OVEN = '{ card: fan-oven, at: "90 C", for: "8 h" }';

/** Share of draws in which a check holds, without bias and scatter of the link. */
function holds(found: Assessment, check: 'visible' | 'strict'): number {
  const { margin } = found.checks.find(({ name }) => name === check)!;
  return margin.filter((m) => m >= 1).length / margin.length;
}

describe('fact 4: drying on a hot bed', () => {
  it('8 h under a card cover, flipped, make a spool printable more often than not, within the band of the reference', () => {
    const share = holds(assessed(BED), 'visible');
    expect(share).toBeGreaterThan(0.4);
    expect(share).toBeLessThan(0.9);
  });

  it('for test bars they are mostly not enough: the strict limit holds in far fewer runs', () => {
    const bed = assessed(BED);
    expect(holds(bed, 'strict')).toBeLessThan(0.3);
    expect(holds(bed, 'visible') - holds(bed, 'strict')).toBeGreaterThan(0.3);
  });

  const helped = (body: 'plastic' | 'card') => {
    const flipped = assessed(BED, body).figures['worst water']!;
    const plain = assessed(UNFLIPPED, body).figures['worst water']!;
    return flipped.filter((water, i) => water < plain[i]!).length / DRAWS;
  };

  it('the flip helps the worst winding in nearly every draw', () => {
    expect(helped('plastic')).toBeGreaterThan(0.97); // 1.00
  });

  // Through open board flanges the upper windings dry by themselves: 0.96 of the draws, a little under the 0.97 that the
  // reference gives for closed flanges. The order is the test here.
  it('and in most draws on a board spool, whose flanges let vapour through', () => {
    expect(helped('card')).toBeGreaterThan(0.9);
    expect(helped('card')).toBeLessThanOrEqual(helped('plastic'));
  });

  it('a tight plastic cover stops the drying', () => {
    const card = assessed(BED).figures;
    const plastic = assessed(PLASTIC).figures;
    const lostShare = (figures: Assessment['figures'], i: number) =>
      1 - figures['mean water']![i]! / figures['start water']![i]!;
    const median = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]!;
    const all = Array.from({ length: DRAWS }, (_, i) => i);
    expect(median(all.map((i) => lostShare(card, i)))).toBeGreaterThan(0.5);
    expect(median(all.map((i) => lostShare(plastic, i)))).toBeLessThan(0.2);
    expect(holds(assessed(PLASTIC), 'visible')).toBeLessThan(0.05);
  });

  it('a fan oven at the same heat dries it for printing, and mostly for test bars too', () => {
    expect(holds(assessed(OVEN), 'visible')).toBeGreaterThan(0.9);
    expect(holds(assessed(OVEN), 'strict')).toBeGreaterThan(0.5);
  });

  it('water and heat are balanced in every draw: 1 mg and one part in a million', () => {
    for (const dryer of [BED, UNFLIPPED, PLASTIC, OVEN]) {
      const { figures } = assessed(dryer);
      expect(Math.max(...figures['water balance']!)).toBeLessThan(1e-6);
      expect(Math.max(...figures['heat balance']!.map(Math.abs))).toBeLessThan(1e-6);
    }
  });
});
