/**
 * The kinds of cards. Of a `choice` kind the campaign names one card, else the standard one is taken; a `whole` kind
 * always applies with all its cards.
 */
export type Kind = Readonly<{ use: 'choice' | 'whole'; standard: string }>;

export const KINDS: Readonly<Record<string, Kind>> = {
  air: { use: 'whole', standard: 'air' },
  bars: { use: 'choice', standard: 'printed' },
  box: { use: 'choice', standard: 'open-room' },
  causes: { use: 'whole', standard: 'why' },
  chamber: { use: 'choice', standard: 'closed' },
  contact: { use: 'choice', standard: 'polymer-on-steel' },
  desiccant: { use: 'choice', standard: 'silica-gel' },
  drive: { use: 'choice', standard: 'two-gears' },
  dryer: { use: 'choice', standard: 'bed-under-card-cover' },
  'hot-end': { use: 'choice', standard: 'all-metal' },
  limits: { use: 'whole', standard: 'water' },
  links: { use: 'whole', standard: 'links' },
  nozzle: { use: 'choice', standard: 'hardened-steel' },
  path: { use: 'choice', standard: 'closed-tube' },
  people: { use: 'choice', standard: 'default' },
  prices: { use: 'whole', standard: 'default' },
  printer: { use: 'choice', standard: 'enclosed-desktop' },
  risks: { use: 'whole', standard: 'default' },
  room: { use: 'choice', standard: 'room' },
  scale: { use: 'choice', standard: 'kitchen-1g' },
  sheet: { use: 'choice', standard: 'spring-steel-sheet' },
  spool: { use: 'choice', standard: 'plastic-spool' },
  strand: { use: 'choice', standard: 'pa6-cf-15' },
  'test-machine': { use: 'choice', standard: 'class-1' },
};

/** Who may read an entry: the links in their order, then the other parts that use cards. */
export const READERS: readonly string[] = [
  'G-code',
  'Dry',
  'Stay dry',
  'Feed',
  'Hot end',
  'Layers',
  'Hold',
  'Hands',
  'Shape',
  'Plan',
  'Why',
  'Learn',
  'Bars',
];

export const SHARINGS = ['kit', 'material', 'spool', 'surroundings', 'run'] as const;

/** Words of a spread that name no entry: what was booked and weighed. */
export const NOT_ENTRIES: readonly string[] = ['events'];
