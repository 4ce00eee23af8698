import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';

/** One Chromium for a test file, and pages that remember what their console said. */
export function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

export type Look = Readonly<{ width: number; theme: 'light' | 'dark' }>;
export const LOOKS: readonly Look[] = [
  { width: 1440, theme: 'light' },
  { width: 1440, theme: 'dark' },
  { width: 390, theme: 'light' },
  { width: 390, theme: 'dark' },
];

export type Opened = Readonly<{ page: Page; context: BrowserContext; complaints: string[] }>;

/** Opens an address; every error of page or console is kept in `complaints`. */
export async function openPage(browser: Browser, address: string, look: Partial<Look> = {}): Promise<Opened> {
  const { width = 1440, theme = 'light' } = look;
  const context = await browser.newContext({
    viewport: { width, height: width < 700 ? 844 : 900 },
    colorScheme: theme,
    reducedMotion: 'reduce',
  });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (fault) => complaints.push(fault.message));
  await page.goto(address);
  return { page, context, complaints };
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe finds wrong on the page, a line each; empty when nothing is. */
export async function violations(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: {
        run: () => Promise<{ violations: { id: string; nodes: { target: unknown; html: string }[] }[] }>;
      };
    };
    const { violations } = await axe.run();
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${String(node.target)} ${node.html.slice(0, 160)}`),
    );
  });
}

/** How far the page can be moved sideways, in px. */
export function sideways(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

/** Brings a small file in, as the file picker would. */
export async function drop(page: Page, name: string): Promise<void> {
  await page
    .locator('input[type=file]')
    .setInputFiles({ name, mimeType: 'text/plain', buffer: Buffer.from('G1 X1\n') });
}

/** Texts under 12 px, and buttons under their size: 44 px (36 in a table) at the desktop, 52 px on a phone. */
export function tooSmall(page: Page, width: number): Promise<string[]> {
  return page.evaluate((phone) => {
    const bad: string[] = [];
    for (const element of document.querySelectorAll<HTMLElement | SVGElement>('body *')) {
      const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim());
      const box = element.getBoundingClientRect();
      if (box.width <= 1 || box.height <= 1 || element.closest('.skip')) continue;
      if (own && Number.parseFloat(getComputedStyle(element).fontSize) < 12)
        bad.push(`text ${element.textContent}`);
      if (
        !element.matches(
          'button, .button, select, input:not([type=radio], [type=checkbox]), summary, .choice',
        )
      )
        continue;
      const least = phone ? 52 : element.closest('td') && !element.closest('.number-card, .print') ? 36 : 44;
      if (box.height < (element.matches('td *') && !phone ? 36 : least) - 0.5)
        bad.push(`${element.textContent?.slice(0, 40)} is ${box.height} px high`);
    }
    return bad;
  }, width < 700);
}
