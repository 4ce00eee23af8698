import type { Entry, Law } from '../job.ts';
import { betaQuantile } from './numerics/beta.ts';
import { normalQuantile, normalShare } from './numerics/normal.ts';
import { hashText, stratifiedPoint } from './numerics/random.ts';

/**
 * Draws: possible truths of everything that is not known. One column of standard normals per unknown, keyed by seed,
 * name and plate alone, so that a column does not depend on what else is asked for, and the first 2^k draws of a
 * longer ensemble are the same draws and a stratified sample [draws-1].
 */
export type DrawRange = Readonly<{ seed: number; from: number; to: number }>;

export class Draws {
  readonly range: DrawRange;
  readonly count: number;
  readonly #entries: Readonly<Record<string, Entry>>;
  readonly #columns = new Map<string, Float64Array>();

  constructor(entries: Readonly<Record<string, Entry>>, range: DrawRange) {
    if (!(range.to > range.from && range.from >= 0))
      throw new RangeError(`draws ${range.from} to ${range.to}`);
    this.range = range;
    this.count = range.to - range.from;
    this.#entries = entries;
  }

  /** Standard normals of one unknown, one a draw. `plate` is read only where the unknown is new in every run. */
  normals(key: string, plate = '-'): Float64Array {
    const own = this.#entries[key]?.sharing === 'run' ? plate : '-';
    const name = this.#entries[key]?.column ?? key;
    return this.#once(`u|${name}|${own}`, () => {
      const column = hashText(`${this.range.seed}|${name}|${own}`);
      return Float64Array.from({ length: this.count }, (_, i) =>
        normalQuantile(stratifiedPoint(this.range.from + i, column)),
      );
    });
  }

  /**
   * Values of one entry in SI, one a draw. A table gives the factor on the table.
   * @throws Error for an entry that is not there, holds a word, or is asked and was not said: the caller's fault
   */
  column(key: string, plate = '-'): Float64Array {
    const own = this.#entries[key]?.sharing === 'run' ? plate : '-';
    return this.#once(`v|${key}|${own}`, () => this.#make(key, plate));
  }

  has(key: string): boolean {
    const value = this.#entries[key]?.value;
    return value !== undefined && value !== null && typeof value !== 'string';
  }

  entry(key: string): Entry {
    const entry = this.#entries[key];
    if (!entry) throw new Error(`no card of this job has the entry "${key}"`);
    return entry;
  }

  /** The same unknowns for a part of the draws, such as one worker's share. */
  part(from: number, to: number): Draws {
    return new Draws(this.#entries, { seed: this.range.seed, from, to });
  }

  /** The same draws with some entries replaced, such as another place's: an unknown keeps its column of normals. */
  over(entries: Readonly<Record<string, Entry>>): Draws {
    return new Draws({ ...this.#entries, ...entries }, this.range);
  }

  #make(key: string, plate: string): Float64Array {
    const entry = this.entry(key);
    const ordered = ORDERED[key];
    const { value } = entry;
    if (entry.law.kind === 'follows') {
      const rule = FOLLOWS[key];
      if (!rule)
        throw new Error(`"${key}" follows ${entry.law.keys.join(', ')}: no rule is written for it yet`);
      return rule(
        (name) => this.column(name, plate),
        this.count,
        (name) => this.#nominal(name),
      );
    }
    if (value === null || typeof value === 'string')
      throw new Error(`"${key}" is ${value}: it has no numbers`);
    const centre = typeof value === 'number' ? value : 1;
    const { law } = entry;
    if (law.kind === 'fixed') return new Float64Array(this.count).fill(centre);
    const drawn = this.normals(key, plate).map((u) => fromNormal(centre, law, u));
    if (!ordered) return drawn;
    const least = this.column(ordered, plate);
    return drawn.map((x, i) => Math.max(x, least[i]!));
  }

  #nominal(key: string): number {
    const { value } = this.entry(key);
    if (typeof value !== 'number') throw new Error(`"${key}" has no single value`);
    return value;
  }

  #once(name: string, make: () => Float64Array): Float64Array {
    let column = this.#columns.get(name);
    if (!column) {
      column = make();
      this.#columns.set(name, column);
    }
    return column;
  }
}

/** Value of an unknown from its standard normal u: the laws of the cards' grammar [draws-2]. */
export function fromNormal(value: number, law: Exclude<Law, { kind: 'follows' }>, u: number): number {
  switch (law.kind) {
    case 'fixed':
      return value;
    case 'normal':
      return within(value + law.sd * u, law.low, law.high);
    case 'factor':
      return within(value * law.factor ** u, law.low, law.high);
    case 'even':
      return law.low + (law.high - law.low) * normalShare(u);
    case 'triangle': {
      const share = normalShare(u);
      const width = law.high - law.low;
      const rise = (law.peak - law.low) / width;
      return share < rise
        ? law.low + Math.sqrt(share * width * (law.peak - law.low))
        : law.high - Math.sqrt((1 - share) * width * (law.high - law.peak));
    }
    case 'count':
      return betaQuantile(normalShare(u), law.hits, law.of - law.hits);
  }
}

function within(x: number, low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY): number {
  return Math.min(Math.max(x, low), high);
}

/** Entries that may not fall below another in any draw (cards/README.md, section 2). */
const ORDERED: Readonly<Record<string, string>> = {
  'limits.visible': 'limits.strict',
  'strand.strain to break warm': 'strand.strain to break cold',
};

type Rule = (
  column: (key: string) => Float64Array,
  count: number,
  nominal: (key: string) => number,
) => Float64Array;

function each(count: number, value: (i: number) => number): Float64Array {
  return Float64Array.from({ length: count }, (_, i) => value(i));
}

const same =
  (key: string): Rule =>
  (column) =>
    column(key);

/** Entries that follow others, as their cards say in words; formulas of the rule of mixtures and of geometry. */
export const FOLLOWS: Readonly<Record<string, Rule>> = {
  'strand.density': (column, count) => {
    const share = column('strand.fibre share');
    const fibre = column('strand.fibre density');
    const polymer = column('strand.polymer density');
    return each(count, (i) => 1 / (share[i]! / fibre[i]! + (1 - share[i]!) / polymer[i]!));
  },
  'strand.fibre volume share': (column, count) => {
    const share = column('strand.fibre share');
    const fibre = column('strand.fibre density');
    const density = column('strand.density');
    return each(count, (i) => (share[i]! / fibre[i]!) * density[i]!);
  },
  'spool.winding radius': (column, count) => {
    const hub = column('spool.hub radius');
    const mass = column('spool.strand left');
    const width = column('spool.width of winding');
    const solid = column('spool.solid share of winding');
    const density = column('strand.density');
    return each(count, (i) =>
      Math.sqrt(hub[i]! ** 2 + mass[i]! / (density[i]! * solid[i]! * Math.PI * width[i]!)),
    );
  },
  // Prints take strand off the spool in the links that print; before the first print all of it is there.
  'spool.strand left': same('spool.net'),
  'box.temperature': same('room.temperature'),
  'strand.freezes at': same('strand.sets at'),
  'strand.flows above': (column) => column('strand.melts at').map((melts) => melts + 8),
  'printer.acceleration travelling': (column) =>
    column('printer.acceleration printing').map((a) => (5 / 3) * a),
};
