import type { Role } from './words.ts';

/** What came out of an export: plain data, SI inside (N, m, s, Pa, shares). */

export type Column = Readonly<{
  /** From 0, in the file. */
  index: number;
  heading: string;
  role: Role;
  /** As in the file, such as "kN"; null where the role has none. */
  unit: string | null;
  /** What the role rests on. */
  from: 'words' | 'unit' | 'numbers' | 'person' | 'none';
  evidence: string;
}>;

export type Measures = Readonly<{
  width: number | null;
  thickness: number | null;
  gaugeLength: number | null;
  gripDistance: number | null;
}>;

export type Channel =
  | 'time'
  | 'force'
  | 'stress'
  | 'grip'
  | 'extension'
  | 'strain'
  | 'transverse'
  | 'transverseStrain';

/** One bar as the machine recorded it; all channels have the same length, NaN where nothing was recorded. */
export type RecordedBar = Readonly<{
  name: string;
  /** Whether the name stands in the file; else it was made from the file's name or the bar's place in it. */
  named: boolean;
  lineFirst: number;
  lineLast: number;
  measures: Measures;
  channels: Readonly<Partial<Record<Channel, Float64Array>>>;
  /** Rows left out because they have no force. */
  rowsWithoutForce: number;
  /** Force was recorded as negative and turned. */
  turned: boolean;
}>;

/** What the reader must not settle alone. */
export type Question = Readonly<{
  code:
    | 'roles'
    | 'unit'
    | 'twice'
    | 'decimal'
    | 'strain-scale'
    | 'force-scale'
    | 'extension'
    | 'stress-only'
    | 'cut';
  sentence: string;
  /** Columns it is about, from 0. */
  columns: readonly number[];
}>;

/** Roles and units of the columns under a fingerprint of headings and width, to be proposed for the next file. */
export type Layout = Readonly<{
  fingerprint: string;
  decimal: '.' | ',';
  columns: readonly Readonly<{ role: Role; unit: string | null }>[];
}>;

export type Reading = Readonly<{
  file: string;
  encoding: string;
  delimiter: string;
  decimal: string;
  /** Why encoding, signs and bars were read so, a sentence each. */
  evidence: readonly string[];
  /** Columns of the first table. */
  columns: readonly Column[];
  rowsFirst: readonly (readonly string[])[];
  bars: readonly RecordedBar[];
  /** One for each kind of table in the file. */
  layouts: readonly Layout[];
  questions: readonly Question[];
  notes: readonly string[];
}>;
