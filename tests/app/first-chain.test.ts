import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launch, openPage, sideways, violations } from './browser.ts';
import { type Served, served } from './served.ts';

/**
 * A newcomer's first minutes against the built server itself: a file in, eight questions mostly left open, the first
 * chain, a change tried and kept. Nothing here is a fixture.
 */
const HOME = join(import.meta.dirname, '../..');
const FILES = join(HOME, 'tests/data/gcode');

let browser: Browser;
let server: Served;
let folder: string;
let address: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'bonedry-app-'));
  server = await served(folder, folder);
  address = server.address;
  browser = await launch();
});
afterAll(async () => {
  await browser?.close();
  server?.end();
  rmSync(folder, { recursive: true, force: true });
});

const bringIn = (page: Page, name: string) =>
  page.locator('input[type=file]').setInputFiles(join(FILES, name));
const dryDots = (page: Page) => page.locator('section[aria-label="Dry"] > .plot .dot:not(.grey)');

/** Dry is open by itself only while it is the weakest link. */
async function openDry(page: Page): Promise<void> {
  const opener = page.getByRole('button', { name: 'Dry', exact: true });
  if ((await opener.getAttribute('aria-expanded')) === 'false') await opener.click();
}

describe('a newcomer', () => {
  it('reads why a broken file cannot be used, with its line', async () => {
    const { page, context } = await openPage(browser, `${address}#/open`);
    await bringIn(page, 'bad-malformed.gcode');
    const alert = page.locator('.file-card [role=alert]');
    await alert.waitFor();
    expect(await alert.textContent()).toMatch(/line \d+.*Expected/);
    expect(await page.getByText('Show the chain').count()).toBe(0);
    await context.close();
  });

  it('comes from a dropped file to the first chain with nine inputs at most, tries a change and keeps it', async () => {
    const { page, context, complaints } = await openPage(browser, address);
    await page.locator('.drop').waitFor();
    await bringIn(page, 'three-flat.gcode');
    let inputs = 1;
    await page.getByText('Show the chain').waitFor();
    await page.getByLabel('Strand on the spool when new').fill('750 g');
    await page.getByLabel('about a day').check();
    await page.getByLabel(/round as a cup/).check();
    inputs += 3;
    await page.getByText('Show the chain').click();
    inputs++;
    await expect.poll(() => dryDots(page).count(), { timeout: 240_000 }).toBe(20);
    expect(inputs).toBeLessThanOrEqual(9);
    expect(await page.locator('section').filter({ hasText: 'Not computed yet' }).count()).toBeGreaterThan(0);
    expect(await page.locator('section[aria-label="Dry"] .tag').allTextContents()).toContain('Assumed');

    const hours = page.getByLabel('Dry for, h');
    await openDry(page);
    await hours.fill('30 h');
    await hours.press('Enter');
    await page.getByRole('heading', { name: /^With this change/ }).waitFor({ timeout: 240_000 });
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByRole('heading', { name: /^As planned/ }).waitFor({ timeout: 240_000 });
    await openDry(page);
    await expect.poll(() => hours.inputValue()).toBe('30 h');

    expect(await sideways(page)).toBeLessThanOrEqual(0);
    expect(await violations(page)).toEqual([]);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('finds every input of the chain with its source, and the print of its plate', async () => {
    const { page, context, complaints } = await openPage(browser, address);
    await expect.poll(() => dryDots(page).count(), { timeout: 240_000 }).toBe(20);
    await page.getByRole('link', { name: 'Prints' }).first().click();
    await page.locator('[data-row="print"] button').click();
    await expect.poll(() => page.locator('.sheet-map .part.bar').count()).toBe(3);
    await page.getByRole('link', { name: 'Inputs' }).first().click();
    await page.locator('[data-row="input"]').first().waitFor({ timeout: 240_000 });
    const folded = await page.locator('[data-row="input"]').count();
    await page.getByRole('button', { name: /^Show all/ }).click();
    expect(await page.locator('[data-row="input"]').count()).toBeGreaterThan(folded);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it('left a campaign file that says what was kept', () => {
    const campaign = readFileSync(join(folder, 'campaigns/three-flat/campaign.yaml'), 'utf8');
    expect(campaign).toContain('30 h');
    expect(campaign).toContain('unknown');
  });
});
