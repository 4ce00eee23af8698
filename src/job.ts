/**
 * The job: everything a link may read, in SI, frozen. Types alone, so that readers (campaign, cards) and the
 * engine agree on one shape without knowing each other. Shares are 0..1, temperatures kelvin, times seconds.
 */

/** How an unknown is spread about its value; `u` is its standard normal (cards/README.md, section 2). */
export type Law =
  | { kind: 'fixed' }
  /** value + sd u, held within low..high. */
  | { kind: 'normal'; sd: number; low?: number; high?: number }
  /** value factor^u, held within low..high. */
  | { kind: 'factor'; factor: number; low?: number; high?: number }
  /** low + (high - low) Phi(u). */
  | { kind: 'even'; low: number; high: number }
  | { kind: 'triangle'; low: number; peak: number; high: number }
  /** A chance known by counting: Beta(hits, of - hits). */
  | { kind: 'count'; hits: number; of: number }
  /** Computed in each draw from the named entries; no column of its own. */
  | { kind: 'follows'; keys: readonly string[]; by: string };

/** A property by temperature or the like; no extrapolation: beyond the ends the end value holds. */
export type Table = Readonly<{
  xs: readonly number[];
  ys: readonly number[];
  between: 'straight' | 'straight in ln';
}>;

export type Sharing = 'kit' | 'material' | 'spool' | 'surroundings' | 'run';

/** Where the value in force comes from. `assumed`: nobody said it, the card's wide spread is used. */
export type Origin = 'card' | 'own card' | 'campaign' | 'assumed';

/** One card entry as the campaign uses it. `key` is `kind.name`, such as `strand.melts at`. */
export type Entry = Readonly<{
  key: string;
  /** The card it stands on, such as `strand/pa6-cf-15`. */
  card: string;
  /** SI. Words where a law is chosen (`Arrhenius`, `bed`). Null: asked, not said, and no fallback exists. */
  value: number | string | Table | null;
  /** The unit as people see it on the card, such as `C` or `wt %`; empty for plain numbers and words. */
  unit: string;
  law: Law;
  sharing: Sharing;
  source: string;
  readBy: readonly string[];
  from: Origin;
  /** Where the campaign may say it, such as `kit.dryer.at`; absent: the card alone holds it. */
  path?: string;
  /** Its column of draws, where that is another entry's: a box that is the dryer has the dryer's columns. */
  column?: string;
}>;

/**
 * A stretch of time that the spool spends somewhere before or between prints. `entries` are those of the place's card
 * (`box.*`, `desiccant.*`; the room is the card of an open holder), which may not be the box that the prints use.
 */
export type Stay = Readonly<{
  in: 'room' | 'box' | 'dryer';
  time: number;
  entries: Readonly<Record<string, Entry>>;
}>;

/** The drying that is planned before the first print. */
export type Drying = Readonly<{
  time: number;
  /** Turn the spool over every so many seconds; null: never. */
  flipEvery: number | null;
  /** True where the campaign did not say how long. */
  assumed: boolean;
  /** Readings of the scale (spool and strand together, kg), with the time since the drying began. */
  weighings: readonly Readonly<{ at: number; mass: number }>[];
}>;

export type Orientation = 'flat' | 'on edge' | 'upright';

export type Group = Readonly<{ name: string; bar: string; orientation: Orientation; bars: number }>;

/** One print: where its tool path comes from, and which bar lies where. */
export type Plate = Readonly<{
  name: string;
  /** Round of printing that it belongs to, where plates were printed in rounds of one orientation each. */
  round?: string;
  print:
    | { kind: 'gcode'; file: string; member?: string; relative?: boolean }
    | { kind: 'made'; layer: number; bead: number; flow: number; supports: boolean }
    | null;
  /** `id` for life, such as `A1`; `part` counts the parts found in the file; `group` null: nobody said yet. */
  bars: readonly Readonly<{
    id: string;
    part: number | null;
    group: string | null;
    /** Middle of the bar on the sheet, m. */
    at?: readonly [number, number];
  }>[];
}>;

/**
 * What a plate asks of the strand, in the order in which plates are printed. `from` tells where the figures come from:
 * its `file`, the print that the campaign describes (`made`), or nobody (`assumed`).
 */
export type Print = Readonly<{
  plate: string;
  /** When it starts, since the end of the drying, and how long it prints [s]. */
  start: number;
  time: number;
  /** Strand that it lays [kg], and how fast [m3/s]. */
  mass: number;
  flow: number;
  from: 'file' | 'made' | 'assumed';
}>;

/**
 * A reading of the scale after the drying (spool and strand together, kg). `at`: since the end of the drying [s], null
 * where no drying is booked. `plate`: the last one that had come off, where that was said.
 */
export type Weighing = Readonly<{ at: number | null; mass: number; plate: string | null }>;

/** Where the strand is while nothing prints: it stands in the tube, its end is cut off after, it is drawn back. */
export type BetweenPrints = 'left in the tube' | 'cut off' | 'drawn back';

/** What was done, weighed or seen, in the order of time. `at` is an instant in ISO text, UTC. */
export type Event = Readonly<{
  at: string;
  kind: 'did' | 'weighed' | 'saw';
  /** What was done or seen in words; the mass in kg for a weighing. */
  what: string | number;
  plate?: string;
  bar?: string;
}>;

/** How a bar was kept before it was broken: part of the name of its number. */
export type Conditioning = 'dry as printed' | '23/50' | 'accelerated' | 'wet';

/** One bar as measured and broken. Readings in m, kg; `null` and empty: nobody said. */
export type TestedBar = Readonly<{
  id: string;
  called: string | null;
  width: readonly number[];
  thickness: readonly number[];
  /** Section that stands in place of width times thickness [m2]. */
  area: Readonly<{ value: number; u: number | null }> | null;
  mass: number | null;
  conditioning: Conditioning | null;
  /** Reason from the list of the standard, by a person, with a note. */
  leftOut: string | null;
  note: string | null;
  spare: boolean;
}>;

/** The tensile test, as far as the campaign tells of it. */
export type Test = Readonly<{
  on: string | null;
  conditioning: Conditioning | null;
  kept: string | null;
  climate: Readonly<{ temperature: number; humidity: number }> | null;
  /** Crosshead, m/s. */
  speed: Readonly<{ modulus: number | null; rest: number | null }>;
  gaugeLength: number | null;
  gripDistance: number | null;
  grips: string | null;
  toe: 'from the curve' | 'as read';
  /** Files of curves, by their names from the campaign's folder. */
  curves: readonly string[];
  bars: readonly TestedBar[];
}>;

export type Settings = Readonly<{
  nozzle?: number;
  bed?: number;
  fan?: Readonly<{ least: number; most: number }>;
  retract?: Readonly<{ length: number; speed: number }>;
  layer?: number;
}>;

/** `corners and mid`: also in the middle of the two edges that the bars point at. A list: places on the sheet, m. */
export type Clamps = 'none' | 'corners' | 'mid' | 'corners and mid' | readonly (readonly [number, number])[];

/** A piece of the strand's way from the winding to the drive: a length of tube (m), or a bend (m, radian). */
export type Piece =
  | Readonly<{ kind: 'tube'; length: number }>
  | Readonly<{ kind: 'bend'; radius: number; angle: number }>;

/** What of the kit is no number with a spread. Null: nobody said. */
export type Kit = Readonly<{
  /** Card in force by kind, and whether the campaign named it. */
  cards: Readonly<Record<string, Readonly<{ name: string; from: 'campaign' | 'assumed' }>>>;
  sheet: Readonly<{ size: readonly [number, number] | null; clamps: Clamps | null; glue: boolean | null }>;
  /** In the order from the winding; empty where nobody said: then `path.length` and `path.tightest bend` are assumed. */
  path: readonly Piece[];
  /** A dry sorbent lies in the box. */
  desiccant: boolean;
  /** The strand is fed straight from the dryer: the box is the dryer. */
  fedFromDryer: boolean;
}>;

export type Job = Readonly<{
  campaign: string;
  /** Folder of the campaign file: relative names start here. */
  folder: string;
  /** True for the example we ship: every screen says that it is invented. */
  invented: boolean;
  question: Readonly<{
    compare: readonly string[];
    measure: string;
    smallestDifference: number | null;
    power: number;
  }> | null;
  want: Readonly<{ comesOff: number; counts: number; finishBy: string | null }>;
  people: Readonly<{
    zone: string;
    /** Days of the week 1 (Monday) to 7; seconds since midnight, `to` after `from`. */
    there: readonly Readonly<{ days: readonly number[]; from: number; to: number }>[];
    /** Days off, `2027-02-26`. */
    away: readonly string[];
  }> | null;
  /** Every entry of every chosen card, by key, with what the campaign says put in. */
  entries: Readonly<Record<string, Entry>>;
  kit: Kit;
  /** Null: nobody said; it is left in the tube then. */
  betweenPrints: BetweenPrints | null;
  sinceOpened: readonly Stay[];
  drying: Drying;
  /** After the drying, in the order of time. */
  weighings: readonly Weighing[];
  /** Instant at which the drying that is followed began; null: none is booked. */
  dryingBegan: string | null;
  groups: readonly Group[];
  plates: readonly Plate[];
  /** Empty until the plates' files are read. */
  prints: readonly Print[];
  events: readonly Event[];
  settings: Settings;
  test: Test;
}>;
