import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { KERNELS } from '../../src/engine/kernels.ts';
import { LINKS } from '../../src/engine/links/index.ts';
import { LINK_NAMES } from '../../src/engine/links/link.ts';
import { listed } from '../../src/report/link-words.ts';
import { printBytes } from '../facts/named-prints.ts';
import { bonedry, campaignText, FLAT, filesIn, HOME, makeScene, put } from './scene.ts';

// Goal: each command keeps to its contract: results on standard output, words on standard error, exit status. Method:
// the command runs in this process with a terminal of the test's own; work goes through the real pool.

const GCODE = join(HOME, 'tests/data/gcode');
const CARDS = join(HOME, 'cards');
const BUILT = LINKS.map((link) => link.name);
const NOT_BUILT = LINK_NAMES.filter((name) => !BUILT.includes(name));
let room: string;
beforeAll(() => {
  room = makeScene();
});

describe('plan', () => {
  it('ends with 1 and says so where the wanted chances are not reached', async () => {
    put(room, 'hard.yaml', campaignText({ want: '{ comes off: 0.99, counts: 0.99 }' }));
    const { status, out, err } = await bonedry(room, ['plan', 'hard.yaml', '--draws', '16']);
    expect(status).toBe(1);
    expect(err).toBe('bonedry: the wanted chances are not reached.\n');
    expect(out).toMatch(/runs in 20 come off the machine; .* in 20 count/);
    expect(out).toContain('16 draws, seed 7');
  });

  it('ends with 0 and no further word where they are', async () => {
    put(room, 'easy.yaml', campaignText({ want: '{ comes off: 0.001, counts: 0 }' }));
    const { status, err } = await bonedry(room, ['plan', 'easy.yaml', '--draws', '16']);
    expect({ status, err }).toEqual({ status: 0, err: '' });
  });

  it('tells of links that are not built and claims nothing for them', async () => {
    const { out } = await bonedry(room, ['plan', 'campaign.yaml', '--draws', '16']);
    expect(out.replace(/\s+/g, ' ')).toContain(`This speaks for ${listed(BUILT)} and other mishaps alone`);
    for (const name of NOT_BUILT) expect(out).toMatch(new RegExp(`^${name} +not computed yet$`, 'm'));
  });

  it('says of each link what it found: cautions, water at the nozzle, hours left, every bend, pull, strand, changers', async () => {
    const box = `kit:
  box: { card: heated-box-with-desiccant, path: [{ tube: "0.1 m" }, { bend: "60 mm x 90 deg" }, { tube: "0.6 m" }, { bend: "25 mm x 90 deg" }] }
`;
    put(room, 'way.yaml', campaignText().replace('kit:\n', box));
    const { out } = await bonedry(room, ['plan', 'way.yaml', '--draws', '16']);
    const words = out.replace(/\s+/g, ' ');
    const order = [
      ' Dry: ',
      'The scale should show:',
      ' Stay dry: Caution: Box at 65 C',
      'At the nozzle: greatest ',
      'passes the strict limit',
      'Its law holds near 25 C: warm desiccant holds less',
      'Right after its best drying weigh the spool once more',
      ' Feed: Caution: Broken ends',
      'bend 1: 60 mm radius, round as a cup, 0.1 m along the tube margin ',
      'bend 2: 25 mm radius, round as a cup, at the end of the tube margin ',
      'It is tightest in bend 2',
      'The drive pulls ',
      'On the spool 750 g',
      'spool changers. It is a rule of the trade, with three reasons.',
      'Bare air: ',
    ];
    const places = order.map((piece) => words.indexOf(piece));
    expect(places.map((place, k) => (place < 0 ? order[k] : null)).filter((piece) => piece)).toEqual([]);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
    expect(out.split('\n').filter((line) => line.length > 90)).toEqual([]);
  });

  it('prints the whole chain as JSON on standard output alone', async () => {
    const { out } = await bonedry(room, ['plan', 'campaign.yaml', '--draws', '16', '--json', '--seed', '3']);
    const chain = JSON.parse(out) as {
      draws: number;
      seed: number;
      state: string;
      links: { name: string }[];
    };
    expect(chain).toMatchObject({ draws: 16, seed: 3, state: 'done' });
    expect(chain.links.map((link) => link.name)).toEqual([
      'Dry',
      'Stay dry',
      'Feed',
      'Hot end',
      'Layers',
      'Hold',
      'Hands',
      'Shape',
    ]);
  });

  it('gives the same bytes for the same seed and others for another', async () => {
    const args = ['plan', 'campaign.yaml', '--draws', '16', '--json', '--seed'];
    const [first, again, other] = [
      await bonedry(room, [...args, '5']),
      await bonedry(room, [...args, '5']),
      await bonedry(room, [...args, '6']),
    ];
    expect(again.out).toBe(first.out);
    expect(other.out).not.toBe(first.out);
  });

  it('computes one link where --link names it', async () => {
    const { status, out } = await bonedry(room, ['plan', 'campaign.yaml', '--draws', '16', '--link', 'dry']);
    expect(status).toBeLessThan(2);
    expect(out).toMatch(/^Dry +\S/m);
    expect(out).toMatch(/^Stay dry +not computed yet$/m);
  });

  it.each([
    [['--draws', '100'], '--draws "100" does not fit. Expected a power of two from 16 to 4096, such as 256.'],
    [['--draws', 'many'], '--draws "many" does not fit. Expected a whole number from 16 to 4096.'],
    [['--draws', '0x20'], '--draws "0x20" does not fit. Expected a whole number from 16 to 4096.'],
    [['--seed', '-1'], '--seed "-1" does not fit. Expected a whole number from 0 to 2147483648.'],
    [['--workers', '0'], '--workers "0" does not fit. Expected a whole number from 1 to 64.'],
    [['--link', 'Wet'], `--link "Wet" does not fit. Expected one of ${BUILT.join(', ')}.`],
    [
      ['--link', NOT_BUILT[0]!],
      `--link "${NOT_BUILT[0]}" is not computed yet. Expected one of ${BUILT.join(', ')}.`,
    ],
    [['--drawz', '16'], 'Unknown option "--drawz". Expected perhaps --draws.'],
    [['--draws'], 'Option "--draws <n>" argument missing. Expected what "bonedry help" lists.'],
  ])('refuses %j in one sentence with 2', async (options, words) => {
    const { status, out, err } = await bonedry(room, ['plan', 'campaign.yaml', ...options]);
    expect({ status, out, err }).toEqual({ status: 2, out: '', err: `bonedry: ${words}\n` });
  });

  it('tells that a campaign stands among other files', async () => {
    const { status, err } = await bonedry(room, ['plan', FLAT, 'campaign.yaml']);
    expect(status).toBe(2);
    expect(err).toBe(
      'bonedry: "campaign.yaml" is a campaign among other files. Expected one campaign file, or G-code files alone.\n',
    );
  });

  it('takes bare G-code without a terminal, says what is assumed, and writes nothing beside it', async () => {
    const before = filesIn(room).filter((name) => !name.startsWith('home/'));
    const { status, out, err } = await bonedry(room, ['plan', FLAT, '--draws', '16']);
    expect(status).toBeLessThan(2);
    expect(err).toContain(
      'No answers: everything nobody said is assumed with the wide spread of its card.\n',
    );
    expect(out.replace(/\s+/g, ' ')).toContain('Dry. Assumed: nobody said how long you dry it, hours open');
    expect(filesIn(room).filter((name) => !name.startsWith('home/'))).toEqual(before);
  });

  it('asks eight questions on a terminal, and an empty line to each is enough', async () => {
    const silent = await bonedry(room, ['plan', FLAT, '--draws', '16', '--json']);
    const asked = await bonedry(room, ['plan', FLAT, '--draws', '16', '--json'], {
      answers: Array(40).fill(''),
    });
    expect(asked.err.match(/^\d\. /gm)).toHaveLength(8);
    expect(asked.err).toContain(`${FLAT.slice(7)}: 1 1B flat`);
    // The time zone alone is put in by the machine, and no link reads it yet.
    expect(asked.out).toBe(silent.out);
  });

  it('uses what was answered', async () => {
    const answers: string[] = Array(40).fill('');
    // Bars, net, open, kept; then dryer: card, at, for, most.
    answers.splice(5, 3, '80 C', '24 h', '100 C');
    const asked = await bonedry(room, ['plan', FLAT, '--draws', '16'], { answers });
    expect(asked.err).not.toContain('bonedry: question');
    const silent = await bonedry(room, ['plan', FLAT, '--draws', '16']);
    expect(asked.out).not.toBe(silent.out);
    expect(asked.out).not.toContain('how long you dry it');
    expect(silent.out.replace(/\s+/g, ' ')).toContain('The scale should show: after 2 h');
  });

  it('asks again at once for an answer that does not fit, and for all of a question whose answers do not agree', async () => {
    const answers: string[] = Array(60).fill('');
    // Bars, net, open, kept, card; at: no unit, then right; for; most: below what it is set to. Then the question again.
    answers.splice(5, 4, '80', '80 C', '24 h', '70 C');
    answers.splice(9, 4, '', '70 C', '24 h', '70 C');
    const { status, err } = await bonedry(room, ['plan', FLAT, '--draws', '16'], { answers });
    expect(status).toBeLessThan(2);
    const lines = err.split('\n').map((line) => line.trim());
    const set = lines.flatMap((line, k) => (line.startsWith('Set to, such as') ? [k] : []));
    expect(set).toHaveLength(3);
    expect(lines[set[0]! + 1]).toMatch(/^question 3, Set to: "80" has no unit\. Expected .*C/);
    expect(set[1]).toBe(set[0]! + 2);
    expect(lines.slice(set[1], set[2]).join('\n')).toMatch(
      /question 3, Set to: The dryer is set at "80 C", and strand and spool stand "70 C" at most\./,
    );
    expect(lines.filter((line) => line === '3. How do you dry it?')).toHaveLength(2);
  });

  it('keeps the answers in a campaign file of its own, which plans the same', async () => {
    const own = join(room, 'own');
    put(own, FLAT, printBytes('flat-one.gcode'));
    const answers: string[] = Array(40).fill('');
    answers.splice(5, 3, '80 C', '24 h', '100 C');
    const asked = await bonedry(own, ['plan', FLAT, '--draws', '16', '--json'], { answers });
    expect(asked.err).toContain('Your answers are in campaign.yaml');
    expect(readFileSync(join(own, 'campaign.yaml'), 'utf8')).toContain('at: "80 C", for: "24 h"');
    const again = await bonedry(own, ['plan', 'campaign.yaml', '--draws', '16', '--json']);
    expect(again.out).toBe(asked.out);
    // The next one does not write over it.
    await bonedry(own, ['plan', FLAT, '--draws', '16'], { answers: Array(40).fill('') });
    expect(readFileSync(join(own, 'campaign.yaml'), 'utf8')).toContain('at: "80 C"');
    expect(filesIn(own)).toContain('campaign-2.yaml');
  });

  it('is stopped by the end of the input', async () => {
    const { status } = await bonedry(room, ['plan', FLAT, '--draws', '16'], { answers: ['', ''] });
    expect(status).toBe(130);
  });

  it.each(["it's {odd}, [very] #1.gcode", 'yes.gcode', 'a: b.gcode', '"quoted".gcode', 'ünïcode 棒.gcode'])(
    'takes a file called %s',
    async (name) => {
      put(room, name, printBytes('flat-one.gcode'));
      const { status, err } = await bonedry(room, ['plan', name, '--draws', '16']);
      expect(err).not.toContain('bonedry: c');
      expect(status).toBeLessThan(2);
    },
  );

  it('refuses a bar whose number is no part of the file, naming both', async () => {
    put(
      room,
      'stray.yaml',
      campaignText().replace('bars: 1 }', 'bars: 2 }').replace('{ 1: flat }', '{ 1: flat, 4: flat }'),
    );
    const { status, err } = await bonedry(room, ['plan', 'stray.yaml', '--draws', '16']);
    expect(status).toBe(2);
    expect(err).toContain(
      `bonedry: Bar A4 of plate A is part 4 of ${FLAT}, which has one part. Expected the number of a bar: 1.\n`,
    );
  });

  it('notes a print that ends in the middle, and computes what stands in it', async () => {
    const whole = new TextDecoder().decode(printBytes('flat-one.gcode'));
    const half = whole.slice(0, whole.indexOf('\n', whole.length * 0.6) + 1);
    put(room, 'half.gcode', half);
    put(room, 'half.yaml', campaignText().replace(FLAT, 'half.gcode'));
    const last = half.split('\n').length - 1;
    const words = `half.gcode, line ${last}: the file ends here, nothing turns the heat down and nobody is called: it may be cut off.`;
    const planned = await bonedry(room, ['plan', 'half.yaml', '--draws', '16']);
    expect(planned.status).toBeLessThan(2);
    expect(planned.out.replace(/\s+/g, ' ')).toContain(words);
    const { status, out } = await bonedry(room, ['read', 'half.gcode']);
    expect(status).toBe(0);
    expect(out.replace(/\s+/g, ' ')).toContain(`Note: ${words}`);
    expect((await bonedry(room, ['read', FLAT])).out).not.toContain('cut off');
  });

  it('says how each bar lies', async () => {
    const { out } = await bonedry(room, ['read', FLAT, '--json']);
    const view = JSON.parse(out) as { sheet: { parts: { orientation: string | null }[] } };
    expect(view.sheet.parts.map(({ orientation }) => orientation)).toEqual(['flat']);
  });

  it('says where the file says other than the campaign', async () => {
    put(room, 'hotter.yaml', campaignText({ more: 'settings: { nozzle: "250 C", bed: "90 C" }\n' }));
    const { out } = await bonedry(room, ['plan', 'hotter.yaml', '--draws', '16']);
    expect(out.replace(/\s+/g, ' ')).toContain(
      `${FLAT}, nozzle: the file says 270 C, the campaign 250 C. The file is what will be printed.`,
    );
  });
});

describe('read', () => {
  it('says what a print asks of the kit', async () => {
    const { status, out, err } = await bonedry(room, ['read', FLAT]);
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toMatch(/^prints\/flat-one\.gcode: one bar, .* of printing\./);
    for (const what of ['Time', 'Layers', 'Strand', 'Flow', 'Retractions', 'End'])
      expect(out).toMatch(new RegExp(`^${what} `, 'm'));
  });

  it('prints JSON with --json', async () => {
    const { out } = await bonedry(room, ['read', FLAT, '--json']);
    expect(JSON.parse(out)).toMatchObject({ file: FLAT, usable: true, bars: '1', against: null });
  });

  it('reads relative strand where the person says that it is, in a campaign too', async () => {
    const file = join(HOME, 'tests/data/gcode/bad-e-mode.gcode');
    const refused = await bonedry(room, ['read', file]);
    expect(refused.status).toBe(2);
    expect(refused.err).toContain('--relative-strand');
    const { status, err } = await bonedry(room, ['read', file, '--relative-strand']);
    expect({ status, err }).toEqual({ status: 0, err: '' });
    const plate = (more: string) =>
      `format: 1\ncampaign: brackets\nplates: [ { name: A, print: { gcode: "${file}"${more} } } ]\n`;
    put(room, 'relative.yaml', plate(', strand: relative'));
    put(room, 'absolute.yaml', plate(''));
    expect((await bonedry(room, ['plan', 'absolute.yaml', '--draws', '16', '--link', 'dry'])).status).toBe(2);
    expect(
      (await bonedry(room, ['plan', 'relative.yaml', '--draws', '16', '--link', 'dry'])).status,
    ).not.toBe(2);
  });

  it('takes a real duration: the accelerations it names give that duration', async () => {
    const seconds = async (more: string[]) => {
      const { out } = await bonedry(room, ['read', FLAT, '--json', ...more]);
      return (JSON.parse(out) as { time: string }).time;
    };
    const usual = await seconds([]);
    const hours = (text: string) => {
      const [, h = '0', min = '0'] = /(?:(\d+)\s*h)?\s*(?:(\d+)\s*min)?/.exec(text)!;
      return Number(h) + Number(min) / 60;
    };
    const wanted = Math.round(hours(usual) * 60 * 1.15);
    const { out } = await bonedry(room, ['read', FLAT, '--took', `${wanted} min`]);
    const found = /acceleration printing: "([^"]+)"/.exec(out)?.[1];
    put(
      room,
      'slower.yaml',
      `format: 1\ncampaign: brackets\nkit: { printer: { acceleration printing: "${found}" } }\nplates: [ { name: A, print: { gcode: ${FLAT} } } ]\n`,
    );
    expect(Math.abs(hours(await seconds(['--against', 'slower.yaml'])) * 60 - wanted)).toBeLessThanOrEqual(1);
    const wrong = await bonedry(room, ['read', FLAT, '--took', 'soon']);
    expect(wrong).toMatchObject({ status: 2, err: expect.stringContaining('--took "soon"') });
    const impossible = await bonedry(room, ['read', FLAT, '--took', '1 min']);
    expect(impossible).toMatchObject({
      status: 2,
      err: expect.stringContaining('whatever the accelerations'),
    });
  });

  it('holds a print against its campaign: ten lines, and 0 where none is different', async () => {
    const { status, out, err } = await bonedry(room, ['read', FLAT, '--against', 'campaign.yaml']);
    expect(out.trimEnd().split('\n')).toHaveLength(10);
    expect(out).not.toContain('different');
    expect({ status, err }).toEqual({ status: 0, err: '' });
  });

  it('ends with 1 where something is different', async () => {
    put(room, 'cooler.yaml', campaignText({ more: 'settings: { nozzle: "265 C" }\n' }));
    const { status, out, err } = await bonedry(room, ['read', FLAT, '--against', 'cooler.yaml']);
    expect(status).toBe(1);
    expect(out).toMatch(/^nozzle +different +file 270 C; plan 265 C$/m);
    expect(err).toBe('bonedry: the file is not what the plan says.\n');
  });

  it('takes the plate that --plate names, and refuses one that is not there', async () => {
    const args = ['read', join(GCODE, 'three-flat.gcode'), '--against', 'campaign.yaml', '--plate'];
    const named = await bonedry(room, [...args, 'A']);
    expect(named.status).toBe(1);
    expect(named.out).toMatch(/^bars +different +file 3; plan 1$/m);
    const wrong = await bonedry(room, [...args, 'Z']);
    expect(wrong).toMatchObject({
      status: 2,
      err: 'bonedry: "Z" is no plate of this campaign. Expected one of A.\n',
    });
  });

  it('asks for the plate where none fits', async () => {
    const { status, err } = await bonedry(room, [
      'read',
      join(GCODE, 'three-flat.gcode'),
      '--against',
      'campaign.yaml',
    ]);
    expect(status).toBe(2);
    expect(err).toBe(
      'bonedry: No plate of the campaign names this file or has its 3 bars. Expected its name with --plate, such as --plate A.\n',
    );
  });

  it('asks which member of a container is meant, and reads the one that is named', async () => {
    const zip = join(GCODE, 'two-files.zip');
    const asked = await bonedry(room, ['read', zip]);
    expect(asked.status).toBe(2);
    expect(asked.err).toBe(
      `bonedry: ${zip} holds several prints: plates/a.gcode, plates/b.gcode. Name the one to read (--member NAME).\n`,
    );
    const [a, b] = [
      await bonedry(room, ['read', zip, '--member', 'plates/a.gcode']),
      await bonedry(room, ['read', zip, '--member', 'plates/b.gcode']),
    ];
    expect([a.status, b.status]).toEqual([0, 0]);
    expect(a.out).not.toBe(b.out);
    const wrong = await bonedry(room, ['read', zip, '--member', 'c.gcode']);
    expect(wrong).toMatchObject({ status: 2, out: '' });
  });

  it('shows what it could read of a faulty file, with each fault once and its line, and ends with 2', async () => {
    put(room, 'faulty.gcode', readFileSync(join(GCODE, 'bad-arc.gcode')));
    const { status, out, err } = await bonedry(room, ['read', 'faulty.gcode']);
    expect(status).toBe(2);
    expect(err.trimEnd().split('\n')).toEqual([
      expect.stringMatching(/^bonedry: faulty\.gcode, line 4: /),
      expect.stringMatching(/^bonedry: faulty\.gcode, line 5: /),
      expect.stringMatching(/^bonedry: faulty\.gcode, line 6: /),
    ]);
    expect(out).toContain('cannot be used for a verdict');
    expect(out).not.toContain('line 4');
  });

  it('calls a file by the name it has now, read before under another', async () => {
    put(room, 'second-name.gcode', readFileSync(join(GCODE, 'bad-arc.gcode')));
    const { err } = await bonedry(room, ['read', 'second-name.gcode']);
    expect(err).toMatch(/^bonedry: second-name\.gcode, line 4: /);
  });
});

describe('cards', () => {
  it('lists all, or those of a kind', async () => {
    const all = await bonedry(room, ['cards']);
    expect(all.out.trimEnd().split('\n').length).toBeGreaterThan(40);
    const strands = await bonedry(room, ['cards', 'strand']);
    expect(
      strands.out
        .trimEnd()
        .split('\n')
        .every((line) => line.startsWith('strand/')),
    ).toBe(true);
    expect(strands.out).toContain('strand/pa6-cf-15');
  });

  it('offers the nearest kind', async () => {
    const { status, err } = await bonedry(room, ['cards', 'strnad']);
    expect(status).toBe(2);
    expect(err).toBe('bonedry: "strnad" is not a kind of card. Expected "strand".\n');
  });

  it('finds every shipped card sound', async () => {
    for (const name of filesIn(CARDS).filter((one) => one.endsWith('.yaml'))) {
      const { status, out, err } = await bonedry(HOME, ['cards', 'check', join('cards', name)]);
      expect({ status, out, err }).toEqual({ status: 0, out: `cards/${name} is sound.\n`, err: '' });
    }
  });

  it('tells every problem of a card with its line and ends with 2', async () => {
    put(
      room,
      'drafts/strand/mine.yaml',
      `format: 1
name: mine
kind: strand
what it is: ours
sharing: material
density: { value: "1200 kg/m3", spread: "x/ 1.01" }
melts at: { value: "220", spread: "+- 3 K", source: "measured (twice)" }
`,
    );
    const { status, out, err } = await bonedry(room, ['cards', 'check', 'drafts/strand/mine.yaml']);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    const lines = err.trimEnd().split('\n');
    expect(lines.length).toBeGreaterThanOrEqual(2);
    for (const line of lines) expect(line).toMatch(/^bonedry: drafts\/strand\/mine\.yaml, line \d+/);
    expect(err).toMatch(/line 6,.*source/);
    expect(err).toMatch(/line 7,.*220/);
  });
});

describe('compute', () => {
  const pressure = { kernel: 'air.saturation', inputs: { T_C: 25 } };

  it('answers one kernel from standard input', async () => {
    const { status, out } = await bonedry(room, ['compute', 'air.saturation'], { input: '{"T_C": 25}' });
    expect(status).toBe(0);
    // ASHRAE Handbook Fundamentals 2017, ch. 1, table 3: 3169.7 Pa (as quoted in the checks).
    expect((JSON.parse(out) as { p_Pa: number }).p_Pa).toBeCloseTo(3169.7, -1);
  });

  it('answers one call from a file, with names of files relative to it', async () => {
    put(
      room,
      'calls/read.json',
      JSON.stringify({ kernel: 'gcode.open', inputs: { file: '../prints/flat-one.gcode' } }),
    );
    const { status, out } = await bonedry(room, ['compute', '--', 'gcode.open', 'calls/inputs.json']);
    expect({ status, out }).toMatchObject({ status: 2, out: '' });
    put(room, 'calls/inputs.json', JSON.stringify({ file: '../prints/flat-one.gcode' }));
    const found = await bonedry(room, ['compute', 'gcode.open', 'calls/inputs.json']);
    expect(found.status).toBe(0);
  });

  it('answers many in order, the bad ones in their place, and ends with 2', async () => {
    const calls = [
      pressure,
      { kernel: 'air.saturatoin', inputs: {} },
      { kernel: 'air.saturation', inputs: { T_C: 'warm', more: 1 } },
      { inputs: {} },
      7,
      { kernel: 'gcode.open', inputs: { file: 'nothere.gcode' } },
      pressure,
    ];
    const { status, out, err } = await bonedry(room, ['compute'], { input: JSON.stringify(calls) });
    expect({ status, err }).toEqual({ status: 2, err: '' });
    const answers = JSON.parse(out) as { p_Pa?: number; error?: { code: string; message: string } }[];
    expect(answers.map((answer) => answer.error?.code ?? 'fine')).toEqual([
      'fine',
      'unknown-kernel',
      expect.stringMatching(/wrong-type|unknown-key/),
      'no-kernel',
      'no-kernel',
      'unreadable',
      'fine',
    ]);
    expect(answers[1]!.error).toMatchObject({ expected: '"air.saturation"' });
    expect(answers[2]!.error!.message).toMatch(
      /"warm" does not fit\. Expected a number\..*"more" is not known/,
    );
    expect(answers[5]!.error!.message).toContain('nothere.gcode: There is no such file.');
    expect(answers[6]).toEqual(answers[0]);
  });

  it('answers an empty list with an empty list', async () => {
    expect(await bonedry(room, ['compute'], { input: '[]' })).toMatchObject({ status: 0, out: '[]\n' });
  });

  it('tells a single bad call as one error and ends with 2', async () => {
    const { status, out } = await bonedry(room, ['compute', 'air.saturation'], { input: '[]' });
    expect(status).toBe(2);
    expect(JSON.parse(out)).toMatchObject({
      error: { code: expect.any(String), message: expect.any(String) },
    });
  });

  it.each([
    ['', 'standard input: There is nothing to read.'],
    ['{"T_C": 25', 'standard input: This is not JSON ('],
  ])('refuses %j as input', async (input, words) => {
    const { status, out, err } = await bonedry(room, ['compute', 'air.saturation'], { input });
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain(`bonedry: ${words}`);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });

  it('lists every kernel with a JSON Schema of inputs and outputs', async () => {
    const { status, out } = await bonedry(room, ['compute', '--list']);
    expect(status).toBe(0);
    const listed = JSON.parse(out) as { kernel: string; what: string; inputs: object; outputs: object }[];
    expect(listed.map((one) => one.kernel)).toEqual([...KERNELS.keys()]);
    for (const { kernel, what, inputs, outputs } of listed) {
      expect(what, kernel).not.toBe('');
      for (const schema of [inputs, outputs])
        expect(schema, kernel).toMatchObject({ $schema: 'https://json-schema.org/draft/2020-12/schema' });
      expect(Object.keys(inputs).length, kernel).toBeGreaterThan(1);
    }
  });
});

describe('usage', () => {
  it.each([
    [['nope'], 'Unknown command "nope". Expected what "bonedry help" lists.'],
    [['raed', 'x'], 'Unknown command "raed". Expected perhaps read.'],
    [['read'], 'Missing required argument "file". Expected what "bonedry help" lists.'],
    [['plan'], 'Missing required argument "files". Expected what "bonedry help" lists.'],
  ])('%j is refused in one sentence with 2', async (args, words) => {
    expect(await bonedry(room, args)).toMatchObject({ status: 2, out: '', err: `bonedry: ${words}\n` });
  });

  it('help goes to standard output with 0', async () => {
    const { status, out, err } = await bonedry(room, ['--help']);
    expect({ status, err }).toEqual({ status: 0, err: '' });
    for (const command of ['plan', 'read', 'cards', 'compute', 'serve']) expect(out).toContain(command);
  });

  it('no command at all shows the help as an error', async () => {
    const { status, out, err } = await bonedry(room, []);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain('Usage: bonedry');
  });
});
