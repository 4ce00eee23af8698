import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readCampaign } from '../../src/campaign/read.ts';
import { readCards } from '../../src/cards/card.ts';
import { findCards } from '../../src/cards/find.ts';
import { openYaml, textOf } from '../../src/cards/yaml-text.ts';
import { type Problem, sentence } from '../../src/problem.ts';

/**
 * Goal: every fault of a campaign or a card is told in one clear sentence each, all at once, with its place. Method:
 * wrong files beside the exact sentences that they must produce (`x.yaml`, `x.txt`); every code of a complaint must be
 * met by one of them.
 */
const folder = 'tests/wrong-input';
const filesIn = (path: string) =>
  readdirSync(path, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => name.replaceAll('\\', '/'))
    .sort();
const shipped = readCards(
  filesIn('cards').map((name) => ({
    name: `cards/${name}`,
    text: readFileSync(join('cards', name), 'utf8'),
  })),
).cards;
const cards = findCards(shipped).set;
const met = new Set<string>();

function textIn(path: string, file: string): string | Problem {
  const read = textOf(readFileSync(path), file);
  return 'text' in read ? read.text : read.problem;
}

function told(problems: readonly Problem[]): string {
  for (const { code } of problems) met.add(code);
  return problems.map((problem) => `${sentence(problem)}\n`).join('');
}

function campaignTold(name: string): string {
  const text = textIn(join(folder, 'campaign', name), name);
  return told(typeof text === 'string' ? readCampaign(text, { file: name, cards }).problems : [text]);
}

/** As `cards check FILE` does: the card alone, then with the shipped ones. */
function cardTold(name: string): string {
  const text = textIn(join(folder, 'cards', name), name);
  if (typeof text !== 'string') return told([text]);
  const read = readCards([{ name, text }], true);
  return told([...read.problems, ...findCards(shipped, read.cards).problems]);
}

const sentences = (kind: string, name: string) =>
  readFileSync(join(folder, kind, name.replace(/yaml$/, 'txt')), 'utf8');

describe('a wrong campaign is told so', () => {
  it.each(filesIn(join(folder, 'campaign')))('%s', (name) => {
    expect(campaignTold(name)).toBe(sentences('campaign', name));
  });
});

describe('a wrong card is told so', () => {
  it.each(filesIn(join(folder, 'cards')))('%s', (name) => {
    expect(cardTold(name)).toBe(sentences('cards', name));
  });
});

describe('every complaint', () => {
  it('about a text far too long is made without reading it', () => {
    const { problems } = openYaml('a'.repeat(6_000_000), 'long.yaml');
    expect(told(problems)).toBe('long.yaml: This is 6 MB of text. Expected a file of a few pages.\n');
  });

  it('about a text that repeats itself without end is made', () => {
    const rows = Array.from(
      { length: 12 },
      (_, k) => `a${k + 1}: &a${k + 1} [${Array(9).fill(`*a${k}`).join(', ')}]`,
    );
    const { problems } = openYaml(`a0: &a0 [x]\n${rows.join('\n')}\n`, 'laughs.yaml');
    expect(told(problems)).toMatch(/repeats itself by references/);
  });

  it('has a wrong file', () => {
    const sources = ['src/cards', 'src/campaign'].flatMap((path) =>
      readdirSync(path)
        .filter((name) => name.endsWith('.ts') && !name.includes('.test.'))
        .map((name) => ({ name, text: readFileSync(join(path, name), 'utf8') })),
    );
    const codes = sources.flatMap(({ name, text }) => [
      ...[...text.matchAll(/code: '([a-z0-9-]+)'/g)].map((match) => match[1]!),
      ...(name === 'checks.ts'
        ? [...text.matchAll(/complain\(\s*'([a-z-]+)'/g)].map((match) => match[1]!)
        : []),
    ]);
    expect(codes.length).toBeGreaterThan(20);
    expect([...new Set(codes)].filter((code) => !met.has(code) && code !== 'custom').sort()).toEqual([]);
  });
});
