import type { Card } from '../cards/card.ts';
import { type CardSet, cardOf } from '../cards/find.ts';
import { KINDS } from '../cards/kinds.ts';
import type { Law } from '../job.ts';
import type { Campaign } from './read.ts';
import type { CampaignData } from './schema.ts';

/** A value as the campaign gives it; `law` null where it came without a spread. */
export type Said = Readonly<{ value: number; law: Law | null }>;

/** What the campaign says at a path; undefined where it says nothing. */
export function saidAt(data: CampaignData, path: readonly string[]): Said | undefined {
  let value: unknown = data;
  for (const key of path) value = (value as Record<string, unknown> | undefined)?.[key];
  return value as Said | undefined;
}

/** The card in force of each kind of which one is chosen. */
export type Chosen = Readonly<Record<string, Readonly<{ name: string; from: 'campaign' | 'assumed' }>>>;

/** Finest resolution that a kitchen scale has; below it the bench scale is meant. */
const BENCH_SCALE_BELOW = 0.5e-3;

/** Cards that the campaign names, or that follow from what it says; else the standard one of the kind. */
export function chooseCards({ data }: Campaign, set: CardSet): Chosen {
  const { kit = {}, spool } = data;
  const hotEnd = kit['hot end'];
  const { nozzle } = hotEnd ?? {};
  const hard = nozzle?.hard === undefined ? undefined : nozzle.hard ? 'hardened-steel' : 'brass';
  const resolution = saidAt(data, ['kit', 'scale', 'resolution'])?.value;
  const scale =
    resolution === undefined ? undefined : resolution < BENCH_SCALE_BELOW ? 'bench-0.1g' : 'kitchen-1g';
  const body =
    spool?.body === undefined || cardOf(set, 'spool', spool.body) ? spool?.body : BODIES[spool.body];
  const desiccant = kit.box?.desiccant?.card;
  const said: Readonly<Record<string, string | undefined>> = {
    strand: spool?.card,
    spool: body,
    printer: kit.printer?.card,
    chamber: kit.printer?.chamber?.card,
    'hot-end': hotEnd?.card,
    nozzle: nozzle?.card ?? hard,
    contact: hotEnd?.contact?.card,
    drive: hotEnd?.drive?.card,
    sheet: kit.sheet?.card,
    dryer: kit.dryer?.card,
    box: kit.box?.card,
    desiccant: desiccant === 'none' ? undefined : desiccant,
    path: kit.box?.tube?.card,
    scale: kit.scale?.card ?? scale,
    room: data.room?.card,
    'test-machine': kit['test machine']?.card,
  };
  const choices = Object.entries(KINDS).filter(([, { use }]) => use === 'choice');
  return Object.fromEntries(
    choices.map(([kind, { standard }]) => {
      const name = said[kind];
      return [kind, name === undefined ? { name: standard, from: 'assumed' } : { name, from: 'campaign' }];
    }),
  );
}

const BODIES: Readonly<Record<string, string>> = { card: 'board-spool', plastic: 'plastic-spool' };

/** The strand comes straight from the dryer: the campaign names a dryer's card for the box. */
export function fedFromDryer(set: CardSet, chosen: Chosen): boolean {
  const box = chosen['box']!.name;
  return cardOf(set, 'box', box) === null && cardOf(set, 'dryer', box) !== null;
}

/** The campaign says so, or the box is one that has a sorbent in it. */
export function hasDesiccant({ data }: Campaign, chosen: Chosen): boolean {
  const said = data.kit?.box?.desiccant;
  return said ? said.card !== 'none' : chosen['box']!.name.includes('with-desiccant');
}

/** A sorbent's card is in force only where there is one: links ask whether its entries are there. */
export function cardsInForce(set: CardSet, chosen: Chosen, hasDesiccant: boolean): Card[] {
  return Object.entries(KINDS).flatMap(([kind, { use }]) => {
    if (use === 'whole') return Object.values(set.cards).filter((card) => card.kind === kind);
    const card = cardOf(set, kind, chosen[kind]!.name);
    return card && (kind !== 'desiccant' || hasDesiccant) ? [card] : [];
  });
}
