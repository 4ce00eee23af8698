/**
 * Goal: what plates ask of the strand, and when they start, is read from their files, from the campaign, or assumed and
 * said so. Method: campaigns as text with the shipped cards; a print that gives only what is read of it.
 */
import { describe, expect, it } from 'vitest';
import { makeJob } from '../campaign/job.ts';
import { readCampaign } from '../campaign/read.ts';
import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { Job } from '../job.ts';
import { ASSUMED_TIME, withPrints } from './asked-prints.ts';
import { cardsFor } from './library.ts';

const HOUR = 3600;
const cards = cardsFor(null);

function asked(text: string, totals?: { laidMm3: number; timeS: number }): Job {
  const { campaign, problems } = readCampaign(`format: 1\ncampaign: x\n${text}`, { file: 'x.yaml', cards });
  if (!campaign) throw new Error(JSON.stringify(problems));
  const job = makeJob(campaign, cards);
  const print = totals ? ({ totals } as PrintSummary) : null;
  return withPrints(
    job,
    job.plates.map((plate) => ({ plate, file: null, print, problems: [] })),
  );
}

/** A 1B bar of 4 mm, by hand from l3 = 150, l1 = 60, b1 = 10, b2 = 20, r = 60 mm: 2078 mm2 seen from above [m3]. */
const BAR = 8.31e-6;
const GROUP = 'groups: [{ name: flat, bar: 1B, orientation: flat, bars: 4 }]\n';
const plates = (print: string) => `${GROUP}plates: [{ name: A, ${print} bars: { 1: flat, 2: flat } }]\n`;

describe('what a plate asks of the strand', () => {
  it('is time and volume of its file, at their mean flow', () => {
    const [print] = asked(plates('print: a.gcode,'), { laidMm3: 50_000, timeS: 10_000 }).prints;
    expect(print).toMatchObject({ plate: 'A', time: 10_000, from: 'file' });
    expect(print!.flow).toBeCloseTo(5e-9, 15);
    expect(print!.mass).toBeCloseTo(50e-6 * 1197, 6);
  });

  it('is the volume of its bars at the flow that the campaign names, where there is no file', () => {
    const [print] = asked(plates('print: { layer: "0.2 mm", bead: "0.45 mm", flow: "6 mm3/s" },')).prints;
    expect(print).toMatchObject({ from: 'made' });
    expect(print!.flow).toBeCloseTo(6e-9, 15);
    expect((print!.time * 6e-9) / (2 * BAR)).toBeCloseTo(1, 3);
    expect(print!.mass).toBeCloseTo(print!.time * 6e-9 * 1197, 6);
  });

  it('is assumed to take 4 h where nobody says it, with the strand of its bars', () => {
    const [print] = asked(plates('')).prints;
    expect(print).toMatchObject({ from: 'assumed', time: ASSUMED_TIME });
    expect(print!.mass / (2 * BAR * 1197)).toBeCloseTo(1, 3);
    expect(print!.flow * print!.time * 1197).toBeCloseTo(print!.mass, 9);
  });

  it('is assumed whole where there are neither plates nor bars, and from the groups where they are', () => {
    const [bare] = asked('').prints;
    expect(bare).toMatchObject({ from: 'assumed', time: ASSUMED_TIME, flow: 6e-9 });
    const [grouped] = asked(GROUP).prints;
    expect(grouped!.mass / (4 * BAR * 1197)).toBeCloseTo(1, 3);
  });

  it('a file that lays nothing counts as none', () => {
    expect(asked(plates('print: a.gcode,'), { laidMm3: 0, timeS: 100 }).prints[0]!.from).toBe('assumed');
  });
});

describe('when prints start', () => {
  const two = `${GROUP}plates: [{ name: A, bars: { 1: flat } }, { name: B, bars: { 1: flat } }]\n`;
  const people =
    'people: { zone: Europe/Vienna, there: [{ days: mon-fri, from: "07:30", to: "17:30" }], away: [2027-03-03] }\n';
  const dryer = 'kit: { dryer: { card: fan-oven, for: "8 h" } }\n';
  const starts = (text: string) => asked(text).prints.map(({ start }) => start / HOUR);

  it('12 h apart where nobody said when people are there', () => {
    expect(starts(two + dryer)).toEqual([0.5, 0.5 + 4 + 12]);
  });

  it('from the first attended moment of a week on, each while somebody is there', () => {
    // Dried 07:30 to 15:30, A at 16:00 to 20:00, B at 07:30.
    expect(starts(two + dryer + people.replace(', away: [2027-03-03]', ''))).toEqual([0.5, 16]);
  });

  it('in the first week in which days off are named, where no drying is booked', () => {
    // Monday 1 March; a third print would start on Tuesday evening, a fourth on Wednesday but for the day off.
    const more = two.replace(
      /\[\{ name: A.*\]/,
      '[{ name: A, bars: {} }, { name: B, bars: {} }, { name: C, bars: {} }, { name: D, bars: {} }]',
    );
    const late = people.replace('"17:30"', '"12:00"').replace('[2027-03-03]', '[2027-04-05, 2027-03-03]');
    const long = dryer.replace('8 h', '2 h');
    // Dried 07:30 to 09:30; A at 10:00, B on Tuesday at 07:30, C at 12:00 is too late: Thursday.
    expect(starts(more + long + late)).toEqual([0.5, 22, 70, 94]);
    expect(starts(more + long + late.replace(/, away.*\]/, ''))).toEqual([0.5, 22, 46, 70]);
  });

  it('from the drying that was booked, days off left out', () => {
    // 08:18 on Tuesday 2 March 2027, in winter time; Wednesday is off, so B waits for Thursday.
    const events = 'events: [{ at: 2027-03-02 08:18, did: started drying }]\n';
    const [a, b] = starts(two + dryer + people + events);
    expect(a).toBeCloseTo(0.5, 9);
    expect(b).toBeCloseTo(48 - 8.3 - 8 + 7.5, 9);
  });
});
