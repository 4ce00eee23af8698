import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drop, LOOKS, launch, openPage, sideways, tooSmall, violations } from './browser.ts';
import { FixtureServer } from './fixture-server.ts';
import * as fixtures from './fixtures.ts';
import { wayChain } from './way-fixtures.ts';

/**
 * Every screen in every state, at 1440 and 390 px, light and dark: nothing scrolls sideways, the console is silent,
 * axe finds nothing, text and targets are large enough. With PICTURES set to a folder, a picture of each is kept there.
 */
type State = Readonly<{
  name: string;
  /** The screens themselves are looked at in all four ways; their further states light and wide, dark and narrow. */
  screen?: true;
  /** Words that the browser itself puts on the console in this state. */
  allowed?: RegExp;
  at?: string;
  serve?: (server: FixtureServer) => void;
  act?: (page: Page, server: FixtureServer) => Promise<void>;
}>;

const whole = (chain: FixtureServer['chain']) => (server: FixtureServer) => {
  server.chain = chain;
};

const STATES: readonly State[] = [
  { name: 'chain', screen: true },
  { name: 'chain-whole', serve: whole(fixtures.wholeChain()) },
  { name: 'chain-all-holds', serve: whole(fixtures.allHoldChain()) },
  { name: 'chain-failed', serve: whole(fixtures.failedChain()) },
  { name: 'chain-long', serve: whole(fixtures.longChain()) },
  {
    name: 'chain-computing',
    serve: (server) => {
      server.held = { chain: fixtures.emptyChain(), share: 0.1, doing: '16 of 256 runs, about 20 s' };
    },
  },
  {
    name: 'chain-half',
    serve: (server) => {
      server.held = {
        chain: fixtures.halfChain(),
        share: 0.25,
        doing: '64 of 256 runs, about 20 s. Figures so far are good to ± 6 points.',
      };
    },
  },
  {
    name: 'chain-tried',
    screen: true,
    act: async (page) => {
      await page.getByRole('button', { name: /^Try: Dry 16 h/ }).click();
      await page.getByRole('button', { name: 'Keep' }).waitFor();
      await page.getByText('As planned: 8 h').waitFor();
    },
  },
  {
    name: 'chain-refused',
    allowed: /status of 400/,
    serve: (server) => {
      server.refuse = {
        message: '"twelve" is not a quantity.',
        expected: 'a time with its unit, such as "8 h"',
        where: { path: 'kit.dryer.for' },
      };
    },
    act: async (page) => {
      await page.getByLabel('Dry for, h').fill('twelve');
      await page.getByLabel('Dry for, h').press('Enter');
      await page.getByText('is not a quantity').waitFor();
    },
  },
  {
    name: 'chain-table',
    act: async (page) => {
      for (const summary of await page.getByText('Show as table').all()) await summary.click();
    },
  },
  {
    name: 'stay-dry',
    screen: true,
    serve: whole(wayChain()),
    act: async (page) => {
      await page.getByRole('button', { name: 'Stay dry', exact: true }).click();
      await page.getByText('Water at the nozzle over the campaign').waitFor();
      for (const summary of await page.locator('.depth').getByText('Show as table').all())
        await summary.click();
    },
  },
  {
    name: 'feed',
    screen: true,
    serve: whole(wayChain()),
    act: async (page) => {
      await page.getByRole('button', { name: 'Feed', exact: true }).click();
      await page.getByRole('button', { name: /^Bend 2.*change it/ }).click();
      await page.getByText('How tight is it?').waitFor();
    },
  },
  {
    name: 'feed-edited',
    serve: (server) => {
      server.chain = wayChain();
      server.tried = wayChain;
    },
    act: async (page) => {
      await page.getByRole('button', { name: 'Feed', exact: true }).click();
      await page.getByRole('button', { name: /^Tube.*change it/ }).click();
      await page.getByRole('button', { name: 'Add a bend half way' }).click();
      await page.getByRole('button', { name: /^Box.*change it/ }).click();
      await page.getByRole('button', { name: 'Add a bend in the box' }).click();
      await page.getByLabel('as tight as a coin').check();
      await page.getByText('Would snap here first', { exact: true }).waitFor();
      for (const summary of await page.locator('.depth').getByText('Show as table').all())
        await summary.click();
    },
  },
  {
    name: 'feed-computing',
    serve: (server) => {
      server.chain = wayChain();
    },
    act: async (page, server) => {
      await page.getByRole('button', { name: 'Feed', exact: true }).click();
      await page.getByRole('button', { name: /^Bend 1.*change it/ }).click();
      server.held = { chain: null, share: 0.4, doing: 'Computing Feed' };
      await page.getByLabel('round as a plate').check();
      await page.locator('.piece').getByText('Computing').first().waitFor();
    },
  },
  { name: 'keys', act: async (page) => page.keyboard.press('?') },
  {
    name: 'inputs',
    screen: true,
    at: 'inputs',
    act: async (page) => page.getByRole('button', { name: /^Measure: hours open/ }).click(),
  },
  {
    name: 'prints',
    screen: true,
    at: 'prints',
    act: async (page) => {
      await page.getByRole('button', { name: 'Plate A' }).click();
      await page.getByRole('button', { name: '2, show it on the sheet' }).focus();
    },
  },
  {
    name: 'prints-upright',
    at: 'prints',
    act: async (page) => page.getByRole('button', { name: 'Plate B' }).click(),
  },
  { name: 'more', screen: true, at: 'more' },
  {
    name: 'first-run',
    screen: true,
    serve: (server) => {
      server.campaigns = [];
    },
  },
  { name: 'first-run-example', at: 'open' },
  {
    name: 'reading',
    at: 'open',
    serve: (server) => {
      server.read = () => ({ share: 0.43, doing: 'Reading flat-six.gcode' });
    },
    act: async (page) => {
      await drop(page, 'flat-six.gcode');
      await page.getByText('Reading flat-six.gcode').first().waitFor();
    },
  },
  {
    name: 'unreadable',
    at: 'open',
    serve: (server) => {
      server.read = (name) => ({
        state: 'failed',
        problems: [
          {
            sentence: `${name}, line 18 204: "G1 X12..4" is not a move. Expected a number after X, for example 12.4. Nothing was planned from this file.`,
            file: name,
            line: 18204,
            level: 'stop',
          },
        ],
      });
    },
    act: async (page) => {
      await drop(page, 'plate-a.gcode');
      await page.getByText('is not a move').waitFor();
    },
  },
  {
    name: 'questions',
    screen: true,
    at: 'open',
    act: async (page) => {
      await drop(page, 'flat-six.gcode');
      await page.getByText('Show the chain').waitFor();
      await page.getByLabel('round as a cup').check();
    },
  },
];

const PICTURES = process.env['PICTURES'];

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
  if (PICTURES) mkdirSync(PICTURES, { recursive: true });
});
afterAll(() => browser.close());

describe.each(STATES)('$name', ({ name, screen, at, serve, act, allowed }) => {
  it.concurrent.each(screen ? LOOKS : [LOOKS[0]!, LOOKS[3]!])(
    'at $width px, $theme: nothing overflows, axe and console are silent',
    async (look) => {
      const server = await new FixtureServer().listen();
      serve?.(server);
      const { page, context, complaints } = await openPage(
        browser,
        `${server.address}/${at ? `#/${at}` : ''}`,
        look,
      );
      try {
        await page.locator('.chain, .table, .drop, .more-page').first().waitFor();
        await act?.(page, server);
        if (PICTURES)
          await page.screenshot({
            path: join(PICTURES, `${name}-${look.width}-${look.theme}.png`),
            fullPage: true,
          });
        expect(await sideways(page)).toBeLessThanOrEqual(0);
        expect(complaints.filter((words) => !allowed?.test(words))).toEqual([]);
        expect(await violations(page)).toEqual([]);
        expect(await tooSmall(page, look.width)).toEqual([]);
      } finally {
        await context.close();
        await server.close();
      }
    },
  );
});
