import { type CardSet, cardOf, choicesOf } from '../cards/find.ts';

/**
 * The eight questions of the first run, as data for terminal and page. Each field knows the place in the campaign that
 * it fills; each of its choices is the text that stands there. Every question may be left at `unknown`.
 */
export type Choice = Readonly<{ value: string; label: string }>;
export type Field = Readonly<{
  id: string;
  label: string;
  kind: 'text' | 'choice' | 'picture' | 'bars';
  choices: readonly Choice[];
  /** Pre-filled text; empty: nothing. */
  value: string;
  /** Form of a text, shown in the empty field. */
  hint: string;
  /** Campaign path that it fills; null where several places follow from it. */
  path: string | null;
}>;
export type Question = Readonly<{ id: string; words: string; help: string; fields: readonly Field[] }>;

/** The answer that every field takes. */
export const UNKNOWN: Choice = { value: 'unknown', label: 'I do not know' };

const text = (id: string, label: string, hint: string, path: string | null, value = ''): Field => ({
  id,
  label,
  kind: 'text',
  choices: [UNKNOWN],
  value,
  hint,
  path,
});
const choice = (id: string, label: string, path: string | null, choices: readonly Choice[]): Field => ({
  id,
  label,
  kind: 'choice',
  choices: [...choices, UNKNOWN],
  value: '',
  hint: '',
  path,
});

/** Radii of things that lie about, to hold a bend against: common practice, no source. */
export const BENDS: readonly Choice[] = [
  { value: '12 mm x 90 deg x/ 1.3', label: 'as tight as a coin (12 mm)' },
  { value: '40 mm x 90 deg x/ 1.3', label: 'round as a cup (40 mm)' },
  { value: '120 mm x 90 deg x/ 1.3', label: 'round as a plate (120 mm), or wider' },
];

const OPEN_FOR: readonly Choice[] = [
  { value: '2 h', label: 'just opened' },
  { value: '24 h x/ 1.5', label: 'about a day' },
  { value: '5 d x/ 1.5', label: 'some days' },
  { value: '20 d x/ 1.6', label: 'weeks' },
];

/** How a spool is fed, by card of the box; a dryer's card stands for feeding straight from it. */
const FEEDS: readonly Choice[] = [
  { value: 'heated-box', label: 'from a warm closed box' },
  { value: 'heated-box-with-desiccant', label: 'from a warm closed box with desiccant' },
  { value: 'sealed-box-with-desiccant', label: 'from a sealed box with desiccant, not heated' },
  { value: 'open-room', label: 'from an open holder' },
  { value: 'dryer', label: 'straight from the dryer' },
];

/**
 * The questions for the cards that are there: a person's own dryers are among the choices.
 * @param zone time zone of the machine that asks, put in beforehand; empty where it is not known
 */
export function questionsFor(cards: CardSet, zone = ''): readonly Question[] {
  const dryers = choicesOf(cards, 'dryer').map((name) => ({
    value: name,
    label: cardOf(cards, 'dryer', name)?.whatItIs ?? name,
  }));
  return [
    {
      id: 'bars',
      words: 'Which bar is which?',
      help: 'Put in beforehand from how the parts lie. Groups are bars of one type and one direction.',
      fields: [
        {
          id: 'bars',
          label: 'Direction of each part',
          kind: 'bars',
          choices: [
            { value: 'flat', label: 'flat' },
            { value: 'on edge', label: 'on edge' },
            { value: 'upright', label: 'upright' },
            UNKNOWN,
          ],
          value: '',
          hint: '',
          path: null,
        },
      ],
    },
    {
      id: 'spool',
      words: 'How much is on the spool, how long has it been open, and where was it kept?',
      help: 'The label tells the weight of the strand when new. Weighing the spool later tells more than memory.',
      fields: [
        text('net', 'Strand on the spool when new', '750 g', 'spool.net'),
        choice('open', 'Open for', 'spool.since opened.0.for', OPEN_FOR),
        choice('kept', 'Kept', 'spool.since opened.0.in', [
          { value: 'room', label: 'in the room' },
          { value: 'box', label: 'in the box it is fed from' },
          { value: 'dryer', label: 'in the dryer' },
        ]),
      ],
    },
    {
      id: 'dryer',
      words: 'How do you dry it?',
      help: "A hot bed under a cover, a dryer or an oven is not left alone. Without the makers' word on what strand and spool stand, nothing is planned above 70 C.",
      fields: [
        choice('card', 'With', 'kit.dryer.card', dryers),
        text('at', 'Set to', '90 C', 'kit.dryer.at'),
        text('for', 'For', '8 h', 'kit.dryer.for'),
        text('most', 'What strand and spool stand', '100 C', 'spool.dry at most'),
      ],
    },
    {
      id: 'feed',
      words: 'How is it fed, and what is the tightest bend on the way?',
      help: 'Hold a coin, a cup and a plate against the tightest bend of the tube.',
      fields: [
        choice('from', 'Fed', 'kit.box.card', FEEDS),
        { ...choice('bend', 'Tightest bend', 'kit.box.path.0.bend', BENDS), kind: 'picture' },
      ],
    },
    {
      id: 'machine',
      words: 'Is the machine closed, and does it show the heat of its chamber?',
      help: 'A figure read after an hour of printing is best.',
      fields: [
        choice('chamber', 'Door and lid', 'kit.printer.chamber.card', [
          { value: 'closed', label: 'closed' },
          { value: 'lid-ajar', label: 'lid ajar or a vent open' },
          { value: 'lid-off', label: 'lid off or door open' },
        ]),
        text('heat', 'Chamber after an hour', '52 C', 'kit.printer.chamber.settles at'),
      ],
    },
    {
      id: 'sheet',
      words: 'How large is the sheet, is it clamped, and is there glue on it?',
      help: 'The steel sheet that the magnets hold.',
      fields: [
        text('size', 'Size of the sheet', '260 x 220 mm', 'kit.sheet.size'),
        choice('clamps', 'Clamps', 'kit.sheet.clamps', [
          { value: 'none', label: 'none' },
          { value: 'corners', label: 'at the corners' },
          { value: 'corners and mid', label: 'at the corners and along the edges that the bars point at' },
        ]),
        choice('glue', 'A coat of glue', 'kit.sheet.glue', [
          { value: 'yes', label: 'yes' },
          { value: 'no', label: 'no' },
        ]),
      ],
    },
    {
      id: 'people',
      words: 'When are you there?',
      help: 'Moments that need hands are planned into these hours.',
      fields: [
        choice('days', 'Days', 'people.there.0.days', [
          { value: 'mon-fri', label: 'Monday to Friday' },
          { value: 'mon-sat', label: 'Monday to Saturday' },
          { value: 'every day', label: 'every day' },
        ]),
        text('from', 'From', '07:30', 'people.there.0.from'),
        text('to', 'To', '18:00', 'people.there.0.to'),
        text('zone', 'Time zone', 'Europe/Vienna', 'people.zone', zone),
      ],
    },
    {
      id: 'question',
      words: 'What must be compared?',
      help: 'The smallest difference that would matter decides how many bars it takes.',
      fields: [
        choice('compare', 'Compare', null, [
          { value: 'directions', label: 'the directions with each other' },
          { value: 'nothing', label: 'nothing, the bars only have to be made' },
        ]),
        choice('measure', 'By', 'question.measure', [
          { value: 'strength', label: 'strength' },
          { value: 'modulus', label: 'stiffness (modulus)' },
          { value: 'strain at break', label: 'strain at break' },
        ]),
        text('difference', 'Smallest difference that matters', '10 %', 'question.smallest difference'),
      ],
    },
  ];
}
