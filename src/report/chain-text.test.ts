import { describe, expect, it } from 'vitest';
import { chainText } from './chain-text.ts';
import type { ChainView } from './views.ts';

const chain = {
  campaign: 'x',
  invented: false,
  bars: 0,
  plates: 0,
  state: 'done',
  headline: 'As planned, 3 runs in 20 come off the machine; 1 in 20 counts',
  sentence: '',
  scope: '',
  draws: 256,
  seed: 7,
  links: [
    {
      name: 'Dry',
      state: 'done',
      weakest: true,
      cracked: true,
      answers: 'comes off 15\u00a0%, counts 5\u00a0%',
      ruling: {
        strip: { ascii: '9a|1' },
        quantity: 'water',
        median: '0.30\u00a0wt\u00a0%',
        range: '',
        limit: '',
      },
      ways: [],
      leastKnown: null,
      nothingToChange: true,
      dry: null,
    },
  ],
  problems: [],
} as unknown as ChainView;

describe('the chain in a terminal', () => {
  it('keeps the style of what is bold and has no sign beyond plain ASCII otherwise', () => {
    const styled = chainText(chain, (text) => `\x1b[1m${text}\x1b[0m`);
    expect(styled).toContain('\x1b[1mweakest\x1b[0m');
    expect(styled).toContain('\x1b[1m    5 %\x1b[0m');
    const plain = chainText(chain);
    expect(plain).not.toMatch(/[^\n -~]/);
    expect(plain).not.toContain('?');
  });
});
