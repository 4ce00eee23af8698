import type { Job } from '../../job.ts';
import type { Draws } from '../draws.ts';

/** The chain in job order; the names are the same in files, kernels, screens and commits. */
export const LINK_NAMES = ['Dry', 'Stay dry', 'Feed', 'Hot end', 'Layers', 'Hold', 'Hands', 'Shape'] as const;
export type LinkName = (typeof LINK_NAMES)[number];

/** `comes off`: no lost day. `counts`: of those that come off, fit to compare. */
export type Answer = 'comes off' | 'counts';

/**
 * One check of a link. `margin` holds where it is 1 or more, one value a draw. `quantity` is what people see, in SI,
 * one value a draw, on the scale of `limit`: for "at most" the margin is limit/quantity where the limit is certain.
 */
export type Check = Readonly<{
  name: string;
  answer: Answer;
  margin: Float64Array;
  /** Chance that nothing random happens, where the check is a hazard; 1 where it is missing. */
  chance?: Float64Array;
  quantity: string;
  unit: string;
  values: Float64Array;
  limit: number;
  side: 'at most' | 'at least';
}>;

/** Curves along one axis (seconds, mm ...), one row a draw: `rows[point + points * draw]`. */
export type Trace = Readonly<{ axis: Float64Array; rows: Float64Array }>;

/** Further numbers of each draw, for a link that goes on from here: `rows[k + width * draw]`. */
export type Carried = Readonly<{ width: number; rows: Float64Array }>;

/** What a link finds for some draws: plain data that crosses to a worker and can be put end to end. */
export type Assessment = Readonly<{
  checks: readonly Check[];
  traces: Readonly<Record<string, Trace>>;
  /** Further figures, one a draw, that screens and later links read by name. */
  figures: Readonly<Record<string, Float64Array>>;
  carried?: Readonly<Record<string, Carried>>;
}>;

/** Results of the links before, for a link that starts where another ended. */
export type Earlier = Readonly<Partial<Record<LinkName, Assessment>>>;

/** One single step that a person can take: where in the campaign it is said, the new value in SI (or a word). */
export type Lever = Readonly<{
  /** Kind of step, such as `longer` or `hotter`; its words stand in src/report. */
  id: string;
  changes: readonly Readonly<{ path: string; value: number | string; unit: string }>[];
  /** What it costs, before the prices card: hands of the person in s, and whether something must be got. */
  hands: number;
  bought: boolean;
}>;

/** Share of the work done, 0..1; throws to stop it. */
export type Progress = (share: number) => void;

export type Link = Readonly<{
  name: LinkName;
  /** Parts of the job that it reads beside the entries whose cards name it. */
  sections: readonly (keyof Job)[];
  /** Links from whose findings, in the same draws, it starts. They stand before it in the chain. */
  after?: readonly LinkName[];
  /** Unknowns that it reads for this job: what its spread may come from. */
  reads(job: Job): readonly string[];
  assess(job: Job, draws: Draws, earlier: Earlier, progress: Progress): Assessment;
  levers(job: Job): readonly Lever[];
}>;

/** Puts the shares of several workers end to end, in the order of the draws. */
export function join(parts: readonly Assessment[]): Assessment {
  const [first] = parts;
  if (!first) throw new Error('no parts to join');
  const end = (pick: (part: Assessment) => Float64Array) => concatenate(parts.map(pick));
  return {
    checks: first.checks.map((check, k) => ({
      ...check,
      margin: end((part) => part.checks[k]!.margin),
      values: end((part) => part.checks[k]!.values),
      ...(check.chance ? { chance: end((part) => part.checks[k]!.chance!) } : {}),
    })),
    traces: mapValues(first.traces, (trace, name) => ({
      axis: trace.axis,
      rows: end((part) => part.traces[name]!.rows),
    })),
    figures: mapValues(first.figures, (_, name) => end((part) => part.figures[name]!)),
    ...(first.carried
      ? {
          carried: mapValues(first.carried, ({ width }, name) => ({
            width,
            rows: end((part) => part.carried![name]!.rows),
          })),
        }
      : {}),
  };
}

/** The share of some draws, counted from the first that is there: the inverse of {@link join}. */
export function sliceOf(whole: Assessment, from: number, to: number): Assessment {
  const part = (column: Float64Array, width = 1) => column.slice(width * from, width * to);
  return {
    checks: whole.checks.map((check) => ({
      ...check,
      margin: part(check.margin),
      values: part(check.values),
      ...(check.chance ? { chance: part(check.chance) } : {}),
    })),
    traces: mapValues(whole.traces, ({ axis, rows }) => ({ axis, rows: part(rows, axis.length) })),
    figures: mapValues(whole.figures, (column) => part(column)),
    ...(whole.carried
      ? {
          carried: mapValues(whole.carried, ({ width, rows }) => ({ width, rows: part(rows, width) })),
        }
      : {}),
  };
}

function concatenate(pieces: readonly Float64Array[]): Float64Array {
  const whole = new Float64Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

function mapValues<A, B>(
  record: Readonly<Record<string, A>>,
  map: (value: A, key: string) => B,
): Record<string, B> {
  return Object.fromEntries(Object.entries(record).map(([key, value]) => [key, map(value, key)]));
}
