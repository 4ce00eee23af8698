import { describe, expect, it } from 'vitest';
import { readCards } from '../cards/card.ts';
import { findCards } from '../cards/find.ts';
import { KINDS } from '../cards/kinds.ts';
import type { Job } from '../job.ts';
import { sentence } from '../problem.ts';
import { makeJob } from './job.ts';
import { PARTS } from './parts.ts';
import { readCampaign } from './read.ts';
import { SCENARIO, shippedCards } from './scenario.fixture.ts';

/**
 * Goal: what a person says, does not say and does not know each becomes the right value, spread and origin. Method: the
 * scenario and small campaigns, entry by entry, in SI.
 */
const cards = shippedCards();
const job = (text: string, set = cards): Job => {
  const { campaign, problems } = readCampaign(text, { file: 'c.yaml', cards: set });
  expect(problems.map(sentence)).toEqual([]);
  return makeJob(campaign!, set, 'there');
};
const small = (text: string) => job(`format: 1\ncampaign: small\n${text}\n`);
const full = job(SCENARIO);

describe('a campaign with all its parts', () => {
  it.each([
    ['dryer.temperature', 358.15, { kind: 'fixed' }, 'campaign', 'kit.dryer.at'],
    [
      'chamber.settles at',
      324.65,
      { kind: 'even', low: 318.15, high: 331.15 },
      'campaign',
      'kit.printer.chamber.settles at',
    ],
    ['chamber.settles in', 2400, { kind: 'factor', factor: 1.2 }, 'campaign', 'kit.printer.chamber.after'],
    ['chamber.at start', 298.15, { kind: 'normal', sd: 2 }, 'campaign', 'kit.printer.chamber.at start'],
    ['printer.clear below', 0.004, { kind: 'fixed' }, 'campaign', 'kit.printer.head.below'],
    ['nozzle.bore', 0.0004, { kind: 'normal', sd: 5e-6 }, 'campaign', 'kit.hot end.nozzle.bore'],
    ['nozzle.printed', 1.2, { kind: 'normal', sd: 0.1 }, 'campaign', 'kit.hot end.nozzle.printed'],
    ['box.temperature', 338.15, { kind: 'normal', sd: 3 }, 'campaign', 'kit.box.at'],
    ['path.length', 0.9, { kind: 'factor', factor: 1.05 }, 'campaign', 'kit.box.path'],
    ['path.tightest bend', 0.035, { kind: 'factor', factor: 1.2 }, 'campaign', 'kit.box.path'],
    ['scale.resolution', 0.001, { kind: 'fixed' }, 'campaign', 'kit.scale.resolution'],
    ['spool.net', 0.75, { kind: 'normal', sd: 0.01 }, 'campaign', 'spool.net'],
    ['spool.limit of heat', 373.15, { kind: 'fixed' }, 'campaign', 'spool.dry at most'],
    ['spool.hours open', 144000, { kind: 'normal', sd: 14400 }, 'campaign', 'spool.since opened'],
    [
      'strand.melts at',
      493.15,
      { kind: 'normal', sd: 1.5, low: 489.15, high: 497.15 },
      'card',
      'spool.melts at',
    ],
    ['room.temperature', 296.15, { kind: 'even', low: 293.15, high: 299.15 }, 'card', 'room.temperature'],
    ['printer.limit of bed', null, { kind: 'fixed' }, 'assumed', 'kit.printer.limit of bed'],
  ] as const)('gives %s', (key, value, law, from, path) => {
    const entry = full.entries[key]!;
    if (value === null) expect(entry.value).toBeNull();
    else expect(entry.value).toBeCloseTo(value, 9);
    expect({ ...entry.law }).toMatchObject(
      Object.fromEntries(
        Object.entries(law).map(([k, v]) => [k, typeof v === 'number' ? expect.closeTo(v, 9) : v]),
      ),
    );
    expect([entry.from, entry.path]).toEqual([from, path]);
  });

  it('gives the rest of the job in SI', () => {
    expect(full).toMatchObject({
      campaign: 'Sensor bracket, second round',
      folder: 'there',
      invented: true,
      question: { compare: ['upright', 'flat'], measure: 'strength', smallestDifference: 0.1, power: 0.8 },
      want: { comesOff: 0.8, counts: 0.5, finishBy: '2027-03-12' },
      kit: {
        sheet: { size: [0.26, 0.22], clamps: 'none', glue: true },
        desiccant: false,
        fedFromDryer: false,
      },
      drying: { time: 36000, flipEvery: 18000, assumed: false },
      settings: { nozzle: 543.15, bed: 373.15, fan: { least: 0.1, most: 0.3 }, retract: { speed: 0.03 } },
    });
    expect(full.kit.path.map(({ kind }) => kind)).toEqual(['tube', 'bend', 'bend']);
    expect(full.plates[1]?.print).toEqual({
      kind: 'made',
      layer: 2e-4,
      bead: expect.closeTo(4.5e-4, 12),
      flow: expect.closeTo(6e-9, 20),
      supports: true,
    });
    expect(full.plates[0]?.bars[2]).toEqual({ id: 'A3', part: 3, group: 'upright' });
  });

  it('puts events in order, as instants, and weighings into the drying that they belong to', () => {
    // Vienna is one hour ahead of UTC in March.
    expect(full.events[0]).toEqual({ at: '2027-03-02T07:18:00Z', kind: 'did', what: 'started drying' });
    expect(full.drying.weighings).toEqual([
      { at: 120, mass: expect.closeTo(1.243, 12) },
      { at: 18120, mass: expect.closeTo(1.239, 12) },
    ]);
  });

  it('is frozen to its last part', () => {
    const open: string[] = [];
    const look = (value: unknown, path: string) => {
      if (typeof value !== 'object' || value === null) return;
      if (!Object.isFrozen(value)) open.push(path);
      for (const [key, inner] of Object.entries(value)) look(inner, `${path}.${key}`);
    };
    look(full, 'job');
    expect(open).toEqual([]);
  });

  it('is plain data: it crosses to another thread as it is', () =>
    expect(structuredClone(full)).toEqual(full));
});

describe('what is not said', () => {
  const bare = small('');

  it('comes from the standard cards, and what is asked is assumed with what its card has for that', () => {
    expect(bare.kit.cards['dryer']).toEqual({ name: 'bed-under-card-cover', from: 'assumed' });
    expect(bare.entries['spool.net']).toMatchObject({ value: 1, from: 'assumed' });
    expect(bare.entries['spool.limit of heat']).toMatchObject({
      value: expect.closeTo(343.15, 9),
      from: 'assumed',
    });
    expect(bare.entries['path.length']).toMatchObject({
      value: 0.8,
      law: { kind: 'even', low: 0.4, high: 1.5 },
      from: 'assumed',
    });
    expect(bare.entries['nozzle.printed']).toMatchObject({ value: 0, from: 'card' });
    expect(bare.drying).toEqual({ time: 28800, flipEvery: 14400, assumed: true, weighings: [] });
    expect(bare.want).toEqual({ comesOff: 0.8, counts: 0.5, finishBy: null });
    expect([bare.people, bare.question, bare.plates]).toEqual([null, null, []]);
  });

  it('of the days since opening is the hours of the card, in the room', () => {
    expect(bare.sinceOpened).toHaveLength(1);
    expect(bare.sinceOpened[0]).toMatchObject({ in: 'room', time: 216000 });
    expect(bare.sinceOpened[0]?.entries['box.air changes']?.value).toBeCloseTo(1000 / 3600, 12);
    expect(bare.entries['spool.hours open']).toMatchObject({
      value: 216000,
      from: 'assumed',
      law: { kind: 'factor', factor: 2.5 },
    });
  });
});

describe('what is unknown', () => {
  it('uses the card with its spread, marked assumed, at any depth', () => {
    const one = small('spool: { net: unknown, diameter: unknown }');
    expect(one.entries['strand.diameter']).toMatchObject({
      value: 0.00175,
      from: 'assumed',
      law: { kind: 'normal', sd: expect.closeTo(1.2e-5, 12) },
    });
    expect(one.entries['strand.melts at']?.from).toBe('card');
    const whole = small('kit: { hot end: unknown }');
    expect(whole.entries['hot-end.bore']?.from).toBe('assumed');
    expect(whole.entries['nozzle.printed']).toMatchObject({
      value: 0.5,
      law: { kind: 'normal', sd: 0.1 },
      from: 'assumed',
    });
    expect(whole.entries['sheet.thickness']?.from).toBe('card');
  });

  it('marks the entries of a card that nobody could name', () => {
    const one = small('kit: { box: { card: unknown } }');
    expect(one.entries['box.temperature']?.from).toBe('assumed');
  });

  it('may stand in lists and beside what is known', () => {
    const one = small(
      'kit: { box: { path: [ unknown ] } }\nspool: { since opened: [ { in: box, for: unknown } ] }',
    );
    expect(one.entries['path.length']?.from).toBe('assumed');
    expect(one.sinceOpened).toMatchObject([{ in: 'box', time: 216000 }]);
  });
});

describe('what is said', () => {
  it("brings its own spread, else takes the one given on the card, else the card's moved to it", () => {
    const law = (thickness: string) =>
      small(`kit: { sheet: { thickness: "${thickness}" } }`).entries['sheet.thickness']!.law;
    expect(law('0.48 mm')).toEqual({ kind: 'normal', sd: expect.closeTo(1e-5, 12) });
    expect(law('0.45 .. 0.55 mm')).toMatchObject({ kind: 'even' });
    expect(
      small('kit: { box: { film on the spool: "10 W/m2K" } }').entries['box.film on the spool']?.law,
    ).toEqual({ kind: 'even', low: 6.25, high: 15 });
  });

  it('of a short time never reaches below none', () => {
    const { law } = small('spool: { since opened: [ { in: room, for: "2 h" } ] }').entries[
      'spool.hours open'
    ]!;
    expect(law).toMatchObject({ kind: 'normal', sd: 14400, low: 0 });
  });

  it('chooses cards by their short words', () => {
    const one = small(
      'kit: { dryer: fan-oven, hot end: { nozzle: { hard: no } }, scale: { resolution: "0.1 g" }, printer: { chamber: lid-off } }\nspool: { body: card }',
    );
    const names = ['dryer', 'nozzle', 'scale', 'chamber', 'spool'].map((kind) => one.kit.cards[kind]?.name);
    expect(names).toEqual(['fan-oven', 'brass', 'bench-0.1g', 'lid-off', 'board-spool']);
    expect(one.drying.flipEvery).toBeNull();
  });

  it('of the flip is taken as said', () => {
    const flip = (text: string) => small(`kit: { dryer: { for: "9 h", flip: ${text} } }`).drying.flipEvery;
    expect([flip('no'), flip('half way'), flip('"every 2 h"')]).toEqual([null, 16200, 7200]);
  });

  it("of a box that is the dryer gives the dryer's entries and columns", () => {
    const same = small('kit: { dryer: { card: fan-oven, at: "80 C" }, box: fan-oven }');
    expect(same.kit.fedFromDryer).toBe(true);
    expect(same.entries['box.temperature']).toMatchObject({
      value: expect.closeTo(353.15, 9),
      column: 'dryer.temperature',
      from: 'campaign',
    });
    expect(same.entries['box.air changes']?.card).toBe('dryer/fan-oven');
    const other = small(
      'kit: { dryer: { card: fan-oven, at: "80 C" }, box: { card: dryer-vented, at: "60 C" } }',
    );
    expect(other.entries['box.temperature']?.value).toBeCloseTo(333.15, 9);
    expect(other.entries['dryer.temperature']?.value).toBeCloseTo(353.15, 9);
  });

  it('of the air of a stay holds for that stay alone', () => {
    expect(full.sinceOpened[0]?.entries['room.temperature']).toMatchObject({
      value: expect.closeTo(295.15, 9),
      law: { kind: 'normal', sd: 1 },
    });
    expect(full.entries['room.temperature']?.value).toBeCloseTo(296.15, 9);
  });

  it('of a sorbent decides whether its entries are there, and none lies in the room', () => {
    expect(full.entries['desiccant.dry mass']).toBeUndefined();
    const dry = small(
      'kit: { box: { card: heated-box, desiccant: { card: molecular-sieve, dry mass: "300 g" } } }\nspool: { since opened: [ { in: room, for: "9 h" }, { in: box, for: "9 h" } ] }',
    );
    expect(dry.entries['desiccant.dry mass']?.value).toBeCloseTo(0.3, 12);
    expect(dry.sinceOpened[0]?.entries['desiccant.dry mass']?.value).toBeNull();
    expect(dry.sinceOpened[1]?.entries['desiccant.dry mass']?.value).toBeCloseTo(0.3, 12);
  });

  it('and taken back is not in the job', () => {
    const text = SCENARIO.replace('did: flipped }', 'did: flipped, taken back: yes }');
    expect(job(text).events.map(({ what }) => what)).not.toContain('flipped');
  });

  it('of bars gives ids for life: a number is that of a part, so its plate stands before it', () => {
    const one = small(
      'groups: [ { name: f, bar: 1B, orientation: flat, bars: 3 } ]\nplates: [ { name: A, bars: { 1: f, U5: { group: f, at: "40 x 30 mm" }, 3: unknown } } ]',
    );
    expect(one.plates[0]?.bars).toEqual([
      { id: 'A1', part: 1, group: 'f' },
      { id: 'A3', part: 3, group: null },
      { id: 'U5', part: null, group: 'f', at: [0.04, 0.03] },
    ]);
  });
});

describe("a person's own card", () => {
  it('wins entry by entry, and the job says so', () => {
    const own = readCards(
      [
        {
          name: 'own/sheet/spring-steel-sheet.yaml',
          text: 'format: 1\nname: spring-steel-sheet\nkind: sheet\nwhat it is: mine\nsharing: kit\nhold of magnets: { value: "6.2 kPa", spread: "x/ 1.1", source: "measured: corner pull" }\n',
        },
      ],
      true,
    );
    const set = findCards(Object.values(cards.cards), own.cards).set;
    const one = job('format: 1\ncampaign: small\n', set);
    expect(one.entries['sheet.hold of magnets']).toMatchObject({
      value: 6200,
      law: { factor: 1.1 },
      from: 'own card',
      readBy: ['Hold'],
    });
  });
});

describe('the parts of the campaign', () => {
  it('speak of kinds that exist, and no key of a part means two entries', () => {
    for (const { kind } of PARTS) expect(Object.keys(KINDS)).toContain(kind);
    const strand = new Set(Object.keys(cards.cards['strand/pa6-cf-15']!.entries));
    expect(
      Object.keys(cards.cards['spool/plastic-spool']!.entries).filter((name) => strand.has(name)),
    ).toEqual([]);
  });

  it('can be written where the job says that an entry may be said', () => {
    const told = Object.values(full.entries).filter(({ path, unit }) => path !== undefined && unit !== '');
    expect(told.length).toBeGreaterThan(100);
    for (const { path, key } of told) expect(path!.split('.').length, key).toBeGreaterThan(1);
  });
});
