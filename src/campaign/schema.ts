import { z } from 'zod';
import type { CardEntry } from '../cards/entry.ts';
import { type CardSet, choicesOf } from '../cards/find.ts';
import { leaf, quoted } from '../cards/shape.ts';
import { parseSpread } from '../cards/spread.ts';
import type { Law } from '../job.ts';
import {
  dimensionOf,
  parseBend,
  parseClock,
  parseQuantity,
  plain,
  type Reading,
  read,
  refuse,
} from '../units.ts';
import {
  air,
  chance,
  count,
  name,
  oneOf,
  place,
  quantity,
  type Range,
  rangeOf,
  size,
  textBy,
  uncertain,
  words,
  yesNo,
} from './leaves.ts';
import { canBeNegative, PARTS, type Part, quantitiesOf, WAYS_ROUND } from './parts.ts';
import { testShape } from './tested.ts';
import { parseDate, parseDates, parseDays, parseMoment, parseZone } from './times.ts';

/** Bar types of ISO 527-2 and ASTM D638 whose sizes the product knows. */
export const BAR_TYPES = ['1A', '1B', '1BA', '1BB', '5A', '5B', 'I', 'II', 'III', 'IV', 'V'] as const;
export const ORIENTATIONS = ['flat', 'on edge', 'upright'] as const;
export const MEASURES = [
  'strength',
  'modulus',
  'strain at strength',
  'strain at break',
  'yield stress',
] as const;
export const BETWEEN_PRINTS = ['left in the tube', 'cut off', 'drawn back'] as const;
export const CLAMPS = ['none', 'corners', 'mid', 'corners and mid'] as const;

/** "every 4 h" in seconds, "half way", or no. */
const flip = leaf((raw) => {
  const expected = '"every 4 h", "half way" or "no"';
  if (raw === false || raw === 'no') return read<number | 'half way' | null>(null);
  if (raw === 'half way') return read<number | 'half way' | null>('half way');
  const match = /^every (.+)$/.exec(typeof raw === 'string' ? plain(raw) : '');
  if (!match) return refuse(`${quoted(raw)} does not say when to flip.`, expected);
  const every = parseQuantity(match[1]!, { dimension: 'time' });
  if (!every.ok) return refuse(every.message, expected);
  return every.value.value > 0
    ? read<number | 'half way' | null>(every.value.value)
    : refuse(`"${String(raw)}" is no time between flips.`, expected);
});

type Bend = Readonly<{ radius: number; angle: number; law: Law | null }>;

/** "60 mm x 45 deg", with or without a spread of the radius. */
const bend = textBy((text): Reading<Bend> => {
  const cut = plain(text).search(/\s(\+-|x\/)/);
  const turned = parseBend(cut < 0 ? text : plain(text).slice(0, cut));
  if (!turned.ok || cut < 0) return turned.ok ? read({ ...turned.value, law: null }) : turned;
  const law = parseSpread(plain(text).slice(cut), 'mm');
  return law.ok ? read({ ...turned.value, law: law.value }) : law;
}, 'a radius and an angle, such as "60 mm x 45 deg"');

const clamps = leaf((raw) => {
  const expected = `${CLAMPS.map((word) => `"${word}"`).join(', ')} or a list of places, such as ["0 x 110 mm"]`;
  const word = CLAMPS.find((known) => known === raw);
  if (word !== undefined) return read<(typeof CLAMPS)[number] | readonly (readonly [number, number])[]>(word);
  if (!Array.isArray(raw)) return refuse(`${quoted(raw)} does not say where clamps are.`, expected);
  const places = raw.map((text) => place.safeParse(text));
  const wrong = places.find((parsed) => !parsed.success);
  if (wrong?.error) return refuse(wrong.error.issues[0]!.message, expected);
  return read<(typeof CLAMPS)[number] | readonly (readonly [number, number])[]>(
    places.map((parsed) => parsed.data!),
  );
});

const clock = (end: boolean) =>
  textBy((text) => parseClock(text, end), end ? '00:00 to 24:00' : '00:00 to 23:59');

const days = leaf((raw) => {
  const text = Array.isArray(raw) ? raw.join(', ') : raw;
  return typeof text === 'string'
    ? parseDays(text)
    : refuse(`${quoted(raw)} names no days.`, '"mon-fri", "sat", "mon, wed" or "every day"');
});

/** What an entry can be at all, by its card: nought where the card has it, less only where the card has an error there. */
function rangeFor(entry: CardEntry): Range {
  const usual = rangeOf(dimensionOf(entry.unit));
  if (canBeNegative(entry))
    return {
      ...(usual.most === undefined ? {} : { least: -usual.most, most: usual.most }),
      ...(entry.unit === 'C' ? usual : {}),
    };
  return entry.value === 0 && usual.above === 0 ? { least: 0 } : usual;
}

/**
 * The campaign file, format 1, for the cards that are there: names of cards and keys of their entries are known words.
 * Maps are strict. Values come out in SI.
 */
export function campaignSchema(set: CardSet): CampaignSchema {
  const known = schemas.get(set);
  if (known) return known;
  const made = makeSchema(set);
  schemas.set(set, made);
  return made;
}
type CampaignSchema = ReturnType<typeof makeSchema>;

/** Made once for each set of cards: it takes longer than reading a file with it. */
const schemas = new WeakMap<CardSet, CampaignSchema>();

function makeSchema(set: CardSet) {
  const cardName = (...kinds: string[]) =>
    oneOf(
      kinds.flatMap((kind) => choicesOf(set, kind)),
      `a card of the kind ${kinds[0]}`,
    );
  const partAt = (...at: string[]): Part[] => PARTS.filter((part) => part.at.join('.') === at.join('.'));

  /** A part of the kit: its own keys and every quantity of its cards. A word alone names the card. */
  function part<S extends z.ZodRawShape>(parts: readonly Part[], own: S) {
    const quantities: Record<string, z.ZodType> = {};
    for (const one of parts)
      for (const [key, entry] of Object.entries(quantitiesOf(set, one)))
        quantities[key] = uncertain(entry.unit, entry.example ?? undefined, rangeFor(entry)).optional();
    // The keys of the cards are read by name later; for the compiler the part has its own keys.
    const shape = z.strictObject({ ...quantities, ...own }) as unknown as z.ZodObject<S, z.core.$strict>;
    return z.preprocess((raw) => (typeof raw === 'string' ? { card: raw } : raw), shape).optional();
  }
  const card = (...kinds: string[]) => ({ card: cardName(...kinds).optional() });

  const kit = z.strictObject({
    printer: part(partAt('kit', 'printer'), {
      ...card('printer'),
      chamber: part(partAt('kit', 'printer', 'chamber'), card('chamber')),
      head: part(partAt('kit', 'printer', 'head'), {}),
    }),
    'hot end': part(partAt('kit', 'hot end'), {
      ...card('hot-end'),
      nozzle: part(partAt('kit', 'hot end', 'nozzle'), { ...card('nozzle'), hard: yesNo.optional() }),
      contact: part(partAt('kit', 'hot end', 'contact'), card('contact')),
      drive: part(partAt('kit', 'hot end', 'drive'), card('drive')),
    }),
    sheet: part(partAt('kit', 'sheet'), {
      ...card('sheet'),
      size: size.optional(),
      clamps: clamps.optional(),
      glue: yesNo.optional(),
    }),
    dryer: part(partAt('kit', 'dryer'), {
      ...card('dryer'),
      for: quantity('h', '8 h').optional(),
      flip: flip.optional(),
    }),
    box: part(
      [...partAt('kit', 'box'), { at: ['kit', 'box'], kind: 'dryer', short: { at: 'temperature' } }],
      {
        ...card('box', 'dryer'),
        desiccant: part(partAt('kit', 'box', 'desiccant'), {
          card: oneOf([...choicesOf(set, 'desiccant'), 'none'], 'a card of the kind desiccant').optional(),
        }),
        path: z
          .array(z.strictObject({ tube: uncertain('m', '0.9 m').optional(), bend: bend.optional() }))
          .optional(),
        'between prints': oneOf(BETWEEN_PRINTS, 'a place for the strand between prints').optional(),
        tube: part(partAt('kit', 'box', 'tube'), {
          ...card('path'),
          'way round': oneOf(WAYS_ROUND, 'a way round').optional(),
        }),
      },
    ),
    scale: part(partAt('kit', 'scale'), card('scale')),
    'test machine': part(partAt('kit', 'test machine'), card('test-machine')),
  });

  const bodies = ['card', 'plastic', ...choicesOf(set, 'spool')];
  const spool = part(partAt('spool'), {
    ...card('strand'),
    body: oneOf(bodies, 'a body of a spool').optional(),
    'since opened': z
      .array(
        z.strictObject({
          in: oneOf(['room', 'box', 'dryer'], 'a place for a spool').optional(),
          for: uncertain('h', '40 h').optional(),
          air: air.optional(),
        }),
      )
      .optional(),
  });

  const made = {
    layer: quantity('mm', '0.2 mm').optional(),
    bead: quantity('mm', '0.45 mm').optional(),
    flow: quantity('mm3/s', '6 mm3/s').optional(),
    supports: yesNo.optional(),
  };
  const fixed = leaf((raw) =>
    raw === 1 ? read(1) : refuse(`Format ${quoted(raw)} is not known here.`, '"format: 1"'),
  );
  const bar = z.preprocess(
    (raw) => (typeof raw === 'object' && raw !== null ? raw : { group: raw }),
    z.strictObject({ group: name, at: place.optional() }),
  );
  return z.strictObject({
    format: fixed,
    campaign: name,
    invented: yesNo.optional(),
    question: z
      .strictObject({
        compare: z.array(name).optional(),
        measure: oneOf(MEASURES, 'a measure').optional(),
        'smallest difference': quantity('%', '10 %', { above: 0, most: 10 }).optional(),
        power: chance.optional(),
      })
      .optional(),
    want: z
      .strictObject({
        'comes off': chance.optional(),
        counts: chance.optional(),
        'finish by': textBy(parseDate, 'a day, such as 2027-03-12').optional(),
      })
      .optional(),
    people: part(partAt('people'), {
      zone: textBy(parseZone, 'a place of the time zone database, such as "Europe/Vienna"').optional(),
      there: z.array(z.strictObject({ days, from: clock(false), to: clock(true) })).optional(),
      away: z.array(textBy(parseDates, 'a day, such as 2027-03-12')).optional(),
    }),
    room: part(partAt('room'), card('room')),
    kit: kit.optional(),
    spool,
    groups: z
      .array(
        z.strictObject({
          name,
          bar: oneOf(BAR_TYPES, 'a bar type'),
          orientation: oneOf(ORIENTATIONS, 'an orientation'),
          bars: count,
        }),
      )
      .optional(),
    plates: z
      .array(
        z.strictObject({
          name,
          round: name.optional(),
          print: z
            .preprocess(
              (raw) => (typeof raw === 'string' ? { gcode: raw } : raw),
              z.strictObject({
                gcode: name.optional(),
                member: name.optional(),
                strand: oneOf(['relative'], 'a way to count the strand').optional(),
                ...made,
              }),
            )
            .optional(),
          bars: z.record(z.string(), bar).optional(),
        }),
      )
      .optional(),
    settings: z
      .strictObject({
        nozzle: quantity('C', '270 C').optional(),
        bed: quantity('C', '100 C').optional(),
        'part fan': z.strictObject({ least: quantity('%'), most: quantity('%') }).optional(),
        retract: z.strictObject({ length: quantity('mm', '0.8 mm'), speed: quantity('mm/s') }).optional(),
        layer: quantity('mm', '0.2 mm').optional(),
      })
      .optional(),
    test: part(partAt('test'), testShape),
    events: z
      .array(
        z.strictObject({
          at: textBy(parseMoment, 'a day and a time, such as "2027-03-02 08:18"'),
          did: words.optional(),
          weighed: quantity('g', '1243 g').optional(),
          saw: words.optional(),
          plate: name.optional(),
          bar: name.optional(),
          'taken back': yesNo.optional(),
        }),
      )
      .optional(),
  });
}

export type CampaignData = z.infer<CampaignSchema>;
