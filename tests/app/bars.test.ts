import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeExampleCurves, makeExamplePrints } from '../../examples/make.ts';
import { LOOKS, launch, type Opened, openPage, sideways, tooSmall, violations } from './browser.ts';
import { type Served, served } from './served.ts';

/**
 * From the files of a test machine to the answer and its report, against the built server itself: the example's own bars
 * and prints, its curves not yet brought in. The tests follow one another: each goes on where the one before it ended.
 * Figures of the example are invented; what is asked is that the page tells what the files say.
 */
const HOME = join(import.meta.dirname, '../..');
const EXAMPLES = join(HOME, 'examples');
/** Curves as the person's machine leaves them, in a folder of their own. */
const MACHINE = mkdtempSync(join(tmpdir(), 'bonedry-machine-'));
const CURVES = makeExampleCurves(MACHINE);
const PICTURES = process.env['PICTURES'];

let browser: Browser;
let server: Served;
let room: string;
let address: string;
let opened: Opened;
let page: Page;

/** How long a page may take on a loaded machine. */
const SOON = { timeout: 30_000 };
const campaignFile = () => readFileSync(join(room, 'campaign.yaml'), 'utf8');
const layoutsFile = () => join(room, 'home/layouts.json');

beforeAll(async () => {
  room = mkdtempSync(join(tmpdir(), 'bonedry-bars-'));
  makeExamplePrints(join(room, 'prints'));
  const text = readFileSync(join(EXAMPLES, 'sensor-bracket.yaml'), 'utf8');
  // Without its curves, and with one line left for the person to fill in.
  const bare = text.replace(/^ {2}curves: .*\n/m, '').replace(/^ {2}grips: .*\n/m, '');
  expect(bare.length).toBeLessThan(text.length - 60);
  writeFileSync(join(room, 'campaign.yaml'), bare);
  server = await served(room, join(room, 'home'), ['campaign.yaml']);
  address = server.address;
  browser = await launch();
  opened = await openPage(browser, `${address}#/bars`);
  page = opened.page;
  if (PICTURES) mkdirSync(PICTURES, { recursive: true });
});
afterAll(async () => {
  await browser?.close();
  server?.end();
  for (const folder of [room, MACHINE]) rmSync(folder, { recursive: true, force: true });
});

const bring = (files: Parameters<ReturnType<Page['locator']>['setInputFiles']>[0]) =>
  page.locator('input[type=file]').first().setInputFiles(files);
const file = (name: string, text: string) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) });
const heading = (words: RegExp) => page.getByRole('heading', { level: 1, name: words });
const settled = () => expect.poll(() => page.locator('.busy-line').count(), { timeout: 240_000 }).toBe(0);
/** Text with every kind of space as one. */
const plain = (words: string | null) => (words ?? '').replace(/\s/g, ' ');
const row = (bar: string) => page.locator(`#bar-row-${bar}`);

/** What a person would complain of: sideways scroll, small targets, what axe finds, words on the console. */
async function soundAt(what: string, where = page, width = 1440): Promise<void> {
  expect(await sideways(where), what).toBeLessThanOrEqual(0);
  expect(await violations(where), what).toEqual([]);
  expect(await tooSmall(where, width), what).toEqual([]);
}

describe('bars', () => {
  it('says that no bar is broken, and warns before they are', async () => {
    await heading(/^No bar is broken yet/).waitFor();
    expect(await page.locator('.caution').allTextContents()).toEqual(
      expect.arrayContaining([expect.stringMatching(/Eye protection/)]),
    );
    await soundAt('empty');
  });

  it('tells of a file that cannot be used in one sentence, and stores nothing of it', async () => {
    const text = readFileSync(CURVES[0]!, 'utf8');
    // From line 100 on the force is in kilonewtons, which no heading says.
    const mixed = text
      .split('\n')
      .map((line, k) => {
        const fields = line.split(',');
        if (k < 100 || fields.length < 5) return line;
        fields[2] = String(Number(fields[2]) / 1000);
        return fields.join(',');
      })
      .join('\n');
    const before = campaignFile();
    await bring([
      file('saved.csv', '<!doctype html>\n<html><body>Sign in</body></html>\n'),
      file('mixed.csv', mixed),
      file('empty.csv', ''),
    ]);
    const alerts = page.locator('.came-in [role=alert]');
    await expect.poll(() => alerts.count(), { timeout: 30_000 }).toBe(3);
    const words = await alerts.allTextContents();
    expect(words[0]).toMatch(/saved\.csv is a web page/);
    expect(words[1]).toMatch(/mixed\.csv.*two units are mixed/);
    expect(words[2]).toMatch(/empty\.csv.*empty/);
    for (const one of words) expect(one).toContain('Nothing of it was kept.');
    await soundAt('refused');
    expect(campaignFile()).toBe(before);
    expect(existsSync(join(room, 'curves'))).toBe(false);
    expect(existsSync(layoutsFile())).toBe(false);
    expect(readdirSync(join(room, 'home/brought'))).toEqual([]);
    await page.getByRole('button', { name: 'Close the list' }).click();
    await expect.poll(() => alerts.count(), SOON).toBe(0);
  });

  it('shows what a file is taken for, and asks anew where a person says otherwise', async () => {
    const before = campaignFile();
    await bring(CURVES);
    await page.getByRole('heading', { name: 'Is this what plate-a.csv holds?' }).waitFor();
    expect(await page.getByLabel('What Force (N) is').inputValue()).toBe('force');
    expect(await page.getByLabel('Unit of Extensometer (mm)').inputValue()).toBe('mm');
    expect(await page.locator('.look').textContent()).toContain('"Force" in the heading and the unit N');
    expect(await page.locator('.look .rows tbody tr').count()).toBe(12);
    expect(await page.locator('.bars-in li').first().textContent()).toMatch(/^A1: lines 3 to \d+/);
    expect(await page.locator('.look svg[role=img]').getAttribute('aria-label')).toMatch(/^First curve of/);
    await soundAt('look');
    // The extensometer taken for something else: what is drawn against changes, and nothing is kept.
    await page.getByLabel('What Extensometer (mm) is').selectOption('other');
    await page.getByRole('button', { name: 'Read it so' }).click();
    await page.locator('.look').getByText('travel of the grips, mm').first().waitFor();
    await expect
      .poll(() => page.locator('.look svg[role=img]').getAttribute('aria-label'), SOON)
      .toContain('against travel of the grips');
    await page.getByLabel('What Extensometer (mm) is').selectOption('extension');
    await page.getByLabel('Unit of Extensometer (mm)').selectOption('mm');
    await page.getByRole('button', { name: 'Read it so' }).click();
    await expect
      .poll(() => page.locator('.look svg[role=img]').getAttribute('aria-label'), SOON)
      .toContain('against extension');
    expect(campaignFile()).toBe(before);
    expect(existsSync(layoutsFile())).toBe(false);
  });

  it('asks which bar a strange name is, and takes the answer', async () => {
    // The look at the example's first file gives way to one of the same name, with names and a heading of another machine.
    await page.getByRole('button', { name: 'Leave out plate-a.csv' }).click();
    for (const plate of ['b', 'c', 'd'])
      await page.getByRole('button', { name: `Leave out plate-${plate}.csv` }).click({ timeout: 20_000 });
    const text = readFileSync(CURVES[0]!, 'utf8');
    await bring([file('named.csv', text.replace(/^A1,/gm, 'Probe 7,').replace('Force (N)', 'Channel 3'))]);
    await page.getByRole('heading', { name: 'Is this what named.csv holds?' }).waitFor();
    expect(await page.locator('.ask-line').first().textContent()).toMatch(
      /column 3 .*from the numbers alone/,
    );
    expect(await page.locator('.look [role=alert]').textContent()).toContain(
      '"Probe 7" is not a bar of this campaign',
    );
    expect(await page.getByRole('button', { name: 'Right, keep it' }).count()).toBe(0);
    await soundAt('strange names');
    await page.getByLabel(/^Probe 7, no bar/).selectOption('A1');
    await page.getByRole('button', { name: 'Read it so' }).click();
    await page.locator('.bars-in li', { hasText: 'Probe 7 is A1' }).waitFor();
    expect(await page.locator('.look [role=alert]').count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Right, keep it' }).count()).toBe(1);
    await page.getByRole('button', { name: 'Leave out named.csv' }).click();
    expect(campaignFile()).not.toContain('Probe 7');
    await page.locator('.look').waitFor({ state: 'detached' });
    await bring(CURVES);
    await page.getByRole('heading', { name: 'Is this what plate-a.csv holds?' }).waitFor();
  });

  it('keeps the file after a yes, knows its layout for the others, and answers', async () => {
    await page.getByRole('button', { name: 'Right, keep it' }).click();
    await heading(/keeps 4\d % \(\d\d to \d\d\)/).waitFor({ timeout: 60_000 });
    // One yes is enough: the other three look the same.
    expect(await page.locator('.came-in .note').allTextContents()).toEqual(
      ['a', 'b', 'c', 'd'].map((plate) => expect.stringMatching(`plate-${plate}.csv is kept`)),
    );
    expect(campaignFile()).toMatch(/curves:[\s\S]{0,20}curves\/plate-a\.csv[\s\S]{0,20}curves\/plate-b\.csv/);
    expect(campaignFile()).toContain('# invented; the files say the same');
    for (const path of CURVES)
      expect(readFileSync(path).equals(readFileSync(join(room, 'curves', path.split('/').at(-1)!)))).toBe(
        true,
      );
    expect(JSON.parse(readFileSync(layoutsFile(), 'utf8')).layouts).toHaveLength(1);
    await page.getByRole('button', { name: 'Close the list' }).click();
    expect(await page.locator('.lede p').textContent()).toContain('29 of 30 bars count');
    // Dots, bracket and mean of each group; every bar is there, the one that is left out open.
    expect(await page.locator('.curve-of').count()).toBe(30);
    expect(await page.locator('.curve-of .out').count()).toBe(1);
    await settled();
    await soundAt('answer');
  }, 300_000);

  it('refuses a bar that stands twice, and keeps nothing of that file', async () => {
    const before = campaignFile();
    await bring([{ name: 'again.csv', mimeType: 'text/csv', buffer: readFileSync(CURVES[0]!) }]);
    await page.locator('.look [role=alert]').waitFor();
    expect(await page.locator('.look [role=alert]').textContent()).toContain('Bar A1 stands twice');
    expect(await page.getByRole('button', { name: 'Right, keep it' }).count()).toBe(0);
    await page.getByRole('button', { name: 'Leave out again.csv' }).click();
    await page.locator('.look').waitFor({ state: 'detached' });
    expect(campaignFile()).toBe(before);
    expect(readdirSync(join(room, 'curves'))).toHaveLength(4);
  });

  it('shows one curve with its values, by keyboard alone', async () => {
    const choice = page.getByLabel('One curve');
    await choice.focus();
    await choice.selectOption('C23');
    expect(plain(await page.locator('.one-curve p').textContent())).toMatch(/^C23: 25\.\d MPa at/);
    expect(await page.locator('.curve-of.lit').count()).toBe(1);
    await choice.selectOption('');
  });

  it('leads from a number to curve, place on the plate, and the water of the spool that day in two clicks', async () => {
    await settled();
    await page.getByRole('button', { name: /MPa, the bars of upright/ }).click();
    await row('C23').getByRole('button').click();
    const panel = page.locator('#bar-row-C23-panel');
    const words = plain(await panel.textContent());
    expect(words).toMatch(/Filecurves\/plate-c\.csv, lines \d+ to \d+/);
    expect(words).toMatch(/SHA-256 of the file[0-9a-f]{64}/);
    expect(words).toContain('fracture face shows a layer that did not weld');
    expect(words).toMatch(/Water of the strand that day0\.\d+ wt %/);
    expect(words).toMatch(/Spoolpa6-cf-15, 750 g/);
    expect(words).toMatch(/In the order of printing3 of 4/);
    const drawn = await panel
      .locator('svg[role=img]')
      .evaluateAll((all) => all.map((one) => one.getAttribute('aria-label') ?? ''));
    expect(plain(drawn[0]!)).toMatch(/^Curve of C23, strength 25\.\d MPa/);
    expect(drawn[1]).toMatch(/^Plate C from above.*C23 213 mm from the left and 110 mm from the front/);
    expect(await panel.locator('.place.lit').count()).toBe(1);
    await soundAt('trace');
  }, 300_000);

  it('leaves a bar out only with a reason and a note, in the campaign file, and counts it again', async () => {
    const before = campaignFile();
    const panel = page.locator('#bar-row-C23-panel');
    await panel.getByRole('button', { name: 'Leave out C23' }).click();
    const form = page.getByRole('form', { name: 'Leave out C23' });
    expect(await form.textContent()).toContain('“Its value is odd” is not a reason');
    await form.getByLabel('Note').fill('');
    await form.getByRole('button', { name: 'Leave out C23' }).click();
    expect(await form.locator('.wrong').count()).toBe(2);
    expect(campaignFile()).toBe(before);
    await soundAt('form');
    await form.getByLabel('Why C23 does not count').selectOption('print defect');
    await form.getByLabel('Note').fill('layer open along one side, photo 12');
    await form.getByRole('button', { name: 'Leave out C23' }).click();
    await expect
      .poll(() => page.locator('.lede p').textContent(), { timeout: 60_000 })
      .toContain('28 of 30 bars count');
    expect(campaignFile()).toMatch(/C23:[\s\S]{0,220}left out: print defect/);
    expect(campaignFile()).toContain('layer open along one side, photo 12');
    expect(campaignFile()).toContain('# Numbers and places as on the drawing of the sheet');
    expect(await page.locator('.left-out li').first().textContent()).toMatch(/^B7/);
    const left = page.locator('.left-out li', { hasText: 'C23' });
    expect(plain(await left.textContent())).toMatch(/With it, upright would be 37\.\d MPa instead of 38\.\d/);
    await left.getByRole('button', { name: 'Count it after all: C23' }).click();
    await expect
      .poll(() => page.locator('.lede p').textContent(), { timeout: 60_000 })
      .toContain('29 of 30 bars count');
    expect(campaignFile()).not.toMatch(/C23:[\s\S]{0,220}left out/);
    // What was noted stays.
    expect(campaignFile()).toContain('layer open along one side, photo 12');
  }, 300_000);

  it('goes from bar to bar by single keys, and every chart has a finding and a table', async () => {
    await settled();
    await page.getByRole('heading', { level: 1 }).focus();
    await page.keyboard.press('j');
    await page.keyboard.press('j');
    expect(await page.evaluate(() => document.activeElement?.closest('[data-row]')?.id)).toBe('bar-row-A2');
    await page.keyboard.press('Enter');
    await page.locator('#bar-row-A2-panel').waitFor();
    const charts = page.locator('.chart svg');
    const many = await charts.count();
    expect(many).toBeGreaterThan(8);
    const lacking = await charts.evaluateAll(
      (all) =>
        all.filter((chart) => {
          const figure = chart.closest('figure');
          const named =
            chart.getAttribute('role') === 'img' && (chart.getAttribute('aria-label') ?? '').length > 15;
          return !named || !figure?.textContent?.includes('Show as table') || !figure.querySelector('table');
        }).length,
    );
    expect(lacking).toBe(0);
    expect(opened.complaints).toEqual([]);
  }, 300_000);
});

describe('the report', () => {
  it('asks for the lines that only a person can say, and takes them', async () => {
    await page.getByRole('link', { name: 'Make the report' }).click();
    await heading(/^One line of the report still needs you/).waitFor({ timeout: 240_000 });
    const field = page.getByLabel('Kind and pressure of the grips');
    await page.getByRole('button', { name: 'Fill in' }).click();
    expect(await page.locator('.blanks .wrong').textContent()).toContain('Nothing is filled in');
    await soundAt('blanks');
    await field.fill('wedges, tightened by hand');
    await page.getByRole('button', { name: 'Fill in' }).click();
    await heading(/^The report is complete/).waitFor({ timeout: 240_000 });
    expect(campaignFile()).toMatch(/grips: "?wedges, tightened by hand/);
  }, 300_000);

  it('stands on the page whole, as the command writes it, with its data beside it', async () => {
    const paper = page.frameLocator('iframe.paper');
    await paper.getByRole('heading', { name: 'Answer' }).waitFor();
    const words = (await paper.locator('article').textContent()) ?? '';
    expect(words).toContain('wedges, tightened by hand');
    expect(words).toMatch(/[0-9a-f]{64}/);
    expect(words).toContain('is not a permit to load a part');
    // As high as the report: the page scrolls, not the frame.
    await expect
      .poll(
        () =>
          page.locator('iframe.paper').evaluate((frame: HTMLIFrameElement) => {
            const root = frame.contentDocument!.documentElement;
            return Math.abs(frame.clientHeight - root.scrollHeight);
          }),
        SOON,
      )
      .toBeLessThan(4);
    await soundAt('report');
    const answers = await Promise.all(
      ['Save the page', 'Data as CSV', 'Data as JSON'].map(async (name) => {
        const link = page.getByRole('link', { name });
        expect(await link.getAttribute('download')).toMatch(/-report\.(html|csv|json)$/);
        const href = new URL((await link.getAttribute('href')) ?? '', address).href;
        return (await fetch(href)).text();
      }),
    );
    expect(answers[0]).toContain('<!doctype html>');
    expect(answers[0]).not.toMatch(/(src|href)="(https?:)?\/\//);
    expect(answers[1]!.trim().split('\n')).toHaveLength(31);
    expect(JSON.parse(answers[2]!).answer.headline).toBe(
      await paper
        .locator('article b')
        .first()
        .textContent()
        .then((b) => b!.replace(/\.$/, '')),
    );
    expect(opened.complaints).toEqual([]);
  }, 300_000);

  it.each(LOOKS)(
    'and the bars stand at $width px, $theme, without sideways scroll or small targets',
    async (look) => {
      const other = await openPage(browser, `${address}#/bars`, look);
      try {
        await other.page.locator('.bar-table').waitFor({ timeout: 120_000 });
        await expect.poll(() => other.page.locator('.busy-line').count(), { timeout: 240_000 }).toBe(0);
        await other.page.locator('#bar-row-A3 button').click();
        await other.page.locator('.left-out').getByRole('button', { name: 'Leave out C23' }).click();
        if (PICTURES)
          await other.page.screenshot({
            path: join(PICTURES, `bars-${look.width}-${look.theme}.png`),
            fullPage: true,
          });
        await soundAt('bars', other.page, look.width);
        await other.page.evaluate(() => {
          location.hash = '#/report';
        });
        await other.page.locator('iframe.paper').waitFor({ timeout: 120_000 });
        await soundAt('report', other.page, look.width);
        expect(other.complaints).toEqual([]);
        // On the narrowest phone, and with text twice as large.
        for (const [width, at] of [
          [320, '#/report'],
          [320, '#/bars'],
          [1440, '#/bars'],
          [700, '#/report'],
        ] as const) {
          await other.page.evaluate((hash) => {
            location.hash = hash;
          }, at);
          await other.page.locator(at === '#/bars' ? '.bar-table' : 'iframe.paper').waitFor();
          await other.page.setViewportSize({ width, height: 900 });
          if (width > 320) await other.page.addStyleTag({ content: 'html { font-size: 200% }' });
          await other.page.evaluate(() => new Promise(requestAnimationFrame));
          expect(await sideways(other.page), `${at} at ${width} px`).toBeLessThanOrEqual(0);
        }
      } finally {
        await other.context.close();
      }
    },
    300_000,
  );
});
