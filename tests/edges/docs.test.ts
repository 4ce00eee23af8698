import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { HOME } from './scene.ts';

// Goal: the pages name what is there. Method: every path in backquotes and every link of a page is looked for, and the
// rooms of the tree are looked for on the page about them.

const pages = [
  'README.md',
  ...readdirSync(join(HOME, 'docs'), { recursive: true, encoding: 'utf8' }).map((name) => `docs/${name}`),
].filter((name) => name.endsWith('.md'));
const textOf = (page: string) => readFileSync(join(HOME, page), 'utf8');

describe('the page about the architecture', () => {
  it('names every room, and every file it names is there', () => {
    const text = textOf('docs/architecture.md');
    const named = [
      ...text.matchAll(/`((?:src|tests|cards|examples|speed)\/[\w./-]*|[\w-]+\.(?:mjs|json))`/g),
    ].map((match) => match[1]!);
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((path) => !existsSync(join(HOME, path)))).toEqual([]);
    const rooms = readdirSync(join(HOME, 'src')).filter((name) => !name.endsWith('.test.ts'));
    expect(rooms.filter((room) => !text.includes(`src/${room}`))).toEqual([]);
    const subjects = readdirSync(join(HOME, 'src/engine'), { withFileTypes: true }).filter((one) =>
      one.isDirectory(),
    );
    expect(subjects.filter(({ name }) => !text.includes(name)).map(({ name }) => name)).toEqual([]);
  });
});

describe('a page', () => {
  it.each(pages)('%s links to what is there', (page) => {
    const links = [...textOf(page).matchAll(/\]\((?!https?:|#)([^)#\s]+)/g)].map((match) => match[1]!);
    expect(links.filter((link) => !existsSync(join(HOME, dirname(page), link)))).toEqual([]);
  });
});
