import { oddities } from '../curves/plausible.ts';
import { readCurves } from '../curves/read.ts';
import type { Layout, Question, Reading } from '../curves/reading.ts';
import { signsOf } from '../curves/signs.ts';
import { Refusal } from '../kernel.ts';
import { type BarFacts, type BarResult, sizesOf, type TestFacts } from './bar.ts';
import { barNamed } from './bar-names.ts';
import { type CurvePath, curvePath } from './curve-path.ts';
import { reduceBar } from './reduce-bar.ts';

/** One file of curves with what was read from it, without the readings themselves: plain and small. */
export type FileResults = Readonly<{
  file: string;
  /** SHA-256 of the bytes as they came. */
  hash: string;
  bytes: number;
  reading: Omit<Reading, 'bars'>;
  /** Bars in the file: their name, lines and greatest force [N], and the bar of the campaign that is meant. */
  recorded: readonly Readonly<{
    name: string;
    named: boolean;
    lineFirst: number;
    lineLast: number;
    readings: number;
    greatestForce: number | null;
    bar: string | null;
  }>[];
  /** Force or stress of the first bar against what it was strained by, as read, for a look before anything is kept. */
  first: CurvePath;
  results: readonly BarResult[];
  /** What the reader must not settle alone, what is odd about bars with their sections among it. */
  questions: readonly Question[];
  /** Bars of the campaign that have a curve here and no number, and why. */
  without: readonly Readonly<{ bar: string; sentence: string }>[];
}>;

/**
 * Reads a file of curves and reduces every bar in it that the campaign knows.
 *
 * @param layouts those that a person has confirmed
 * @throws Refusal in one sentence on a file that cannot be read as curves
 */
export function fileResults(
  file: Readonly<{ name: string; raw: Uint8Array; hash: string }>,
  bars: readonly BarFacts[],
  test: TestFacts,
  options: Readonly<{
    layouts: readonly Layout[];
    density: number | null;
    progress?: (share: number) => void;
  }>,
): FileResults {
  const { layouts, density, progress } = options;
  const { bars: records, ...reading } = readCurves(file.name, file.raw, {
    layouts,
    progress: (share) => progress?.(0.6 * share),
  });
  const questions = new Map(reading.questions.map((question) => [question.sentence, question]));
  const results: BarResult[] = [];
  const without: { bar: string; sentence: string }[] = [];
  const recorded = records.map((record, k) => {
    progress?.(0.6 + (0.4 * k) / records.length);
    const facts = barNamed(record.name, bars);
    if (facts !== null) {
      const origin = {
        file: file.name,
        hash: file.hash,
        lineFirst: record.lineFirst,
        lineLast: record.lineLast,
        name: record.name,
      };
      try {
        const result = reduceBar(facts, record, origin, test, density);
        results.push(result);
        const type = sizesOf(facts.type);
        const [gauge, grips] = [test.gaugeLength ?? type.gaugeLength, test.gripDistance ?? type.gripDistance];
        for (const question of oddities(record, reading.columns, result.section, gauge, grips))
          questions.set(question.sentence, question);
      } catch (error) {
        if (!(error instanceof Refusal)) throw error;
        without.push({ bar: facts.bar, sentence: error.message });
      }
    }
    const { force, stress } = record.channels;
    return {
      name: record.name,
      named: record.named,
      lineFirst: record.lineFirst,
      lineLast: record.lineLast,
      readings: (force ?? stress)!.length,
      greatestForce: force === undefined ? null : signsOf(force).max,
      bar: facts?.bar ?? null,
    };
  });
  return {
    file: file.name,
    hash: file.hash,
    bytes: file.raw.length,
    reading,
    recorded,
    first: firstLook(records[0]!.channels),
    results,
    questions: [...questions.values()],
    without,
  };
}

/** The first curve as read, whichever channel it has to be drawn over. */
function firstLook(channels: ReturnType<typeof readCurves>['bars'][number]['channels']): CurvePath {
  const y = (channels.force ?? channels.stress)!;
  const x = channels.strain ?? channels.extension ?? channels.grip ?? channels.time;
  return curvePath(x ?? Float64Array.from(y, (_, i) => i), y, y.length);
}
