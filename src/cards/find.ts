import type { Problem } from '../problem.ts';
import type { Card } from './card.ts';
import type { CardEntry } from './entry.ts';
import { KINDS, NOT_ENTRIES } from './kinds.ts';
import { nearest } from './nearest.ts';

/** All cards that a campaign may use, by `kind/name`; the person's own already laid over the shipped ones. */
export type CardSet = Readonly<{ cards: Readonly<Record<string, Card>> }>;

/**
 * Puts shipped and own cards together. An own card of a shipped name wins entry by entry and may hold only what it
 * changes; one of a new name is a further choice of its kind. Complaints that need more than one card are made here:
 * unknown entries, entries that a choice lacks, units and sharing that differ within a kind, a symbol of a page on two
 * entries, a key twice in a kind that applies whole, `follows` of what is not there.
 */
export function findCards(
  shipped: readonly Card[],
  own: readonly Card[] = [],
): Readonly<{ set: CardSet; problems: readonly Problem[] }> {
  const cards: Record<string, Card> = {};
  for (const card of shipped) cards[`${card.kind}/${card.name}`] = card;
  const known = knownEntries(shipped);
  const problems: Problem[] = [];
  for (const card of own) {
    const name = `${card.kind}/${card.name}`;
    const under = cards[name];
    if (shipped.length > 0) problems.push(...checkOwn(card, under, shipped, known));
    cards[name] = laidOver(card, under, known);
  }
  const all = Object.values(cards);
  problems.push(...checkAlike(all), ...checkSymbols(all), ...checkWhole(all), ...checkFollows(all));
  return { set: { cards }, problems };
}

/** Names of the cards of a kind, the standard one first. */
export function choicesOf(set: CardSet, kind: string): readonly string[] {
  const standard = KINDS[kind]?.standard;
  const names = Object.values(set.cards)
    .filter((card) => card.kind === kind)
    .map((card) => card.name)
    .sort();
  return [...names.filter((name) => name === standard), ...names.filter((name) => name !== standard)];
}

export function cardOf(set: CardSet, kind: string, name: string): Card | null {
  return set.cards[`${kind}/${name}`] ?? null;
}

/** Every entry that some card of the kind has, by name; where several have it, that of the standard card. */
export function entriesOf(set: CardSet, kind: string): Readonly<Record<string, CardEntry>> {
  const names = choicesOf(set, kind);
  return Object.assign(
    {},
    ...[...names].reverse().map((name) => cardOf(set, kind, name)?.entries ?? {}),
  ) as Record<string, CardEntry>;
}

function knownEntries(cards: readonly Card[]): ReadonlyMap<string, CardEntry> {
  const known = new Map<string, CardEntry>();
  for (const card of cards)
    for (const entry of Object.values(card.entries)) if (!known.has(entry.key)) known.set(entry.key, entry);
  return known;
}

/** An own card over the shipped one of its name; what an own entry leaves out comes from the shipped entry. */
function laidOver(own: Card, under: Card | undefined, known: ReadonlyMap<string, CardEntry>): Card {
  const entries: Record<string, CardEntry> = { ...under?.entries };
  for (const [name, entry] of Object.entries(own.entries)) {
    const model = under?.entries[name] ?? known.get(entry.key);
    entries[name] = {
      ...entry,
      given: entry.given ?? model?.given ?? null,
      unknown: entry.unknown ?? model?.unknown ?? null,
      example: entry.example ?? model?.example ?? null,
      readBy: entry.readBy ?? model?.readBy ?? [],
      symbol: Object.keys(entry.symbol).length > 0 ? entry.symbol : (model?.symbol ?? {}),
      sharing: entry.sharingSaid ? entry.sharing : (model?.sharing ?? entry.sharing),
    };
  }
  return { ...own, entries, tables: { ...under?.tables, ...own.tables } };
}

function checkOwn(
  own: Card,
  under: Card | undefined,
  shipped: readonly Card[],
  known: ReadonlyMap<string, CardEntry>,
): Problem[] {
  const problems: Problem[] = [];
  const names = [...known.keys()]
    .filter((key) => key.startsWith(`${own.kind}.`))
    .map((key) => key.slice(own.kind.length + 1));
  for (const [name, entry] of Object.entries(own.entries)) {
    if (names.includes(name)) continue;
    const near = nearest(name, names);
    problems.push({
      code: 'unknown-key',
      message: `"${name}" is not an entry of the cards of the kind ${own.kind}.`,
      expected: near ? `"${near}"` : `one of ${names.join(', ')}`,
      where: { file: own.file, line: entry.line, path: name },
    });
  }
  // A strand may lack what a link needs: that link then says so. Other kinds are needed whole.
  if (under || own.kind === 'strand') return problems;
  const alike = shipped.filter((card) => card.kind === own.kind);
  const needed = names.filter((name) => alike.every((card) => card.entries[name]));
  const lacking = needed.filter((name) => !own.entries[name]);
  if (lacking.length > 0)
    problems.push({
      code: 'missing',
      message: `The card lacks ${lacking.map((name) => `"${name}"`).join(', ')}.`,
      expected: `every entry that all cards of the kind ${own.kind} have`,
      where: { file: own.file },
    });
  return problems;
}

/** The same unit and sharing for an entry on all cards of its kind. */
function checkAlike(cards: readonly Card[]): Problem[] {
  const first = new Map<string, Readonly<{ entry: CardEntry; card: Card }>>();
  const problems: Problem[] = [];
  for (const card of [...cards].sort((a, b) => Number(a.own) - Number(b.own)))
    for (const [name, entry] of Object.entries(card.entries)) {
      const model = first.get(entry.key);
      if (!model) {
        first.set(entry.key, { entry, card });
        continue;
      }
      const where = { file: card.file, line: entry.line, path: name };
      const other = `on card ${model.card.kind}/${model.card.name}`;
      if (entry.unit !== model.entry.unit)
        problems.push({
          code: 'differs-in-kind',
          message: `"${name}" is given in ${entry.unit || 'no unit'}.`,
          expected: `${model.entry.unit || 'no unit'}, as ${other}`,
          where,
        });
      if (entry.sharing !== model.entry.sharing)
        problems.push({
          code: 'differs-in-kind',
          message: `"${name}" is shared by ${entry.sharing}.`,
          expected: `${model.entry.sharing}, as ${other}`,
          where,
        });
    }
  return problems;
}

/** Dryer and box are two places of one kind of physics: their entries may carry the same symbols. */
const PLACES = ['dryer', 'box'];

function checkSymbols(cards: readonly Card[]): Problem[] {
  const owners = new Map<string, string>();
  const problems: Problem[] = [];
  for (const card of cards)
    for (const [name, entry] of Object.entries(card.entries))
      for (const [page, symbol] of Object.entries(entry.symbol)) {
        const place = PLACES.includes(card.kind) ? 'place' : card.kind;
        const key = `${place}.${name}`;
        const owner = owners.get(`${page} ${symbol}`);
        if (owner === undefined) owners.set(`${page} ${symbol}`, key);
        else if (owner !== key)
          problems.push({
            code: 'symbol-twice',
            message: `The symbol ${symbol} of ${page} stands on "${name}" and on "${owner}".`,
            expected: 'one entry for each symbol',
            where: { file: card.file, line: entry.line, path: name },
          });
      }
  return problems;
}

/** A kind that applies whole has each key once, whichever of its cards holds it. */
function checkWhole(cards: readonly Card[]): Problem[] {
  const holders = new Map<string, Card>();
  const problems: Problem[] = [];
  for (const card of cards) {
    if (KINDS[card.kind]?.use !== 'whole') continue;
    for (const [name, entry] of Object.entries(card.entries)) {
      const holder = holders.get(entry.key);
      if (!holder) holders.set(entry.key, card);
      else
        problems.push({
          code: 'key-twice',
          message: `"${name}" stands on the cards ${holder.name} and ${card.name}.`,
          expected: `each key once in the kind ${card.kind}`,
          where: { file: card.file, line: entry.line, path: name },
        });
    }
  }
  return problems;
}

function checkFollows(cards: readonly Card[]): Problem[] {
  const known = knownEntries(cards);
  return cards.flatMap((card) =>
    Object.entries(card.entries).flatMap(([name, { law, line }]): Problem[] =>
      law.kind !== 'follows'
        ? []
        : law.keys
            .filter((key) => !NOT_ENTRIES.includes(key) && !known.has(key))
            .map((key) => ({
              code: 'follows-nothing',
              message: `"${name}" follows "${key}", which is on no card.`,
              expected:
                nearest(key, [...known.keys()]) ??
                'the name of an entry, with its kind in front if it is of another kind',
              where: { file: card.file, line, path: name },
            })),
    ),
  );
}
