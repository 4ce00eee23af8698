import type { PrintSummary } from '../engine/gcode/summary.ts';
import type { TestFacts } from '../engine/results/bar.ts';
import type { FileResults } from '../engine/results/file-results.ts';
import type { PrintWater } from '../engine/results/print-water.ts';
import type { Asked, SeriesResult } from '../engine/results/results.ts';
import type { Job, Plate } from '../job.ts';

/** All that is known of a campaign's bars: what pages, terminal and report are made of. */
export type BarsFound = Readonly<{
  job: Job;
  test: TestFacts;
  asked: Asked;
  /** In the order of testing. */
  files: readonly FileResults[];
  plates: readonly Readonly<{ plate: Plate; file: string | null; print: PrintSummary | null }>[];
  /** Of the strand while a plate was printed, by the name of the plate; empty where it was not computed. */
  water: ReadonlyMap<string, PrintWater>;
  /** Why the water of the prints is not known; null where it is. */
  waterless: string | null;
  /** One for each condition. */
  series: readonly SeriesResult[];
  /** Bars of the plates that have no curve, and those that have one and no number, with the sentence why. */
  untested: readonly string[];
  without: readonly Readonly<{ bar: string; sentence: string }>[];
  /** Confidence of all intervals. */
  conf: number;
}>;
