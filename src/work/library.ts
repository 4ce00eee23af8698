import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { type Campaign, readCampaign } from '../campaign/read.ts';
import { type Card, type CardFile, readCards } from '../cards/card.ts';
import { type CardSet, findCards } from '../cards/find.ts';
import { textOf } from '../cards/yaml-text.ts';
import { InputFault } from '../problem.ts';
import { HOME } from './home.ts';
import { unreadable } from './source.ts';

let shipped: readonly Card[] | undefined;

/** The cards of this checkout; a fault in them is ours. */
export function shippedCards(): readonly Card[] {
  if (!shipped) {
    const { cards, problems } = readCards(cardFiles(join(HOME, 'cards')));
    if (problems.length > 0) throw new InputFault(problems);
    shipped = cards;
  }
  return shipped;
}

/** Shipped cards with the person's own, which lie in `cards/` beside the campaign. @throws InputFault */
export function cardsFor(folder: string | null): CardSet {
  const place = folder === null ? null : join(folder, 'cards');
  const files =
    place !== null && resolve(place) !== join(HOME, 'cards') && existsSync(place) ? cardFiles(place) : [];
  const own = readCards(files, true);
  const found = findCards(shippedCards(), own.cards);
  const problems = [...own.problems, ...found.problems];
  if (problems.length > 0) throw new InputFault(problems);
  return found.set;
}

function cardFiles(place: string): CardFile[] {
  return readdirSync(place, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.ya?ml$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()
    .map((path) => ({ name: relative(dirname(place), path), text: readText(path) }));
}

/** A campaign or a card is a page of text; what is larger was named by mistake. */
const TEXT_BYTES_MAX = 4 * 1024 * 1024;

/** A text file; bytes that are no UTF-8 are told as such. @throws InputFault */
export function readText(path: string): string {
  let bytes: Uint8Array;
  try {
    if (statSync(path).size > TEXT_BYTES_MAX)
      throw new InputFault([
        {
          code: 'too-large',
          message: 'This file is too large.',
          where: { file: path },
          expected: 'a campaign or a card, a few pages of text',
        },
      ]);
    bytes = readFileSync(path);
  } catch (error) {
    if (error instanceof InputFault) throw error;
    throw unreadable(path, error);
  }
  const read = textOf(bytes, path);
  if ('problem' in read) throw new InputFault([read.problem]);
  return read.text;
}

/** A campaign file opened: its text, and what was read from it with the cards beside it. */
export type OpenedCampaign = Readonly<{ path: string; text: string; campaign: Campaign; cards: CardSet }>;

/** @param text instead of what stands in the file, such as the same with a change tried. @throws InputFault */
export function openCampaign(path: string, text = readText(path)): OpenedCampaign {
  const cards = cardsFor(dirname(path));
  const { campaign, problems } = readCampaign(text, { file: path, cards });
  if (!campaign) throw new InputFault(problems);
  return { path, text, campaign, cards };
}
