/**
 * Goal: what is firm for safety holds through campaign, cards and link: no change is offered that keeps a person beside
 * a covered hot bed longer than they are there, none above what strand and spool stand, and nothing is computed hotter
 * than 70 C while nobody has said what they stand (common practice, no source).
 */
import { describe, expect, it } from 'vitest';
import { makeJob } from '../../src/campaign/job.ts';
import { readCampaign } from '../../src/campaign/read.ts';
import { dry, dryingCap, longestWatch } from '../../src/engine/links/dry.ts';
import { cardsFor } from '../../src/work/library.ts';

function job(dryer: string, more = '') {
  const cards = cardsFor(null);
  const text = `format: 1\ncampaign: a spool for sensor brackets\nkit: { dryer: ${dryer} }\n${more}`;
  const { campaign, problems } = readCampaign(text, { file: 'safe.yaml', cards });
  if (!campaign) throw new Error(problems.map(({ message }) => message).join(' '));
  return makeJob(campaign, cards);
}
const BED = '{ card: bed-under-card-cover, at: "90 C", for: "8 h" }';
const OVEN = '{ card: fan-oven, at: "90 C", for: "8 h" }';
const TEN_HOURS =
  'people: { zone: Europe/Vienna, there: [ { days: mon-fri, from: "07:30", to: "17:30" } ] }\n';
const hoursOffered = (dryer: string, more = '') =>
  dry
    .levers(job(dryer, more))
    .filter(({ id }) => id === 'longer')
    .map(({ changes }) => Number(changes[0]!.value) / 3600);

describe('firm defaults', () => {
  it('a covered bed is offered no longer than somebody is there on end', () => {
    expect(longestWatch(job(BED, TEN_HOURS))).toBe(36_000);
    expect(hoursOffered(BED, TEN_HOURS)).toEqual([10]);
    expect(hoursOffered(BED)).toEqual([12, 16, 24]);
  });

  it('an oven whose manual allows it may run longer', () => {
    expect(hoursOffered(OVEN, TEN_HOURS)).toEqual([12, 16, 24]);
  });

  it('without a limit that somebody said nothing is hotter than 70 C, and with one nothing hotter than that', () => {
    expect(dryingCap(job(BED)).temperature).toBeCloseTo(343.15, 9);
    const said = job(BED, 'spool: { dry at most: "95 C" }\n');
    expect(dryingCap(said).temperature).toBeCloseTo(368.15, 9);
    expect(dry.levers(said).some(({ id }) => id === 'hotter')).toBe(false);
    expect(dry.levers(job(BED, 'spool: { dry at most: "100 C" }\n')).some(({ id }) => id === 'hotter')).toBe(
      true,
    );
  });

  it('a dryer set above what strand and spool stand is refused', () => {
    expect(() => job('{ card: fan-oven, at: "140 C" }', 'spool: { dry at most: "100 C" }\n')).toThrow(
      '140 C',
    );
  });
});
