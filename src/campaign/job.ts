import { type CardSet, cardOf, entriesOf } from '../cards/find.ts';
import { KINDS } from '../cards/kinds.ts';
import type { Clamps, Drying, Entry, Event, Job, Kit, Plate, Settings, Stay, Weighing } from '../job.ts';
import { barId, STARTED_DRYING } from './checks.ts';
import { type Chosen, chooseCards, fedFromDryer, hasDesiccant, type Said } from './chosen.ts';
import { hoursOfCard, lawOf, makeEntries, type PathSaid, pathOf, plainEntry } from './entries.ts';
import type { Campaign } from './read.ts';
import type { CampaignData } from './schema.ts';
import { testOf } from './tested.ts';
import { instantOf, needsZone, secondsBetween } from './times.ts';

/** Wanted chances, power and drying where the campaign says nothing. */
const WANTED_COMES_OFF = 0.8;
const WANTED_COUNTS = 0.5;
const USUAL_POWER = 0.8;
/** The habit of the trade, marked assumed; the link Dry says whether it is enough. */
const ASSUMED_DRYING = 8 * 3600;

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
  const began = events.findLast(({ kind, what }) => kind === 'did' && what === STARTED_DRYING)?.at;
  const drying = dryingOf(campaign, entries, events, began);
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
    betweenPrints: data.kit?.box?.['between prints'] ?? null,
    sinceOpened: staysOf(campaign, set, entries),
    drying,
    weighings: weighingsAfter(drying, events, began),
    dryingBegan: began ?? null,
    groups: data.groups ?? [],
    plates: (data.plates ?? []).map((plate) => plateOf(plate, data)),
    prints: [],
    events,
    settings: settingsOf(data),
    test: testOf(data),
  };
  return frozen(job);
}

// ---------------------------------------------------------------- kit

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
      in: stay.in ?? 'room',
      time: stay.for?.value ?? hoursOfCard(set),
      entries: {
        ...((stay.in ?? 'room') === 'room' ? inRoom(set, entries) : inBox(entries)),
        ...airOf(stay.air, set, entries),
      },
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

/** The entries of the box that the prints use, with the sorbent in it. */
function inBox(entries: Readonly<Record<string, Entry>>): Record<string, Entry> {
  return Object.fromEntries(Object.entries(entries).filter(([key]) => /^(box|desiccant)\./.test(key)));
}

/** The room's entries with the air of a stay put in, spread as a value of the room that the person gave. */
function airOf(
  said: AirSaid | undefined,
  set: CardSet,
  entries: Readonly<Record<string, Entry>>,
): Record<string, Entry> {
  if (!said) return {};
  return Object.fromEntries(
    (['temperature', 'humidity'] as const).flatMap((what) => {
      const entry = entries[`room.${what}`];
      if (!entry) return [];
      const law = lawOf(entriesOf(set, 'room')[what]!, said[what]);
      return [[entry.key, { ...entry, value: said[what].value, law, from: 'campaign' as const }]];
    }),
  );
}
type AirSaid = Readonly<{ temperature: Said; humidity: Said }>;

function dryingOf(
  campaign: Campaign,
  entries: Readonly<Record<string, Entry>>,
  events: readonly Event[],
  from: string | undefined,
): Drying {
  const dryer = campaign.data.kit?.dryer;
  const time = dryer?.for ?? ASSUMED_DRYING;
  const half = entries['dryer.flip at']?.value;
  const flip = dryer?.flip === undefined ? (typeof half === 'number' ? 'half way' : null) : dryer.flip;
  const weighings = events.filter((event) => isOfDrying(event, from, time));
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

/** A reading so long after the drying's end still belongs to it [s]: cooled, weighed, not yet in its box (choice). */
const STILL_DRYING = 1800;

function isOfDrying(event: Event, from: string | undefined, time: number): boolean {
  return (
    event.kind === 'weighed' &&
    event.plate === undefined &&
    from !== undefined &&
    event.at >= from &&
    secondsBetween(from, event.at) <= time + STILL_DRYING
  );
}

/** Readings of the scale that belong to no drying: later ones, and those that name the plate that had come off. */
function weighingsAfter({ time }: Drying, events: readonly Event[], from: string | undefined): Weighing[] {
  return events.flatMap((event) => {
    if (event.kind !== 'weighed' || isOfDrying(event, from, time)) return [];
    const at = from === undefined ? null : secondsBetween(from, event.at) - time;
    const plate = event.plate ?? null;
    if (plate === null && (at === null || at < 0)) return [];
    return [{ at, mass: event.what as number, plate }];
  });
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
    ...(plate.round === undefined ? {} : { round: plate.round }),
    print:
      file !== undefined
        ? {
            kind: 'gcode',
            file,
            ...(print?.member === undefined ? {} : { member: print.member }),
            ...(print?.strand === 'relative' ? { relative: true } : {}),
          }
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
