import { describe, expect, it } from 'vitest';
import { sentence } from '../problem.ts';
import { type Answers, campaignFromAnswers, fieldAt } from './answers.ts';
import { makeJob } from './job.ts';
import { questionsFor } from './questions.ts';
import { readCampaign } from './read.ts';
import { shippedCards } from './scenario.fixture.ts';

/**
 * Goal: whatever is answered makes a campaign that reads, and what is not answered is assumed, never guessed. Method:
 * no answers, each choice of each field alone, all answers, and a wrong one.
 */
const cards = shippedCards();
const plates: Answers['plates'] = [
  {
    name: 'A',
    gcode: 'weir plate.gcode',
    bars: [
      { part: 1, bar: '1B', orientation: 'flat' },
      { part: 2, bar: '1B', orientation: 'upright' },
      { part: 3, bar: 'unknown', orientation: 'unknown' },
    ],
  },
];
const make = (fields: Readonly<Record<string, string>>) => {
  const text = campaignFromAnswers({ campaign: 'Weir bracket', plates, fields });
  return { text, ...readCampaign(text, { file: 'weir.yaml', cards }) };
};

describe('the eight questions', () => {
  const questions = questionsFor(cards, 'Europe/Vienna');

  it('are eight, in their order, and each field takes "I do not know"', () => {
    expect(questions.map(({ id }) => id)).toEqual([
      'bars',
      'spool',
      'dryer',
      'feed',
      'machine',
      'sheet',
      'people',
      'question',
    ]);
    for (const { fields } of questions)
      for (const field of fields) expect(field.choices.map(({ value }) => value)).toContain('unknown');
  });

  it('make a campaign from no answers, in which everything asked is assumed', () => {
    const { campaign, problems } = make({});
    expect(problems.map(sentence)).toEqual([]);
    const job = makeJob(campaign!, cards);
    for (const key of [
      'spool.net',
      'spool.hours open',
      'spool.limit of heat',
      'dryer.temperature',
      'box.temperature',
      'path.length',
      'path.tightest bend',
      'chamber.settles at',
      'sheet.size',
    ])
      expect([key, job.entries[key]?.from]).toEqual([key, 'assumed']);
    expect(job.drying).toMatchObject({ time: 8 * 3600, flipEvery: 4 * 3600, assumed: true });
    expect(job.entries['path.tightest bend']).toMatchObject({
      value: 0.04,
      law: { kind: 'even', low: 0.025, high: 0.08 },
    });
    expect(job.plates[0]?.bars.map(({ id, group }) => [id, group])).toEqual([
      ['A1', 'flat'],
      ['A2', 'upright'],
      ['A3', null],
    ]);
    expect(job.groups.map(({ name, bars }) => [name, bars])).toEqual([
      ['flat', 1],
      ['upright', 1],
    ]);
  });

  it.each(
    questions.flatMap(({ id, fields }) =>
      fields.flatMap((field) =>
        [...field.choices.map(({ value }) => value), field.hint]
          .filter((value) => value !== '')
          .map((value) => [`${id}.${field.id}`, value] as const),
      ),
    ),
  )('make a campaign from the answer to %s: %s', (id, value) => {
    const others: Record<string, string> = id.startsWith('people.')
      ? { 'people.days': 'sat', 'people.from': '08:00', 'people.to': '12:00' }
      : {};
    expect(make({ ...others, [id]: value }).problems.map(sentence)).toEqual([]);
  });

  it('put every answer where its field says', () => {
    const { campaign, problems } = make({
      'spool.net': '750 g',
      'spool.open': '24 h x/ 1.5',
      'spool.kept': 'room',
      'dryer.card': 'dryer-vented',
      'dryer.at': '70 C',
      'dryer.for': '12 h',
      'feed.from': 'dryer',
      'feed.bend': '40 mm x 90 deg x/ 1.3',
      'machine.chamber': 'lid-ajar',
      'machine.heat': '44 C',
      'sheet.size': '260 x 220 mm',
      'sheet.clamps': 'corners',
      'sheet.glue': 'yes',
      'people.days': 'mon-fri',
      'people.from': '07:30',
      'people.to': '18:00',
      'people.zone': 'Europe/Vienna',
      'question.compare': 'directions',
      'question.measure': 'strength',
      'question.difference': '10 %',
    });
    expect(problems.map(sentence)).toEqual([]);
    const job = makeJob(campaign!, cards);
    expect(job.entries['dryer.temperature']).toMatchObject({
      value: 343.15,
      from: 'campaign',
      law: { kind: 'normal', sd: 3 },
    });
    expect(job.kit).toMatchObject({
      fedFromDryer: true,
      sheet: { size: [0.26, 0.22], clamps: 'corners', glue: true },
    });
    expect(job.entries['chamber.settles at']).toMatchObject({ card: 'chamber/lid-ajar', value: 317.15 });
    expect(job.sinceOpened[0]).toMatchObject({ in: 'room', time: 86400 });
    expect(job.question).toMatchObject({ compare: ['flat', 'upright'], smallestDifference: 0.1 });
    expect(job.people?.there).toEqual([{ days: [1, 2, 3, 4, 5], from: 27000, to: 64800 }]);
  });

  it('tell a wrong answer at its field', () => {
    const { problems } = make({ 'dryer.at': '90' });
    expect(problems).toHaveLength(1);
    expect(problems[0]!.message).toBe('"90" has no unit.');
    expect(fieldAt(questions, problems[0]!.where!.path!)).toBe('dryer.at');
  });
});
