import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Table } from '../job.ts';
import { sentence } from '../problem.ts';
import { UNIT_NAMES } from '../units.ts';
import { type CardFile, readCard, readCards } from './card.ts';
import { choicesOf, entriesOf, findCards } from './find.ts';
import { KINDS, READERS } from './kinds.ts';

/**
 * Goal: what the list of the validator says (cards/README.md, section 4) is looked at, on shipped cards and on wrong
 * ones. Method: the shipped cards must be without a complaint; each fault is planted once and must be told.
 */
const files: CardFile[] = readdirSync('cards', { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => ({ name: `cards/${name}`, text: readFileSync(`cards/${name}`, 'utf8') }));
const shipped = readCards(files);
const { set } = findCards(shipped.cards);

const head = 'format: 1\nname: mine\nkind: room\nwhat it is: a shed\nsharing: surroundings\n';
const entry = (fields: string) =>
  `${head}temperature: { ${fields}, source: "measured with a thermometer", read by: [Dry] }\n`;
const complaints = (text: string) =>
  readCard({ name: 'cards/room/mine.yaml', text }).problems.map(sentence).join('\n');

describe('the shipped cards', () => {
  it('have no complaint, alone and together', () => {
    expect(shipped.problems.map(sentence)).toEqual([]);
    expect(findCards(shipped.cards).problems.map(sentence)).toEqual([]);
    expect(shipped.cards).toHaveLength(files.length);
  });

  it('are as many as their own page says', () => {
    const drawn = new Map<string, boolean>();
    for (const card of shipped.cards)
      for (const { key, law, given, value } of Object.values(card.entries)) {
        const said = value === null && law.kind === 'fixed' ? (given ?? law) : law;
        const unknown = said.kind !== 'fixed' && said.kind !== 'follows';
        drawn.set(key, (drawn.get(key) ?? false) || unknown);
      }
    const unknowns = [...drawn.values()].filter(Boolean).length;
    const page = readFileSync('cards/README.md', 'utf8');
    expect(page).toContain(
      `${unknowns} unknowns and ${drawn.size - unknowns} other entries stand on ${shipped.cards.length} cards.`,
    );
  });

  it('hold every value that the equations of moisture and jam causes name', () => {
    // States at the start and the choice of a law are no values: T_bed0, T_air0, p_air0, desiccant.
    const named = {
      moisture:
        'w_f rho_p rho_f cp cm C K f_cap dH Tg_dry Tg_wet c_Tg w_Tg D23 Ea kap d m_net phi ri ro w k_s k_a k_mult De_mult t_fl k_fl pi_fl mode V ach A_cov pi_cov U_cov C_cov T_room rh_amb T_amb T_bed T_set bed_ramp A_bed h_bed U_contact h_air h_hub air_ramp m_des q0 k_des gel_q0 gel_r0 gel_n sieve_q0 sieve_r0 sieve_q1 S_henry dHs sigma r_nuc limit_mean limit_visible K_mult eps_g eps_r T_off w_brk m_w L0 k_set E mu d_i d_o k_t h_o drag grip',
      jam: 'length_um length_shape fibre_um D_ref_mm wt_ref h_ref_per_kg k_b p m acc_kg hard cap_per_kg brass hardened carbide retire Tm tau_b_MPa s chi share_unloaded C_block C_sink t05_270_h Ea shape F_pops s_pops F_thin s_thin hard_h soft trust kappa wrong_min never_above lost_print lost_kg want G_block',
    };
    const held = new Set(
      shipped.cards.flatMap((card) =>
        Object.values(card.entries).flatMap(({ symbol }) =>
          Object.entries(symbol).flatMap(([page, name]) => name.split(' or ').map((one) => `${page} ${one}`)),
        ),
      ),
    );
    const missing = Object.entries(named).flatMap(([page, names]) =>
      names
        .split(' ')
        .filter((name) => !held.has(`${page} ${name}`))
        .map((name) => `${page} ${name}`),
    );
    expect(missing).toEqual([]);
  });

  it('and their page knows every unit, reader, field and standard card', () => {
    const page = readFileSync('cards/README.md', 'utf8');
    const units = /^Units: (.*)\.$/m.exec(page)![1]!.split(/ · |, /);
    expect([...units].sort()).toEqual([...UNIT_NAMES].sort());
    for (const reader of READERS) expect(page).toContain(reader);
    for (const { use, standard } of Object.values(KINDS))
      if (use === 'choice' && standard !== 'printed') expect(page).toContain(standard);
  });

  it('of the kind that a person may write are read from their page', () => {
    const page = readFileSync('cards/README.md', 'utf8');
    const [whole, own] = [...page.matchAll(/```yaml\n([\s\S]*?)```/g)].map((match) => match[1]!);
    const name = 'sheet/spring-steel-sheet.yaml';
    expect(readCard({ name, text: whole! }).problems.map(sentence)).toEqual([]);
    const read = readCards([{ name, text: own! }], true);
    expect([...read.problems, ...findCards(shipped.cards, read.cards).problems].map(sentence)).toEqual([]);
  });

  it('are read in SI', () => {
    const strand = entriesOf(set, 'strand');
    expect(strand['melts at']?.value).toBeCloseTo(493.15, 9);
    expect(strand['melts at']?.law).toMatchObject({ kind: 'normal', sd: 1.5 });
    const table = strand['yield stress']?.value as Table;
    expect([table.xs[0], table.ys[0]]).toEqual([293.15, 105e6]);
    expect(strand['density']?.law).toMatchObject({
      kind: 'follows',
      keys: ['strand.fibre share', 'strand.polymer density', 'strand.fibre density'],
    });
  });

  it('give the standard card of a kind as the first choice', () => {
    expect(choicesOf(set, 'dryer')[0]).toBe('bed-under-card-cover');
    expect(choicesOf(set, 'strand')).toHaveLength(6);
  });
});

describe('a wrong card', () => {
  const cases: readonly (readonly [what: string, text: string, told: RegExp])[] = [
    [
      'a head without a format',
      entry('value: "21 C", spread: fixed').replace('format: 1\n', ''),
      /"format" is missing/,
    ],
    [
      'a kind that does not exist',
      head.replace('room\n', 'rom\n'),
      /"rom" is not a kind of card. Expected "room"/,
    ],
    [
      'a name that is not its file',
      head.replace('mine', 'yours'),
      /"yours" is not the name of its file. Expected "mine"/,
    ],
    [
      'a field that does not exist',
      entry('value: "21 C", sprede: fixed, spread: fixed'),
      /"sprede" is not a key known here. Expected "spread"/,
    ],
    [
      'a unit that does not exist',
      entry('value: "21 Celsius", spread: fixed'),
      /has a unit that is not known/,
    ],
    [
      'a spread of another unit',
      entry('value: "21 C", spread: "+- 2 mm"'),
      /line 6, column 39, temperature.spread: "2 mm" is a length. Expected a temperature difference/,
    ],
    ['a spread outside the grammar', entry('value: "21 C", spread: "about 3"'), /"about 3" is not a spread/],
    [
      'a value outside its range',
      entry('value: "31 C", spread: "20 .. 26 C"'),
      /the value lies outside its spread/,
    ],
    [
      'a value outside its bounds',
      entry('value: "31 C", spread: "+- 2 K in 15 .. 30 C"'),
      /the value lies outside its spread/,
    ],
    ['a peak that is not the value', entry('value: "21 C", spread: "18 / 22 / 26 C"'), /not the peak/],
    [
      'a table that does not rise',
      entry('value: [[20, 1], [10, 2]], units: [C, MPa], between: straight, spread: fixed'),
      /does not rise/,
    ],
    [
      'a table without units',
      entry('value: [[20, 1], [30, 2]], between: straight, spread: fixed'),
      /no two units/,
    ],
    [
      'a table with a width',
      entry('value: [[20, 1], [30, 2]], units: [C, MPa], between: straight, spread: "20 .. 26 C"'),
      /is not the spread of a table/,
    ],
    [
      'a reader that does not exist',
      entry('value: "21 C", spread: fixed').replace('[Dry]', '[Dri]'),
      /"Dri" is not a reader of cards. Expected "Dry"/,
    ],
    [
      'no reader',
      entry('value: "21 C", spread: fixed').replace(', read by: [Dry]', ''),
      /"read by" is missing/,
    ],
    [
      'a source that is none',
      entry('value: "21 C", spread: fixed').replace('measured with', 'I like'),
      /names no source/,
    ],
    [
      'no source',
      entry('value: "21 C", spread: fixed').replace('source: "measured with a thermometer", ', ''),
      /"source" is missing/,
    ],
    ['no spread', entry('value: "21 C"'), /The spread is missing/],
    ['a key twice', `${entry('value: "21 C", spread: fixed')}name: other\n`, /stands here twice/],
    ['what is asked without an example', entry('value: asked'), /has no example/],
  ];
  it.each(cases)('with %s is told so', (_, text, told) => expect(complaints(text)).toMatch(told));

  it('has all its complaints told at once', () => {
    const text = `${head}temperature: { value: "21", spread: "+- 2 mm" }\nhumidity: { value: "50 %RH", spread: fixed }\n`;
    expect(complaints(text).split('\n').length).toBeGreaterThanOrEqual(3);
  });
});

describe('cards together', () => {
  const own = (kind: string, name: string, lines: string, sharing = 'kit') =>
    readCards(
      [
        {
          name: `own/${kind}/${name}.yaml`,
          text: `format: 1\nname: ${name}\nkind: ${kind}\nwhat it is: mine\nsharing: ${sharing}\n${lines}\n`,
        },
      ],
      true,
    );
  const together = (mine: ReturnType<typeof own>) => {
    expect(mine.problems.map(sentence)).toEqual([]);
    return findCards(shipped.cards, mine.cards);
  };

  it('let an own entry win and leave the others to the shipped card', () => {
    const mine = own(
      'sheet',
      'spring-steel-sheet',
      'hold of magnets: { value: "6.2 kPa", spread: "x/ 1.1", source: "measured: corner pull", date: 2027-03-02 }',
    );
    const found = together(mine);
    expect(found.problems).toEqual([]);
    const card = found.set.cards['sheet/spring-steel-sheet']!;
    expect(card.own).toBe(true);
    expect(card.entries['hold of magnets']).toMatchObject({ value: 6200, sharing: 'kit', readBy: ['Hold'] });
    expect(card.entries['thickness']?.value).toBeCloseTo(5e-4, 12);
  });

  it('take an own card of a new name as a further choice, if it is whole', () => {
    const lacking = together(
      own(
        'room',
        'shed',
        'temperature: { value: "15 C", spread: "10 .. 20 C", source: measured }',
        'surroundings',
      ),
    );
    expect(lacking.problems.map(sentence).join()).toMatch(/lacks "humidity", "pressure"/);
    expect(choicesOf(lacking.set, 'room')).toEqual(['room', 'shed']);
  });

  const spoiled = (name: string, from: string, to: string) => {
    const changed = files.map((file) =>
      file.name.endsWith(name) ? { ...file, text: file.text.replace(from, to) } : file,
    );
    const cards = readCards(changed);
    expect(cards.problems.map(sentence)).toEqual([]);
    return findCards(cards.cards).problems.map(sentence).join('\n');
  };
  it('complain about an own entry that no shipped card has', () =>
    expect(
      together(
        own('sheet', 'spring-steel-sheet', 'thicknes: { value: "1 mm", spread: fixed, source: measured }'),
      )
        .problems.map(sentence)
        .join(),
    ).toMatch(/"thicknes" is not an entry .* Expected "thickness"/));
  it('complain about a follows that finds nothing', () =>
    expect(spoiled('pa6-cf-15.yaml', 'follows sets at', 'follows sets on')).toMatch(
      /follows "strand.sets on", which is on no card. Expected strand.sets at/,
    ));
  it('complain about another unit in a kind', () =>
    expect(spoiled('brass.yaml', '"0.8 mm", spread', '"800 um", spread')).toMatch(
      /"land" is given in (um|mm)/,
    ));
  it('complain about another sharing in a kind', () =>
    expect(spoiled('brass.yaml', 'land: { value', 'land: { sharing: run, value')).toMatch(
      /"land" is shared by/,
    ));
  it('complain about a symbol on two entries', () =>
    expect(spoiled('room.yaml', 'moisture: P', 'moisture: rh_amb')).toMatch(
      /symbol rh_amb of moisture stands on/,
    ));
  it('complain about a key twice among the limits', () =>
    expect(spoiled('shape.yaml', 'strain by straightening', 'bond ratio')).toMatch(
      /"bond ratio" (stands on the cards|is given in)/,
    ));
});
