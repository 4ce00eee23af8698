import type { Card, CardEntry } from '../cards/card.ts';
import { type CardSet, cardOf, entriesOf } from '../cards/find.ts';
import { KINDS } from '../cards/kinds.ts';
import { moveSpread } from '../cards/spread.ts';
import type {
  Clamps,
  Drying,
  Entry,
  Event,
  Job,
  Kit,
  Law,
  Piece,
  Plate,
  Settings,
  Stay,
  Uncertain,
} from '../job.ts';
import { dimensionOf } from '../units.ts';
import { barId } from './checks.ts';
import { placesOf } from './parts.ts';
import { type Campaign, isUnknown } from './read.ts';
import type { CampaignData } from './schema.ts';
import { instantOf, needsZone, secondsBetween } from './times.ts';

/** Wanted chances, power and drying where the campaign says nothing. */
const WANTED_COMES_OFF = 0.8;
const WANTED_COUNTS = 0.5;
const USUAL_POWER = 0.8;
/** The habit of the trade, marked assumed; the link Dry says whether it is enough. */
const ASSUMED_DRYING = 8 * 3600;

/** What is asked of a person and has a value on its card: marked assumed where nobody says it. */
const ASKED_BESIDE_ITS_VALUE = ['spool.hours open'];

/** Booked words that begin a drying: weighings after it belong to it. */
const STARTED_DRYING = 'started drying';

/**
 * A campaign and its cards as the job that links read: SI, kelvin, frozen, plain data.
 *
 * An entry has, in this order: what the campaign says, with its own spread or, for a bare value, with the spread
 * `given` on the card, or else with the card's spread moved to it; where the campaign says `unknown`, or says nothing
 * to what is asked, what the card has for that, marked `assumed`; else the card's value and spread.
 *
 * @param campaign read by `readCampaign` with the same cards
 * @param folder   folder of the campaign file: relative names of files start there
 */
export function makeJob(campaign: Campaign, set: CardSet, folder = ''): Job {
  const { data } = campaign;
  const chosen = chooseCards(campaign, set);
  const pieces = pathOf(campaign);
  const entries = makeEntries(campaign, set, chosen, pieces);
  const zone = data.people?.zone ?? 'UTC';
  const events = (data.events ?? [])
    .filter((event) => event['taken back'] !== true)
    .map((event): Event => eventOf(event, zone))
    .sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  const job: Job = {
    campaign: data.campaign,
    folder,
    invented: data.invented ?? false,
    question: questionOf(data),
    want: {
      comesOff: data.want?.['comes off'] ?? WANTED_COMES_OFF,
      counts: data.want?.counts ?? WANTED_COUNTS,
      finishBy: data.want?.['finish by'] ?? null,
    },
    people: data.people
      ? { zone, there: data.people.there ?? [], away: (data.people.away ?? []).flat() }
      : null,
    entries,
    kit: kitOf(campaign, set, chosen, pieces),
    sinceOpened: staysOf(campaign, set, entries),
    drying: dryingOf(campaign, entries, events),
    groups: data.groups ?? [],
    plates: (data.plates ?? []).map((plate) => plateOf(plate, data)),
    events,
    settings: settingsOf(data),
  };
  return frozen(job);
}

// ---------------------------------------------------------------- cards

type Chosen = Readonly<Record<string, Readonly<{ name: string; from: 'campaign' | 'assumed' }>>>;

/** Finest resolution that a kitchen scale has; below it the bench scale is meant. */
const BENCH_SCALE_BELOW = 0.5e-3;

function chooseCards({ data }: Campaign, set: CardSet): Chosen {
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
function fedFromDryer(set: CardSet, chosen: Chosen): boolean {
  const box = chosen['box']!.name;
  return cardOf(set, 'box', box) === null && cardOf(set, 'dryer', box) !== null;
}

/** The campaign says so, or the box is one that has a sorbent in it. */
function hasDesiccant({ data }: Campaign, chosen: Chosen): boolean {
  const said = data.kit?.box?.desiccant;
  return said ? said.card !== 'none' : chosen['box']!.name.includes('with-desiccant');
}

// ---------------------------------------------------------------- entries

/** What the campaign says at a path; undefined where it says nothing. */
function saidAt(
  data: CampaignData,
  path: readonly string[],
): Readonly<{ value: number; law: Law | null }> | undefined {
  let value: unknown = data;
  for (const key of path) value = (value as Record<string, unknown> | undefined)?.[key];
  return value as Readonly<{ value: number; law: Law | null }> | undefined;
}

type Said = Readonly<{ value: number; law: Law | null }>;

function makeEntries(
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

/** A sorbent's card is in force only where there is one: links ask whether its entries are there. */
function cardsInForce(set: CardSet, chosen: Chosen, hasDesiccant: boolean): Card[] {
  return Object.entries(KINDS).flatMap(([kind, { use }]) => {
    if (use === 'whole') return Object.values(set.cards).filter((card) => card.kind === kind);
    const card = cardOf(set, kind, chosen[kind]!.name);
    return card && (kind !== 'desiccant' || hasDesiccant) ? [card] : [];
  });
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
  const isSaidUnknown = places.some((place) => isUnknown(campaign, place));
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
function plainEntry(card: Card, entry: CardEntry): Entry {
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
function lawOf(entry: Pick<CardEntry, 'given' | 'law' | 'value' | 'unit'>, said: Said): Law {
  if (said.law !== null) return said.law;
  if (entry.given !== null) return aboveZero(entry.given, entry, said.value);
  return typeof entry.value === 'number'
    ? moveSpread(entry.law, entry.value, said.value, entry.unit)
    : { kind: 'fixed' };
}

/**
 * The spread `given` of a bare value, held above zero where the card's own value is: "2 h" with +- 4 h is none below.
 * The upper bound is out of reach of any draw.
 */
function aboveZero(given: Law, entry: Pick<CardEntry, 'value' | 'unit'>, value: number): Law {
  if (given.kind !== 'normal' || given.low !== undefined || dimensionOf(entry.unit) === 'temperature')
    return given;
  const canBeNegative = typeof entry.value === 'number' && entry.value <= 0;
  return canBeNegative || value <= 0 ? given : { ...given, low: 0, high: value + OUT_OF_REACH * given.sd };
}
/** Standard deviations beyond which no draw lies. */
const OUT_OF_REACH = 40;

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

// ---------------------------------------------------------------- kit

type PathSaid = Readonly<{ pieces: readonly Piece[]; length?: Said; tightest?: Said }>;

/** Length of the tube in all, its bends lying on it, and the tightest bend, as far as they are said. */
function pathOf({ data }: Campaign): PathSaid {
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

function kitOf(campaign: Campaign, set: CardSet, chosen: Chosen, { pieces }: PathSaid): Kit {
  const { sheet } = campaign.data.kit ?? {};
  return {
    cards: chosen,
    sheet: {
      size: sheet?.size ?? null,
      clamps: (sheet?.clamps as Clamps | undefined) ?? null,
      glue: sheet?.glue ?? null,
    },
    path: pieces,
    desiccant: hasDesiccant(campaign, chosen),
    fedFromDryer: fedFromDryer(set, chosen),
  };
}

// ---------------------------------------------------------------- spool and drying

/** What the campaign says of the time since the bag was opened; where it says nothing, the hours of the card in the room. */
function staysOf({ data }: Campaign, set: CardSet, entries: Readonly<Record<string, Entry>>): Stay[] {
  const hours = entries['spool.hours open']?.value as number;
  const said = data.spool?.['since opened'];
  if (said === undefined) return [{ in: 'room', time: hours, entries: inRoom(set, entries) }];
  return said.map(
    (stay): Stay => ({
      in: stay.in as Stay['in'],
      time: stay.for?.value ?? hoursOfCard(set),
      entries: { ...(stay.in === 'room' ? inRoom(set, entries) : {}), ...airOf(stay.air, entries) },
    }),
  );
}

/** The entries of a box, taken from the card of an open holder; no sorbent lies there. */
function inRoom(set: CardSet, entries: Readonly<Record<string, Entry>>): Record<string, Entry> {
  const card = cardOf(set, 'box', KINDS['box']!.standard)!;
  const open: Record<string, Entry> = {};
  for (const entry of Object.values(card.entries)) open[entry.key] = plainEntry(card, entry);
  for (const [key, entry] of Object.entries(entries))
    if (entry.card.startsWith('desiccant/')) open[key] = { ...entry, value: null };
  return open;
}

/** The room's entries with the air of a stay put in. */
function airOf(said: AirSaid | undefined, entries: Readonly<Record<string, Entry>>): Record<string, Entry> {
  if (!said) return {};
  return Object.fromEntries(
    (['temperature', 'humidity'] as const).flatMap((what) => {
      const entry = entries[`room.${what}`];
      if (!entry) return [];
      const { value, law } = said[what];
      return [[entry.key, { ...entry, value, law: law ?? entry.law, from: 'campaign' as const }]];
    }),
  );
}
type AirSaid = Readonly<{ temperature: Said; humidity: Said }>;

function hoursOfCard(set: CardSet): number {
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

function dryingOf(
  campaign: Campaign,
  entries: Readonly<Record<string, Entry>>,
  events: readonly Event[],
): Drying {
  const dryer = campaign.data.kit?.dryer;
  const time = dryer?.for ?? ASSUMED_DRYING;
  const half = entries['dryer.flip at']?.value;
  const flip = dryer?.flip === undefined ? (typeof half === 'number' ? 'half way' : null) : dryer.flip;
  const from = events.findLast((event) => event.kind === 'did' && event.what === STARTED_DRYING)?.at;
  const weighings =
    from === undefined ? [] : events.filter((event) => event.kind === 'weighed' && event.at >= from);
  return {
    time,
    flipEvery: flip === 'half way' ? time * (typeof half === 'number' ? half : 0.5) : flip,
    assumed: dryer?.for === undefined,
    weighings: weighings.map((event) => ({
      at: secondsBetween(from!, event.at),
      mass: event.what as number,
    })),
  };
}

// ---------------------------------------------------------------- what is printed, done and wanted

function questionOf({ question }: CampaignData): Job['question'] {
  if (!question) return null;
  return {
    compare: question.compare ?? [],
    measure: question.measure ?? 'strength',
    smallestDifference: question['smallest difference'] ?? null,
    power: question.power ?? USUAL_POWER,
  };
}

function plateOf(plate: NonNullable<CampaignData['plates']>[number], data: CampaignData): Plate {
  const { print } = plate;
  const file = print?.gcode;
  return {
    name: plate.name,
    print:
      file !== undefined
        ? { kind: 'gcode', file, ...(print?.member === undefined ? {} : { member: print.member }) }
        : print?.layer !== undefined && print.bead !== undefined && print.flow !== undefined
          ? {
              kind: 'made',
              layer: print.layer,
              bead: print.bead,
              flow: print.flow,
              supports: print.supports ?? false,
            }
          : null,
    bars: Object.entries(plate.bars ?? {}).map(([key, bar]) => ({
      id: barId(plate.name, key),
      part: /^\d+$/.test(key) ? Number(key) : null,
      group: data.groups?.some((group) => group.name === bar.group) ? bar.group : null,
      ...(bar.at === undefined ? {} : { at: bar.at }),
    })),
  };
}

function eventOf(event: NonNullable<CampaignData['events']>[number], zone: string): Event {
  const { plate, bar } = event;
  const [kind, what] =
    event.did !== undefined
      ? (['did', event.did] as const)
      : event.weighed !== undefined
        ? (['weighed', event.weighed] as const)
        : (['saw', event.saw ?? ''] as const);
  return {
    at: instantOf(event.at, needsZone(event.at) ? zone : 'UTC'),
    kind,
    what,
    ...(plate === undefined ? {} : { plate }),
    ...(bar === undefined ? {} : { bar: plate === undefined ? bar : barId(plate, bar) }),
  };
}

function settingsOf({ settings }: CampaignData): Settings {
  const { nozzle, bed, retract, layer } = settings ?? {};
  const fan = settings?.['part fan'];
  return {
    ...(nozzle === undefined ? {} : { nozzle }),
    ...(bed === undefined ? {} : { bed }),
    ...(fan === undefined ? {} : { fan }),
    ...(retract === undefined ? {} : { retract }),
    ...(layer === undefined ? {} : { layer }),
  };
}

/** Freezes a value with all that is in it. */
function frozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const inner of Object.values(value)) frozen(inner);
  }
  return value;
}
