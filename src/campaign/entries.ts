import type { Card } from '../cards/card.ts';
import type { CardEntry } from '../cards/entry.ts';
import { type CardSet, cardOf, entriesOf } from '../cards/find.ts';
import { moveSpread } from '../cards/spread.ts';
import type { Entry, Law, Piece } from '../job.ts';
import { type Chosen, cardsInForce, fedFromDryer, hasDesiccant, type Said, saidAt } from './chosen.ts';
import { canBeNegative, placesOf } from './parts.ts';
import { type Campaign, isUnknown } from './read.ts';

/** What is asked of a person and has a value on its card: marked assumed where nobody says it. */
const ASKED_BESIDE_ITS_VALUE = ['spool.hours open'];

/** Every entry of every card in force, with what the campaign says put in. */
export function makeEntries(
  campaign: Campaign,
  set: CardSet,
  chosen: Chosen,
  pieces: PathSaid,
): Record<string, Entry> {
  const entries: Record<string, Entry> = {};
  for (const card of cardsInForce(set, chosen, hasDesiccant(campaign, chosen)))
    for (const entry of Object.values(card.entries)) {
      const places = placesOf(entry);
      entries[entry.key] = entryOf(
        campaign,
        card,
        entry,
        places,
        saidFor(campaign, set, entry, places, pieces),
      );
    }
  const strandLeft = entries['spool.strand left'];
  // Before the first print all of the strand is there; a value of the person's own has replaced the rule.
  if (strandLeft?.law.kind === 'follows' && strandLeft.value === null)
    entries['spool.strand left'] = { ...strandLeft, value: entries['spool.net']?.value ?? null };
  if (fedFromDryer(set, chosen)) Object.assign(entries, boxAsDryer(campaign, set, chosen, entries));
  return entries;
}

function saidFor(
  campaign: Campaign,
  set: CardSet,
  entry: CardEntry,
  places: readonly (readonly string[])[],
  pieces: PathSaid,
): Said | string | undefined {
  const { data } = campaign;
  switch (entry.key) {
    case 'path.length':
      return pieces.length;
    case 'path.tightest bend':
      return pieces.tightest;
    case 'path.way round':
      return data.kit?.box?.tube?.['way round'];
    case 'spool.hours open':
      return hoursOpen(campaign, set);
    case 'sheet.size':
      return undefined;
    default: {
      for (const place of places) {
        const said = saidAt(data, place);
        if (said !== undefined) return said;
      }
      return undefined;
    }
  }
}

function entryOf(
  campaign: Campaign,
  card: Card,
  entry: CardEntry,
  places: readonly (readonly string[])[],
  said: Said | string | undefined,
): Entry {
  const [path] = places;
  const rest = { ...plainEntry(card, entry), ...(path ? { path: path.join('.') } : {}) };
  if (entry.key === 'sheet.size') {
    const known = campaign.data.kit?.sheet?.size !== undefined;
    return { ...rest, from: known ? 'campaign' : 'assumed' };
  }
  if (typeof said === 'string') return { ...rest, value: said, from: 'campaign' };
  if (said !== undefined) return { ...rest, value: said.value, law: lawOf(entry, said), from: 'campaign' };
  const asked = entry.value === null && entry.law.kind !== 'follows';
  const isSaidUnknown = places.some(
    (place) =>
      isUnknown(campaign, place) ||
      isUnknown(campaign, [...place.slice(0, -1), card.kind === 'spool' ? 'body' : 'card']),
  );
  if (asked || isSaidUnknown) {
    const { unknown } = entry;
    if (unknown)
      return {
        ...rest,
        value: unknown.value,
        law: unknown.law ?? entry.given ?? { kind: 'fixed' },
        from: 'assumed',
      };
    return { ...rest, from: 'assumed' };
  }
  return ASKED_BESIDE_ITS_VALUE.includes(entry.key) ? { ...rest, from: 'assumed' } : rest;
}

/** An entry as its card has it. */
export function plainEntry(card: Card, entry: CardEntry): Entry {
  return {
    key: entry.key,
    card: `${card.kind}/${card.name}`,
    value: entry.value,
    unit: entry.unit,
    law: entry.law,
    sharing: entry.sharing,
    source: entry.source,
    readBy: entry.readBy ?? [],
    from: card.own ? 'own card' : 'card',
  };
}

/** The spread of a value that the person gave. */
export function lawOf(entry: Pick<CardEntry, 'given' | 'law' | 'value' | 'unit'>, said: Said): Law {
  if (said.law !== null) return said.law;
  if (entry.given !== null) return aboveZero(entry.given, entry, said.value);
  return typeof entry.value === 'number'
    ? moveSpread(entry.law, entry.value, said.value, entry.unit)
    : { kind: 'fixed' };
}

/** The spread `given` of a bare value, held above zero where it would reach below it: "2 h" with +- 4 h. */
function aboveZero(given: Law, entry: Pick<CardEntry, 'value' | 'law' | 'unit'>, value: number): Law {
  if (given.kind !== 'normal' || given.low !== undefined || canBeNegative(entry)) return given;
  const reaches = OUT_OF_REACH * given.sd;
  return value >= reaches ? given : { ...given, low: 0, high: value + reaches };
}
/** Standard deviations beyond which no draw lies: of 256 draws none passes 3.1. */
const OUT_OF_REACH = 6;

/**
 * Entries of a box that is a dryer: those of the dryer's card under the box's name, drawn from the dryer's columns.
 * The same card is the same thing, so what the campaign says of the dryer holds for the box, unless the box says else.
 */
function boxAsDryer(
  campaign: Campaign,
  set: CardSet,
  chosen: Chosen,
  entries: Readonly<Record<string, Entry>>,
) {
  const card = cardOf(set, 'dryer', chosen['box']!.name)!;
  const isSame = chosen['dryer']!.name === card.name;
  const boxes: Record<string, Entry> = {};
  for (const [name, entry] of Object.entries(card.entries)) {
    const places =
      name === 'temperature'
        ? [
            ['kit', 'box', 'at'],
            ['kit', 'box', name],
          ]
        : [['kit', 'box', name]];
    const said = places.map((place) => saidAt(campaign.data, place)).find((value) => value !== undefined);
    const under =
      isSame && said === undefined ? entries[entry.key]! : entryOf(campaign, card, entry, places, said);
    boxes[`box.${name}`] = {
      ...under,
      key: `box.${name}`,
      column: entry.key,
      readBy: ['Stay dry', 'Feed'],
      path: places[0]!.join('.'),
    };
  }
  return boxes;
}

/** The strand's way as far as it is said. */
export type PathSaid = Readonly<{ pieces: readonly Piece[]; length?: Said; tightest?: Said }>;

/** Length of the tube in all, its bends lying on it, and the tightest bend, as far as they are said. */
export function pathOf({ data }: Campaign): PathSaid {
  const said = data.kit?.box?.path ?? [];
  const tubes = said.flatMap((piece) => (piece.tube ? [piece.tube] : []));
  const bends = said.flatMap((piece) => (piece.bend ? [piece.bend] : []));
  const tightest = bends.reduce<(typeof bends)[number] | null>(
    (least, one) => (least === null || one.radius < least.radius ? one : least),
    null,
  );
  const length = tubes.reduce((sum, tube) => sum + tube.value, 0);
  return {
    pieces: said.flatMap((piece): Piece[] => [
      ...(piece.tube ? [{ kind: 'tube' as const, length: piece.tube.value }] : []),
      ...(piece.bend ? [{ kind: 'bend' as const, radius: piece.bend.radius, angle: piece.bend.angle }] : []),
    ]),
    ...(tubes.length > 0
      ? { length: { value: length, law: tubes.length === 1 ? tubes[0]!.law : null } }
      : {}),
    ...(tightest ? { tightest: { value: tightest.radius, law: tightest.law } } : {}),
  };
}

/** Hours open of the standard spool: for a stay whose time is not known. */
export function hoursOfCard(set: CardSet): number {
  return entriesOf(set, 'spool')['hours open']?.value as number;
}

/** Hours that the spool lay open in all, for the spread that all its stays share. */
function hoursOpen({ data }: Campaign, set: CardSet): Said | undefined {
  const stays = data.spool?.['since opened'];
  if (stays === undefined) return undefined;
  const value = stays.reduce((sum, stay) => sum + (stay.for?.value ?? hoursOfCard(set)), 0);
  if (value === 0) return { value, law: { kind: 'fixed' } };
  const [only] = stays;
  if (stays.length === 1 && only?.for) return { value, law: only.for.law };
  return { value, law: null };
}
