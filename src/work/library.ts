import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { makeJob } from '../campaign/job.ts';
import { type Campaign, readCampaign } from '../campaign/read.ts';
import { type Card, type CardFile, readCards } from '../cards/card.ts';
import { type CardSet, findCards } from '../cards/find.ts';
import { textOf } from '../cards/yaml-text.ts';
import type { Job } from '../job.ts';
import { InputFault } from '../problem.ts';
import { HOME } from './home.ts';
import { unreadable } from './source.ts';

let shipped: readonly Card[] | undefined;
let shippedSet: CardSet | undefined;

/** The cards of this checkout; a fault in them is ours. */
export function shippedCards(): readonly Card[] {
  if (!shipped) {
    const { cards, problems } = readCards(cardFiles(join(HOME, 'cards'), 'cards'));
    if (problems.length > 0) throw new InputFault(problems);
    shipped = cards;
  }
  return shipped;
}

/**
 * Shipped cards with the person's own, which lie in `cards/` beside the campaign.
 * @param shown the folder as the person typed it
 * @throws InputFault
 */
export function cardsFor(folder: string | null, shown = folder ?? ''): CardSet {
  const place = folder === null ? null : join(folder, 'cards');
  const isOwn = place !== null && resolve(place) !== join(HOME, 'cards') && isFolder(place);
  const files = isOwn ? cardFiles(place, join(shown, 'cards')) : [];
  if (files.length === 0) {
    shippedSet ??= findCards(shippedCards()).set;
    return shippedSet;
  }
  const own = readCards(files, true);
  const found = findCards(shippedCards(), own.cards);
  const problems = [...own.problems, ...found.problems];
  if (problems.length > 0) throw new InputFault(problems);
  return found.set;
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;
}

function cardFiles(place: string, shown: string): CardFile[] {
  return readdirSync(place, { recursive: true, withFileTypes: true })
    .filter((entry) => !entry.isDirectory() && /\.ya?ml$/.test(entry.name))
    .map((entry) => relative(place, join(entry.parentPath, entry.name)))
    .sort()
    .map((path) => {
      const name = join(shown, path);
      return { name, text: readText(join(place, path), name) };
    });
}

/** A campaign or a card is a page of text; what is larger was named by mistake. */
const TEXT_BYTES_MAX = 4 * 1024 * 1024;

/**
 * A text file; bytes that are no UTF-8 are told as such.
 * @param name how sentences call it: as the person typed it
 * @throws InputFault
 */
export function readText(path: string, name = path, most = TEXT_BYTES_MAX): string {
  let bytes: Uint8Array;
  try {
    const { size } = statSync(path);
    if (size > most)
      throw new InputFault([
        {
          code: 'too-large',
          message: `This file has ${Math.round(size / 1e6)} MB.`,
          where: { file: name },
          expected: `at most ${Math.round(most / 1e6)} MB of text`,
        },
      ]);
    bytes = readFileSync(path);
  } catch (error) {
    throw unreadable(name, error);
  }
  const read = textOf(bytes, name);
  if ('problem' in read) throw new InputFault([read.problem]);
  return read.text;
}

/** A campaign file opened: its text, and what was read from it with the cards beside it. */
export type OpenedCampaign = Readonly<{
  path: string;
  /** As the person typed it, for sentences. */
  name: string;
  text: string;
  campaign: Campaign;
  cards: CardSet;
}>;

/** @param text instead of what stands in the file, such as the same with a change tried. @throws InputFault */
export function openCampaign(path: string, name = path, text = readText(path, name)): OpenedCampaign {
  const cards = cardsFor(dirname(path), dirname(name));
  const { campaign, problems } = readCampaign(text, { file: name, cards });
  if (!campaign) throw new InputFault(problems);
  return { path, name, text, campaign, cards };
}

/** Its job as it stands. */
export function jobIn({ campaign, cards, path }: OpenedCampaign): Job {
  return makeJob(campaign, cards, dirname(path));
}
