import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { drop, type Look, launch, openPage, sideways } from './browser.ts';
import { FixtureServer } from './fixture-server.ts';
import * as fixtures from './fixtures.ts';

/** Whole paths through the page, by keyboard and by mouse, against views from fixtures. */
let browser: Browser;
let server: FixtureServer;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());
beforeEach(async () => {
  server = await new FixtureServer().listen();
  onTestFinished(() => server.close());
});

async function open(at = '', look: Partial<Look> = {}): Promise<Page> {
  const { page, context } = await openPage(browser, `${server.address}/${at}`, look);
  onTestFinished(() => context.close());
  return page;
}

const focused = (page: Page) =>
  page.evaluate(() => {
    const element = document.activeElement;
    const label = (element as HTMLInputElement | null)?.labels?.[0]?.textContent?.trim();
    if (label) return label;
    return element?.getAttribute('aria-label') ?? element?.textContent?.trim() ?? '';
  });

/** Presses Tab until what has the focus is called so; a page that never gets there fails. */
async function tabTo(page: Page, name: string | RegExp): Promise<void> {
  for (let i = 0; i < 120; i++) {
    await page.keyboard.press('Tab');
    const now = await focused(page);
    if (typeof name === 'string' ? now === name : name.test(now)) return;
  }
  throw new Error(`Tab never reached ${name}`);
}

const tryFirst = (page: Page) => page.getByRole('button', { name: /^Try: Dry 16 h/ });

describe('by keyboard alone', () => {
  it('goes from the first run to a kept change, with six inputs from file to chain', async () => {
    server.campaigns = [];
    const page = await open();
    await page.getByText('Drop G-code here').waitFor();
    await page.keyboard.press('Tab');
    expect(await focused(page)).toBe('Skip to the page');
    const chosen = page.waitForEvent('filechooser');
    await tabTo(page, 'Choose files');
    await page.keyboard.press('Enter');
    const chooser = await chosen;
    let inputs = 1;
    await chooser.setFiles({
      name: 'flat-six.gcode',
      mimeType: 'text/plain',
      buffer: Buffer.from('G1 X1\n'),
    });
    await page.getByText('Show the chain').waitFor();
    await tabTo(page, 'Strand on the spool when new');
    await page.keyboard.type('750 g');
    inputs++;
    for (const answer of ['just opened', 'bed under a card cover']) {
      await tabTo(page, answer);
      await page.keyboard.press('Space');
      inputs++;
    }
    await tabTo(page, /as tight as a coin/);
    await page.keyboard.press('ArrowRight');
    inputs++;
    expect(await page.getByLabel(/round as a cup/).isChecked()).toBe(true);
    await page.getByText('Eight questions; 4 still open').waitFor();
    await tabTo(page, 'Show the chain');
    await page.keyboard.press('Enter');
    inputs++;
    await page.getByRole('heading', { name: /come off the machine/ }).waitFor();
    expect(inputs).toBeLessThanOrEqual(9);
    expect(await focused(page)).toMatch(/runs in 20|Computing/);

    await page.keyboard.press('j');
    expect(await focused(page)).toBe('Dry');
    await page.keyboard.press('t');
    await page.getByRole('button', { name: 'Keep' }).waitFor();
    expect(await focused(page)).toBe('Dry');
    await tabTo(page, 'Keep');
    await page.keyboard.press('Enter');
    await expect.poll(() => server.kept).toEqual([[{ path: 'kit.dryer.for', value: '16 h' }]]);
    await page.getByRole('heading', { name: /^As planned/ }).waitFor();
    expect(await page.getByRole('button', { name: 'Keep' }).count()).toBe(0);
  });

  it('keeps the focus on the row after Try, and T puts it back', async () => {
    const page = await open();
    await tryFirst(page).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: /^With this change/ }).waitFor();
    expect(await focused(page)).toMatch(/^Put back: Dry 16 h/);
    await page.keyboard.press('t');
    await page.getByRole('heading', { name: /^As planned/ }).waitFor();
    expect(await focused(page)).toMatch(/^Try: Dry 16 h/);
  });

  it('moves between rows with J and K, and not inside a field or when single keys are off', async () => {
    server.chain = fixtures.wholeChain();
    const page = await open();
    await page.getByRole('button', { name: 'Hold' }).waitFor();
    for (const expected of ['Dry', 'Stay dry', 'Feed']) {
      await page.keyboard.press('j');
      expect(await focused(page)).toBe(expected);
    }
    await page.keyboard.press('k');
    expect(await focused(page)).toBe('Stay dry');
    await page.getByRole('button', { name: 'Dry', exact: true }).click();
    await page.getByLabel('Dry for, h').focus();
    await page.keyboard.press('j');
    expect(await page.getByLabel('Dry for, h').inputValue()).toContain('j');
    await page.getByRole('link', { name: 'More' }).first().click();
    await page.getByLabel('Single keys act outside fields').uncheck();
    await page.getByRole('link', { name: 'Chain', exact: true }).first().click();
    await page.keyboard.press('?');
    expect(await page.locator('dialog[open]').count()).toBe(0);
  });

  it('gives the focus back to where it was when the list of keys closes', async () => {
    const page = await open();
    await tryFirst(page).focus();
    await page.keyboard.press('?');
    await page.locator('dialog[open]').waitFor();
    await page.keyboard.press('Escape');
    expect(await focused(page)).toMatch(/^Try: Dry 16 h/);
  });

  it('begins a new page at its answer, and the skip link leads there too', async () => {
    const page = await open();
    await page.getByRole('link', { name: 'Inputs' }).first().click();
    await expect.poll(() => focused(page)).toMatch(/inputs make most of the doubt|The inputs come/);
    await page.reload();
    await page.locator('.table').waitFor();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    expect(await focused(page)).toMatch(/inputs make most of the doubt/);
    expect(await page.locator('.table').count()).toBe(1);
  });
});

describe('the chain', () => {
  it('fills as it comes: rings in grey, then the dots; stopping keeps what is there', async () => {
    server.held = { chain: fixtures.emptyChain(), share: 0, doing: 'Begins' };
    const page = await open();
    await page.getByRole('button', { name: /^Stop here/ }).waitFor();
    expect(await page.locator('section[aria-label="Feed"]').textContent()).toContain('Not computed yet');
    server.tell('1', { chain: fixtures.halfChain(), share: 0.25, doing: '64 of 256 runs' });
    await expect
      .poll(() => page.locator('section[aria-label="Dry"] .plot').first().locator('.dot.grey').count())
      .toBe(20);
    await page.getByRole('button', { name: /^Stop here/ }).click();
    await page.getByText('Stopped at 64 of 256 runs').waitFor();
    expect(server.asked).toContain('DELETE /api/jobs/1');
    server.held = null;
    await page.getByRole('button', { name: 'Compute again' }).click();
    await expect
      .poll(() => page.locator('section[aria-label="Dry"] .plot').first().locator('.dot.grey').count())
      .toBe(0);
    expect(await page.locator('section[aria-label="Dry"] .plot').first().locator('.dot').count()).toBe(20);
  });

  it('asks for a plan when a lever is changed, and says under the field what is refused', async () => {
    const page = await open();
    const field = page.getByLabel('Dry for, h');
    await field.fill('16 h');
    await field.press('Enter');
    await page.getByText('As planned: 8 h').waitFor();
    await page.getByText('Trying: Dry for 16 h').waitFor();
    server.refuse = {
      message: '"twelve" is not a quantity.',
      expected: 'a time with its unit',
      where: { path: 'kit.dryer.for' },
    };
    await field.fill('twelve');
    await field.press('Enter');
    await page.getByText('"twelve" is not a quantity. Expected a time with its unit.').waitFor();
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    expect(await field.inputValue()).toBe('twelve');
    await page.getByText('Trying: Dry for 16 h').waitFor();
  });

  it('tries two things at once; each may be put back alone', async () => {
    const page = await open();
    await tryFirst(page).click();
    await page.getByRole('button', { name: /^Try: A vented dryer/ }).click();
    await page.getByText('Trying: Dry 16 h, not 8 h; A vented dryer at 80 °C').waitFor();
    await page.getByRole('button', { name: /^Put back: Dry 16 h/ }).click();
    await page.getByText('Trying: A vented dryer at 80 °C').waitFor();
    await page.getByRole('button', { name: 'Put back', exact: true }).click();
    await page.getByRole('heading', { name: /^As planned/ }).waitFor();
  });

  it('lets a link fail alone', async () => {
    server.chain = fixtures.failedChain();
    const page = await open();
    await page.locator('section[aria-label="Feed"] [role=alert]').waitFor();
    expect(await page.locator('section[aria-label="Hold"] .dot').count()).toBeGreaterThanOrEqual(20);
    expect(await page.locator('section[aria-label="Feed"] .dot').count()).toBe(0);
  });

  it('says when a number was changed that its figures are from before, until they are computed again', async () => {
    const page = await open('#/inputs');
    await page.getByRole('button', { name: /^Measure: hours open/ }).click();
    await page.getByLabel('With its unit').fill('30 h');
    await page.getByRole('button', { name: 'Set it' }).click();
    await page.getByText('You set hours open to 30 h.').first().waitFor();
    expect(server.kept).toEqual([[{ path: 'kit.spool.hours open', value: '30 h' }]]);
    await page.getByRole('link', { name: 'Chain', exact: true }).first().click();
    await expect.poll(() => page.locator('section[aria-label="Dry"] .dot.grey').count()).toBeGreaterThan(0);
    await page.getByRole('button', { name: 'Compute again' }).click();
    await expect.poll(() => page.locator('section[aria-label="Dry"] .dot.grey').count()).toBe(0);
    expect(await page.locator('.trouble').count()).toBe(0);
  });

  it('says that there is no contact, and keeps what is shown', async () => {
    const page = await open();
    await tryFirst(page).waitFor();
    await server.close();
    await tryFirst(page).click();
    await page.getByText('No contact with Bonedry since').waitFor();
    expect(await page.locator('section[aria-label="Dry"] .dot').count()).toBeGreaterThanOrEqual(20);
  });
});

describe('files', () => {
  it('dropped on the page are sent and read', async () => {
    const page = await open('#/open');
    await page.locator('.drop').waitFor();
    const data = await page.evaluateHandle(() => {
      const transfer = new DataTransfer();
      transfer.items.add(new File(['G1 X1\n'], 'dropped.gcode'));
      return transfer;
    });
    await page.locator('.drop').dispatchEvent('drop', { dataTransfer: data });
    await page.getByRole('heading', { name: 'dropped.gcode', exact: true }).waitFor();
    expect(server.asked).toContain('PUT /api/files/dropped.gcode');
  });

  it('show how far they are read, and can be left out', async () => {
    server.read = () => ({ share: 0.2, doing: 'Reading big.gcode' });
    const page = await open('#/open');
    await drop(page, 'big.gcode');
    await page.locator('progress').waitFor();
    server.tell(server.lastJob(), { share: 0.6 });
    await expect.poll(() => page.locator('progress').getAttribute('value')).toBe('0.6');
    await page.getByRole('button', { name: 'Leave out big.gcode' }).click();
    await expect.poll(() => server.asked.some((asked) => asked.startsWith('DELETE'))).toBe(true);
    expect(await page.locator('.file-card').count()).toBe(0);
  });

  it('light the part on the sheet when its row has the focus, and the row when the part is pointed at', async () => {
    const page = await open('#/prints');
    await page.getByRole('button', { name: 'Plate A' }).click();
    await page.getByRole('button', { name: '3, show it on the sheet' }).focus();
    expect(await page.locator('.sheet-map .lit').count()).toBe(1);
    expect(await page.locator('.parts tr.lit').textContent()).toMatch(/^3/);
    await page.locator('.sheet-map .part').first().hover();
    expect(await page.locator('.parts tr.lit').textContent()).toMatch(/^1/);
  });
});

describe('the page', () => {
  it('keeps a chosen theme over the system’s and over a reload', async () => {
    const page = await open('#/more', { theme: 'light' });
    const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    await page.getByLabel('Light').waitFor();
    expect(await ground()).toBe('rgb(244, 246, 245)');
    await page.getByLabel('Dark').check();
    expect(await ground()).toBe('rgb(15, 20, 20)');
    await page.reload();
    await page.getByLabel('Dark').waitFor();
    expect(await ground()).toBe('rgb(15, 20, 20)');
  });

  it.each(['', '#/inputs', '#/prints', '#/open', '#/more'])(
    'at 320 px and with text twice as large does not scroll sideways, %s',
    async (at) => {
      server.chain = fixtures.wholeChain();
      const page = await open(at, { width: 320 });
      await page.locator('.chain, .table, .drop, .more-page').first().waitFor();
      expect(await sideways(page)).toBeLessThanOrEqual(0);
      for (const width of [1440, 700]) {
        await page.setViewportSize({ width, height: 900 });
        await page.addStyleTag({ content: 'html { font-size: 200% }' });
        await page.evaluate(() => new Promise(requestAnimationFrame));
        expect(await sideways(page)).toBeLessThanOrEqual(0);
      }
    },
  );

  it('keeps fill and ring of the dots under forced colours', async () => {
    const page = await open();
    await page.emulateMedia({ forcedColors: 'active' });
    await tryFirst(page).waitFor();
    const style = (kind: string) =>
      page
        .locator(`.dot.${kind}`)
        .first()
        .evaluate((dot) => [
          getComputedStyle(dot).fill,
          getComputedStyle(dot).stroke,
          getComputedStyle(document.body).backgroundColor,
        ]);
    const [filled] = await style('holding');
    const [inside, ring] = await style('failing');
    expect(filled).not.toBe(inside);
    expect(ring).not.toBe(inside);
  });

  it('prints black on white without navigation, whatever the theme', async () => {
    const page = await open('', { theme: 'dark' });
    await tryFirst(page).waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor)).toBe(
      'rgb(255, 255, 255)',
    );
    for (const place of ['.head nav', '.dock', '.button'])
      expect(await page.locator(place).first().isVisible()).toBe(false);
    expect((await page.pdf()).byteLength).toBeGreaterThan(10_000);
  });

  it('moves nothing where less motion is asked for', async () => {
    const page = await open();
    await tryFirst(page).waitFor();
    const span = () =>
      page
        .locator('.dot')
        .first()
        .evaluate((dot) => getComputedStyle(dot).transitionDuration);
    expect(await span()).toBe('0s');
    await page.emulateMedia({ reducedMotion: 'no-preference' });
    expect(await span()).toContain('0.12s');
  });

  it('never says OK, Submit, Cancel or Confirm', async () => {
    const page = await open();
    await tryFirst(page).click();
    const words = await page.locator('button').allInnerTexts();
    expect(words.length).toBeGreaterThan(3);
    for (const word of words) expect(word).not.toMatch(/\b(ok|submit|cancel|confirm)\b/i);
  });
});
