import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { BarsView } from '../../src/report/results-views.ts';
import { barsCampaign, CURVES, GIVEN, makeBarsScene, PLATES } from './bars-scene.ts';
import { bonedry, filesIn, put, type Wish } from './scene.ts';

// Goal: `bonedry bars` keeps its contract: shows what a file is taken for and keeps nothing before a person says yes;
// answers with 0 or 1, refuses with 2; the report stands alone and leads every number back. Method: the invented campaign
// of 25 bars whose numbers are known, and its files broken one way at a time.

const bars = (room: string, args: readonly string[] = [], wish: Wish = {}) =>
  bonedry(room, ['bars', 'campaign.yaml', '--no-water', ...args], wish);
const view = (out: string) => JSON.parse(out) as BarsView;
const layouts = (room: string) => filesIn(room).filter((name) => name.includes('layouts'));

describe('the answer', () => {
  it('comes with its interval and ends with 0 where the question is settled', async () => {
    const { status, out, err } = await bars(makeBarsScene());
    expect(status).toBe(0);
    // ratio and interval of the campaign's truth, 0.383 (0.308 to 0.477)
    expect(out).toMatch(/^Upright keeps 38 % \(31 to 48\) of flat\.\n/);
    expect(out).toContain('24 of 25 bars count. Dry as printed');
    expect(out).toMatch(/flat +8 +80\.7 \+- 2\.5/);
    expect(out).toMatch(/edge +8 of 9 +85\.1 \+- 4\.5/);
    expect(out).toContain('Left out: E06. Broke at or within 10 mm of a grip');
    expect(out.replace(/\s+/g, ' ')).toContain('U05 lies far below the others of upright');
    expect(out).toContain('is not a permit to load a part');
    expect(err).toContain('campaign-plate-1.csv: column 1 id, column 2 time in s, column 3 force in N');
    expect(out).not.toMatch(/undefined|NaN|\[object/);
  });

  it('is 1 with the sentence what would settle it where it is open', async () => {
    const room = makeBarsScene({
      question: '{ compare: [flat, edge], measure: strength, smallest difference: "5 %" }',
    });
    const { status, out, err } = await bars(room);
    expect(status).toBe(1);
    expect(out).toMatch(/^Whether flat and edge differ by 5 % is open/);
    expect(err).toMatch(/the question is not answered\. Flat and edge: about \d+ mixed plates in all/);
  });

  it('gives no p value and says why where plate and group are one and the same', async () => {
    const room = makeBarsScene({ question: '{ compare: [upright, flat], measure: strength }' });
    const plates = { flat: 1, edge: 2, upright: 3 };
    const lone = readFileSync(join(room, 'campaign.yaml'), 'utf8').replace(
      /^plates:[\s\S]*?^test:/m,
      () =>
        `plates:\n${Object.entries(plates)
          .map(
            ([group, name]) =>
              `  - { name: ${name}, bars: { ${GIVEN.bars
                .filter(({ orientation }) => orientation === group)
                .map(({ bar }) => `${bar}: ${group}`)
                .join(', ')} } }`,
          )
          .join('\n')}\ntest:`,
    );
    put(room, 'campaign.yaml', lone);
    const { status, out, err } = await bars(room, ['--json']);
    expect(status).toBe(1);
    expect(view(out).headline).toBe('Not answered: plate and group cannot be told apart');
    expect(err).toContain('plate and orientation cannot be told apart, so no p value is given');
    expect(out).not.toContain('differ at all: p');
    expect(out).toContain('No p value is given.');
  });

  it('never puts bars of different condition together', async () => {
    const wet = (bar: { bar: string }) => (/[1-4]$/.test(bar.bar) ? ', conditioning: wet' : '');
    const { out } = await bars(makeBarsScene({ more: wet }), ['--json']);
    const { series } = view(out);
    expect(series.map(({ condition }) => condition)).toEqual(['dry as printed', 'wet']);
    const counted = series.map(({ groups }) => groups.map((group) => Number.parseInt(group.bars, 10)));
    expect(counted.map((counts) => counts.reduce((a, b) => a + b, 0))).toEqual([12, 12]);
  });

  it('computes with a bar put back in, and tells the other number where it is left out', async () => {
    const left = view((await bars(makeBarsScene(), ['--json'])).out);
    const room = makeBarsScene();
    put(room, 'campaign.yaml', barsCampaign().replace(', left out: broke at grip', ''));
    const back = view((await bars(room, ['--json'])).out);
    const edge = (found: BarsView) => found.series[0]!.groups.find(({ group }) => group === 'edge')!;
    expect(edge(back).bars).toBe('9');
    expect(left.series[0]!.leftOut[0]!.effect).toContain(
      `${edge(back).strength.split(/\s/)[0]}\u00a0MPa instead of 85.1`,
    );
  });
});

describe('before anything is kept', () => {
  it('a person sees columns, evidence, rows and the first curve, and says yes; the layout is then known', async () => {
    const room = makeBarsScene();
    const first = await bars(room, [], { answers: [''] });
    expect(first.status).toBe(0);
    expect(first.err).toContain('the name of the bar');
    expect(first.err).toContain('("Force" in the heading and the unit N)');
    expect(first.err).toContain('First curve, force, N over extension, mm:');
    expect(first.err).toContain('U01: lines 2 to ');
    // Four files, one layout: asked once, and not again the next time.
    expect(first.err.match(/Right\?/g)).toHaveLength(1);
    expect(layouts(room)).toEqual(['home/layouts.json']);
    const second = await bars(room, [], { answers: [] });
    expect(second.status).toBe(0);
    expect(second.err).not.toContain('Right?');
  });

  it('no ends it with 2, and nothing is kept', async () => {
    const room = makeBarsScene();
    const { status, err, out } = await bars(room, ['--report', 'out.html'], { answers: ['no'] });
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toContain('campaign-plate-1.csv: You said it is not right. Nothing was kept.');
    expect(filesIn(room).filter((name) => /layouts|out\./.test(name))).toEqual([]);
  });

  it('a correction is read anew, shown, and kept as said', async () => {
    const room = makeBarsScene();
    const answers = ['5 strain furlong', 'what', '5 other', ''];
    const { status, err, out } = await bars(room, ['--json'], { answers });
    expect(err).toContain('"furlong" is no unit of strain. Expected one of ');
    expect(err.match(/Right\?/g)).toHaveLength(4);
    expect(status).toBe(0);
    // Without its extensometer a bar has nominal strains, and says so.
    expect(view(out).bars[0]!.flags.map(({ code }) => code)).toContain('grips');
    const kept = JSON.parse(readFileSync(join(room, 'home/layouts.json'), 'utf8'));
    expect(kept.layouts[0].columns.map(({ role }: { role: string }) => role)).toEqual([
      'id',
      'time',
      'force',
      'grip',
      'other',
    ]);
  });

  it('what must be asked ends it with 2 where nobody is there, unless it is to be taken as guessed', async () => {
    const room = makeBarsScene();
    const bare = readFileSync(join(CURVES, PLATES[0]!), 'utf8').replace('Force (N)', 'Channel 2');
    put(room, PLATES[0]!, bare);
    const { status, err, out } = await bars(room);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(/^bonedry: campaign-plate-1\.csv: .*\? /);
    expect((await bars(room, ['--as-read'])).status).toBe(0);
    expect(layouts(room)).toEqual([]);
  });
});

describe('a file that cannot be used', () => {
  const whole = readFileSync(join(CURVES, PLATES[0]!));
  const text = whole.toString('latin1');
  const rows = (change: (fields: string[], k: number) => string[]) =>
    text
      .split('\n')
      .map((row, k) => (k === 0 || row === '' ? row : change(row.split(';'), k).join(';')))
      .join('\n');
  it.each([
    ['truncated', whole.subarray(0, Math.floor(whole.length * 0.61)), /breaks off in the middle of line \d+/],
    [
      'two units mixed',
      rows((fields, k) =>
        k < 150
          ? fields
          : fields.map((field, c) =>
              c === 2 ? String(Number(field.replace(',', '.')) / 1000).replace('.', ',') : field,
            ),
      ),
      /two units are mixed/,
    ],
    [
      'swapped columns',
      rows(([id, time, force, grip, extension]) => [id!, time!, extension!, grip!, force!]),
      /look swapped/,
    ],
    ['empty', '', /is empty/],
    ['binary', Buffer.from(Array.from({ length: 4000 }, (_, k) => (k * 7919) % 256)), /binary/],
    ['a web page', '<!doctype html><html><body>Sign in</body></html>', /web page/],
  ])('%s: one sentence, exit 2, nothing kept', async (_, broken, words) => {
    const room = makeBarsScene();
    put(room, PLATES[0]!, broken);
    const before = filesIn(room);
    const { status, out, err } = await bars(room, ['--report', 'out.html'], { answers: ['', '', ''] });
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(words);
    expect(err.trim().split('\n')).toHaveLength(1);
    expect(err).toMatch(/^bonedry: campaign-plate-1\.csv\b/);
    expect(filesIn(room)).toEqual(before);
  });

  it('all broken files are told at once', async () => {
    const room = makeBarsScene();
    put(room, PLATES[0]!, '');
    put(room, PLATES[2]!, '<html></html>');
    const { status, err } = await bars(room);
    expect(status).toBe(2);
    expect(err.trim().split('\n')).toHaveLength(2);
  });

  it('a stranger among the bars, a bar twice, no file at all, a file twice, a file that is not there', async () => {
    const room = makeBarsScene();
    put(room, 'strange.csv', text.replaceAll('U01;', 'Q77;'));
    expect((await bars(room, ['strange.csv'])).err).toMatch(
      /strange\.csv, line 2: "Q77" is not a bar of this campaign\. Expected .*called: Q77/,
    );
    put(room, 'again.csv', whole);
    const twice = await bars(room, [PLATES[0]!, 'again.csv']);
    expect(twice.status).toBe(2);
    expect(twice.err).toContain('Bar U01 stands twice, here and in campaign-plate-1.csv, line 2.');
    expect((await bars(room, [PLATES[0]!, PLATES[0]!])).err).toContain('This file is named twice.');
    expect((await bars(room, ['gone.csv'])).err).toContain('gone.csv: There is no such file.');
    put(room, 'campaign.yaml', barsCampaign().replace(/ {2}curves: .*\n/, ''));
    expect((await bars(room)).err).toContain('No file of curves is named.');
  });

  it('a bar that nobody measured has no number and is told, the others stand', async () => {
    const room = makeBarsScene();
    put(
      room,
      'campaign.yaml',
      barsCampaign().replace(/U01: \{.*?\}/g, (said) => (said.includes('group') ? said : 'U01: {}')),
    );
    const { status, out } = await bars(room, ['--json']);
    expect(status).toBe(0);
    expect(view(out).lacking).toContain(
      'Bar U01 has no width and no thickness: there is no stress without a section.',
    );
    expect(view(out).bars).toHaveLength(24);
  });
});

describe('the report', () => {
  const NUMBER = /<td>|<dd>/;
  it('is one file that opens without a network, with CSV and JSON beside it', async () => {
    const room = makeBarsScene();
    const { err } = await bars(room, ['--report', 'out.html']);
    expect(err).toContain('Written: out.html, out.csv, out.json');
    const page = readFileSync(join(room, 'out.html'), 'utf8');
    expect(page).toMatch(NUMBER);
    expect(page).not.toMatch(/<script|<link|<img|src=|url\(|https?:/);
    expect(page).not.toMatch(/undefined|NaN|\[object/);
    // The report clause of ISO 527-1 (from memory), item by item.
    for (const item of [
      'ISO 527-1 and -2, type 1B',
      'Material and spool',
      'Conditioning',
      'Air at the machine',
      'Speed',
      'Machine, extensometer, caliper',
      'Grips and their pressure',
      'Gauge length, grip distance',
      'Bars tested',
      'every result',
      'least',
      'Left out, and why',
      'Day of the test',
      'Deviations from the standard',
      'Uncertainty',
      'SHA-256',
      'seed',
      'What this does not say',
    ])
      expect(page, item).toContain(item);
    // What only a person can say prints as a ruled gap.
    expect(page.match(/class="gap"/g)!.length).toBeGreaterThanOrEqual(3);
  });

  it('every number leads to its bar, and from there to file, lines, hash, plate and spool', async () => {
    const room = makeBarsScene();
    await bars(room, ['--report', 'out.html']);
    const page = readFileSync(join(room, 'out.html'), 'utf8');
    const links = [...page.matchAll(/href="#([^"]+)"/g)].map((match) => match[1]!);
    const ids = new Set([...page.matchAll(/ id="([^"]+)"/g)].map((match) => match[1]!));
    expect(links.filter((link) => !ids.has(link))).toEqual([]);
    for (const { bar, plate } of GIVEN.bars) {
      const section = page.slice(page.indexOf(`id="bar-${bar}"`)).split('</section>')[0]!;
      expect(section).toMatch(new RegExp(`campaign-plate-${plate}\\.csv, lines \\d+ to \\d+`));
      expect(section).toMatch(/[0-9a-f]{64}/);
      expect(section).toContain(`href="#plate-${plate}"`);
    }
    const sheet = page.slice(page.indexOf('id="plate-1"')).split('</section>')[0]!;
    expect(sheet).toContain('Water of the strand that day');
    expect(sheet).toContain('Spool');
  });

  it('computed again from what it stored, it has the same digits', async () => {
    const room = makeBarsScene();
    await bars(room, ['--report', 'out.html', '--workers', '1']);
    const stored = JSON.parse(readFileSync(join(room, 'out.json'), 'utf8'));
    // The stored layouts as the confirmed ones, the files in the stored order.
    const again = makeBarsScene();
    put(
      again,
      'home/layouts.json',
      JSON.stringify({
        format: 1,
        layouts: stored.files.flatMap((one: { layouts: unknown[] }) => one.layouts),
      }),
    );
    const files = stored.files.map((one: { file: string }) => one.file);
    await bars(again, [...files, '--report', 'out.html'], { answers: [] });
    const series = (place: string) => JSON.parse(readFileSync(join(place, 'out.json'), 'utf8')).series;
    expect(series(again)).toEqual(series(room));
    const csv = (room_: string) => readFileSync(join(room_, 'out.csv'), 'utf8').split('\n');
    expect(csv(again)).toEqual(csv(room));
    expect(csv(room)).toHaveLength(27);
  });
});
