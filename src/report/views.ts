import { z } from 'zod';

/**
 * What a screen or a terminal shows: every figure already printed, every sentence already written, so that page,
 * terminal and report say the same. Numbers without text are positions in pictures.
 */

/** Box of the margin picture: 330 wide, limit at 112, one dot every 10 units (columns are counted from the limit). */
export const strip = z.strictObject({
  /** Twenty equally likely runs; column 0 is the first right of the limit, -1 the first left of it; level counts up from 0. */
  dots: z.array(
    z.strictObject({
      column: z.number(),
      level: z.number(),
      holds: z.boolean(),
      /** Lies beyond the box: drawn in the last column with "»". */
      beyond: z.boolean(),
    }),
  ),
  /** Units right (+) or left (-) of the limit. */
  ticks: z.array(z.strictObject({ at: z.number(), label: z.string() })),
  /** The limit with its unit, such as "0.20 wt %". */
  limit: z.string(),
  /** The finding in one sentence, read aloud in place of the picture. */
  finding: z.string(),
  /** The same strip for a terminal: digits are runs out of 20 in each step, `|` is the limit. */
  ascii: z.string(),
});

export const answer = z.enum(['comes off', 'counts']);

export const check = z.strictObject({
  name: z.string(),
  answer,
  share: z.string(),
  shareValue: z.number(),
  /** "worst winding" */
  quantity: z.string(),
  /** "0.15 wt %" */
  median: z.string(),
  /** "0.09 to 0.24" */
  range: z.string(),
  /** "at most 0.20" */
  limit: z.string(),
  strip,
});

/** One change that may be tried: what to write into the campaign file, and what it does. */
export const way = z.strictObject({
  id: z.string(),
  words: z.string(),
  /** "counts 12 → 64 %" */
  effect: z.string(),
  /** "4 h more, one more flip" */
  cost: z.string(),
  minutes: z.number(),
  changes: z.array(z.strictObject({ path: z.string(), value: z.string() })),
  /** False: it helps and still misses the wanted chance. */
  mends: z.boolean(),
});

/** A figure with its band at one time. */
const band = z.strictObject({
  low: z.array(z.number()),
  median: z.array(z.number()),
  high: z.array(z.number()),
});

export const caution = z.strictObject({ hazard: z.string(), words: z.string() });

/** The link Dry in depth. Hours and wt % of the strand for pictures, sentences for people. */
export const dryDepth = z.strictObject({
  hours: z.array(z.number()),
  mean: band,
  worst: band,
  plannedHours: z.number(),
  flips: z.array(z.number()),
  limits: z.array(z.strictObject({ name: z.string(), water: z.number(), label: z.string() })),
  /** "Below the strict limit after 31 h (half of the runs), 46 h (9 runs in 10)." */
  needed: z.array(z.string()),
  /** What the scale should show, one row a weighing. */
  scale: z.array(
    z.strictObject({
      at: z.string(),
      predicted: z.string(),
      seen: z.string().nullable(),
      says: z.string().nullable(),
    }),
  ),
  advice: z.array(z.string()),
  cautions: z.array(caution),
  /** What the model leaves out, said on the screen that shows the number. */
  weak: z.array(z.string()),
  /** Levers with their present value, for editing by hand: label, campaign path, text in force. */
  levers: z.array(
    z.strictObject({
      label: z.string(),
      path: z.string(),
      value: z.string(),
      hint: z.string(),
      choices: z.array(z.strictObject({ value: z.string(), label: z.string() })).nullable(),
    }),
  ),
});

/** Levers with their present value, for editing by hand: label, campaign path, text in force. */
const depthLevers = z.array(
  z.strictObject({
    label: z.string(),
    path: z.string(),
    value: z.string(),
    hint: z.string(),
    choices: z.array(z.strictObject({ value: z.string(), label: z.string() })).nullable(),
  }),
);

/** A band over the campaign; null where there is no value, such as while nothing prints. */
const bandWithGaps = z.strictObject({
  low: z.array(z.number().nullable()),
  median: z.array(z.number().nullable()),
  high: z.array(z.number().nullable()),
});

/** Prints on the axis of hours since the end of the drying. */
const printSpans = z.array(
  z.strictObject({ plate: z.string(), from: z.number(), to: z.number(), words: z.string() }),
);

/** The link Stay dry in depth. Hours since the end of the drying and wt % of the strand for pictures. */
export const stayDryDepth = z.strictObject({
  hours: z.array(z.number()),
  /** Strand that reaches the nozzle; its peaks at starts are strand that stood in the tube. */
  nozzle: bandWithGaps,
  outer: bandWithGaps,
  prints: printSpans,
  limits: z.array(z.strictObject({ name: z.string(), water: z.number(), label: z.string() })),
  found: z.array(z.string()),
  /** How long it stays below each limit with nothing printed from it. */
  left: z.array(z.string()),
  /** Grams and days of the desiccant; null where there is none. */
  desiccant: z.array(z.string()).nullable(),
  advice: z.array(z.string()),
  cautions: z.array(caution),
  weak: z.array(z.string()),
  levers: depthLevers,
});

/** One stretch of tube, or one bend with what it does to the strand; lengths along the tube in m, radius in mm. */
const wayPiece = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('tube'), from: z.number(), to: z.number(), words: z.string() }),
  z.strictObject({
    kind: z.literal('bend'),
    name: z.string(),
    thing: z.enum(['coin', 'cup', 'plate']),
    likeness: z.string(),
    radius: z.number(),
    /** Degrees. */
    turn: z.number(),
    from: z.number(),
    inBox: z.boolean(),
    words: z.string(),
    strain: z.string(),
    margin: z.string(),
    marginMedian: z.number(),
    /** Share of runs in which it holds all through the campaign. */
    holds: z.string(),
    /** How wide it would have to be. */
    least: z.string(),
    running: z.string(),
    stopped: z.string(),
    /** Most runs have their least margin here. */
    first: z.boolean(),
  }),
]);

/** The link Feed in depth. */
export const feedDepth = z.strictObject({
  hours: z.array(z.number()),
  /** Least margin of all bends over the campaign: 1 is the limit. */
  margin: bandWithGaps,
  prints: printSpans,
  /** In the order from the winding. */
  way: z.array(wayPiece),
  found: z.array(z.string()),
  strand: z.array(z.string()),
  pull: z.array(z.string()),
  advice: z.array(z.string()),
  /** Why an abrasive filled strand keeps out of spool changers. */
  changer: z.array(z.string()),
  cautions: z.array(caution),
  weak: z.array(z.string()),
  levers: depthLevers,
});

/** Twenty runs of one quantity against its limit, with its figures. */
const marginView = z.strictObject({
  share: z.string(),
  shareValue: z.number(),
  median: z.string(),
  range: z.string(),
  strip,
});

/** What the pictures of Feed are drawn from. Hours since the end of the drying, lengths along the tube in m. */
export const feedPicture = z.strictObject({
  /** The way as the campaign writes it, for editing. `assumed`: nobody told it, the card stands in. */
  pieces: z.array(z.strictObject({ kind: z.enum(['tube', 'bend']), text: z.string(), assumed: z.boolean() })),
  /** Things to hold a bend against: words, radius and spread as a campaign has them. */
  things: z.array(z.strictObject({ label: z.string(), radius: z.string(), spread: z.string() })),
  hours: z.array(z.number()),
  prints: printSpans,
  /** Straightening off the winding, then each bend in the order of the strand: strain as a share of what breaks it. */
  places: z.array(z.strictObject({ name: z.string(), margin: marginView })),
  /** Most runs have their least margin there: index among `places`. */
  first: z.number(),
  /** Strand that runs, in C, at places along the tube. */
  warmth: z.array(z.strictObject({ at: z.number(), running: z.number() })),
  /** What it cools to, in C. */
  room: z.number(),
  boxWords: z.string(),
  driveWords: z.string(),
  stoppedWords: z.string(),
  /** Per cent: strain where the margin is least, and strain that breaks the strand there. */
  strain: bandWithGaps,
  breaks: bandWithGaps,
  /** How far the winding has shrunk, a row a print. */
  winding: z.array(z.strictObject({ plate: z.string(), from: z.string(), to: z.string() })),
  /** Pull of the way against what the drive holds. */
  pull: marginView,
  /** The finding of the curves in one sentence. */
  strainWords: z.string(),
});

/** What the pictures of Stay dry mark beside their curves. */
export const stayDryPicture = z.strictObject({
  /** The greatest water at the nozzle: where on the middle curve, and what is said of it. */
  greatest: z.strictObject({ hour: z.number(), water: z.number(), words: z.string() }),
  /** Times between two prints, with the strand that comes first when printing goes on. */
  waits: z.array(
    z.strictObject({
      words: z.string(),
      from: z.number(),
      to: z.number(),
      span: z.string(),
      first: z.string(),
      behind: z.string(),
      mend: z.string(),
    }),
  ),
});

export const linkState = z.enum(['not computed yet', 'computing', 'done', 'failed']);

export const link = z.strictObject({
  name: z.string(),
  question: z.string(),
  state: linkState,
  /** Set when the link failed or cannot be computed: the sentence that says why. */
  failure: z.string().nullable(),
  weakest: z.boolean(),
  /** A leading input was not said: dots are drawn as outlines. */
  assumed: z.boolean(),
  assumedWords: z.string().nullable(),
  /** Share of the ruling check, "84 %". */
  share: z.string(),
  shareValue: z.number().nullable(),
  /** "comes off >98 %, counts 84 %" */
  answers: z.string(),
  /** The check that rules, and all of them. */
  ruling: check.nullable(),
  checks: z.array(check),
  /** "All 2 checks: 62 %", only where it differs from the ruling share by more than a point. */
  together: z.string().nullable(),
  /** The plan as it stands while another is tried: drawn above, on the same axis. */
  before: check.nullable(),
  /** Width of the necked bar, 0..1. */
  width: z.number(),
  cracked: z.boolean(),
  nothingToChange: z.boolean(),
  ways: z.array(way),
  /** "Least known: water from the bag, 41 % of this spread. ..." */
  leastKnown: z.strictObject({ input: z.string(), share: z.string(), measure: z.string() }).nullable(),
  dry: dryDepth.nullable(),
  stayDry: stayDryDepth.nullable(),
  feed: feedDepth.nullable(),
  stayDryPicture: stayDryPicture.nullable(),
  feedPicture: feedPicture.nullable(),
});

/** Twenty runs through the chain in job order. `lostAt`: ends there. `spoiledAt`: runs on thin from there. */
export const runs = z.strictObject({
  threads: z.array(z.strictObject({ lostAt: z.string().nullable(), spoiledAt: z.string().nullable() })),
  lost: z.array(z.strictObject({ link: z.string(), count: z.number() })),
  spoiled: z.array(z.strictObject({ link: z.string(), count: z.number() })),
  counts: z.number(),
  comeOff: z.number(),
});

export const problemView = z.strictObject({
  sentence: z.string(),
  file: z.string().nullable(),
  line: z.number().nullable(),
  level: z.enum(['stop', 'note']),
});

export const chain = z.strictObject({
  campaign: z.string(),
  invented: z.boolean(),
  bars: z.number(),
  plates: z.number(),
  state: z.enum(['computing', 'done', 'stopped', 'failed']),
  headline: z.string(),
  /** The sentence under it: what spoils most, and what the smallest change would do. */
  sentence: z.string(),
  /** Which links the two answers speak for, while some are not computed yet. */
  scope: z.string(),
  draws: z.number(),
  seed: z.number(),
  links: z.array(link),
  runs: runs.nullable(),
  /** What was changed against the plan as it stands. */
  trying: z.array(z.string()),
  problems: z.array(problemView),
});

/** One input with its spread and source, for the page Inputs. */
export const input = z.strictObject({
  key: z.string(),
  words: z.string(),
  value: z.string(),
  range: z.string(),
  from: z.enum(['Yours', 'Published', 'Practice', 'Assumed']),
  source: z.string(),
  card: z.string(),
  link: z.string(),
  /** Share of its link's spread, 0..1; null where the link is not computed yet. */
  share: z.number().nullable(),
  shareWords: z.string(),
  /** Five points of its spread for the strip on its card: 5, 25, 50, 75, 95 %. */
  quantiles: z.array(z.number()).nullable(),
  /** Campaign path where it may be entered; null where the card alone holds it. */
  path: z.string().nullable(),
  measure: z.string().nullable(),
});
export const inputs = z.strictObject({ headline: z.string(), sentence: z.string(), inputs: z.array(input) });

/** What a print asks of the kit, from its G-code. */
export const print = z.strictObject({
  file: z.string(),
  /** Plate of the campaign that is made from this file; null before there is a campaign. */
  plate: z.string().nullable(),
  /** "4 h 10 min", "20" and "6 flat" for the row of the table of prints; a dash where the file does not say. */
  time: z.string(),
  layers: z.string(),
  bars: z.string(),
  usable: z.boolean(),
  headline: z.string(),
  facts: z.array(z.strictObject({ what: z.string(), value: z.string() })),
  sheet: z.strictObject({
    /** mm; what the tool path covers, from above, door side at the bottom. */
    box: z.tuple([z.number(), z.number(), z.number(), z.number()]),
    parts: z.array(
      z.strictObject({
        number: z.number(),
        kind: z.enum(['bar', 'support', 'low', 'other']),
        words: z.string(),
        box: z.tuple([z.number(), z.number(), z.number(), z.number()]),
        /** Outline polygons in mm. */
        outline: z.array(z.array(z.tuple([z.number(), z.number()]))),
        orientation: z.string().nullable(),
        rows: z.array(z.strictObject({ what: z.string(), value: z.string() })),
      }),
    ),
  }),
  ending: z.string(),
  problems: z.array(problemView),
  /** With a campaign: ten lines, same or different. */
  against: z
    .array(
      z.strictObject({
        what: z.string(),
        file: z.string(),
        plan: z.string(),
        answer: z.enum(['same', 'different', 'not in file', 'not in plan']),
      }),
    )
    .nullable(),
});

/** One of the eight questions of the first run; `answers` are put into a campaign by the server. */
export const question = z.strictObject({
  id: z.string(),
  words: z.string(),
  help: z.string(),
  fields: z.array(
    z.strictObject({
      id: z.string(),
      label: z.string(),
      /**
       * `picture` is a choice whose values coin, cup and plate are drawn. `bars` is one field a file: the label is
       * the file's name, the value says what each part on its drawing is ("1 flat, 2 upright, 3 no bar"), the
       * choices are what a part may be.
       */
      kind: z.enum(['text', 'choice', 'picture', 'bars']),
      choices: z.array(z.strictObject({ value: z.string(), label: z.string() })),
      /** Pre-filled text; empty: nothing. */
      value: z.string(),
      /** Form of a text, such as "750 g"; empty: none. */
      hint: z.string(),
    }),
  ),
});

export const campaignSummary = z.strictObject({
  id: z.string(),
  name: z.string(),
  invented: z.boolean(),
  bars: z.number(),
  plates: z.number(),
  problems: z.array(problemView),
});

export type Strip = z.infer<typeof strip>;
export type CheckView = z.infer<typeof check>;
export type WayView = z.infer<typeof way>;
export type DryDepth = z.infer<typeof dryDepth>;
export type StayDryDepth = z.infer<typeof stayDryDepth>;
export type FeedDepth = z.infer<typeof feedDepth>;
export type StayDryPicture = z.infer<typeof stayDryPicture>;
export type FeedPicture = z.infer<typeof feedPicture>;
export type LinkView = z.infer<typeof link>;
export type RunsView = z.infer<typeof runs>;
export type ProblemView = z.infer<typeof problemView>;
export type ChainView = z.infer<typeof chain>;
export type InputView = z.infer<typeof input>;
export type InputsView = z.infer<typeof inputs>;
export type PrintView = z.infer<typeof print>;
export type QuestionView = z.infer<typeof question>;
export type CampaignSummary = z.infer<typeof campaignSummary>;
