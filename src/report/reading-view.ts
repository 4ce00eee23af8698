import { ROLE_NAMES } from '../engine/curves/columns.ts';
import { type Role, unitsOfRole } from '../engine/curves/words.ts';
import type { FileResults } from '../engine/results/file-results.ts';
import { showQuantity } from '../units.ts';
import type { ReadingView } from './results-views.ts';

/** A file of curves before anything of it is kept: what it is taken for, on what evidence, and what is asked. */

/** @param known its layouts were confirmed before */
export function readingView(found: FileResults, known: boolean): ReadingView {
  const { file, hash, reading, recorded, first, questions } = found;
  const asked = new Set(questions.flatMap(({ columns }) => columns));
  const roles = new Set(reading.columns.map(({ role }) => role));
  const [xLabel, perUnit] = roles.has('strain')
    ? (['strain, %', 100] as const)
    : roles.has('extension')
      ? (['extension, mm', 1000] as const)
      : roles.has('grip')
        ? (['travel of the grips, mm', 1000] as const)
        : (['time, s', 1] as const);
  const isForce = roles.has('force');
  return {
    file,
    hash,
    known,
    columns: reading.columns.map(({ index, heading, role, unit, evidence }) => ({
      column: index + 1,
      heading,
      role,
      roleWords: ROLE_NAMES[role],
      unit,
      evidence,
      asked: asked.has(index),
    })),
    rows: reading.rowsFirst.map((row) => [...row]),
    decimal: reading.layouts[0]?.decimal ?? '.',
    evidence: [...reading.evidence],
    notes: [...reading.notes],
    questions: questions.map(({ sentence }) => sentence),
    bars: recorded.map(({ name, bar, lineFirst, lineLast, readings, greatestForce }) => ({
      name,
      bar,
      words: `${name}${bar === null ? ', no bar of this campaign' : bar === name ? '' : ` is ${bar}`}: lines ${lineFirst} to ${lineLast}, ${readings} readings${greatestForce === null ? '' : `, ${showQuantity(greatestForce, 'N')} at most`}`,
    })),
    first: {
      points: first.x.map((x, k) => [
        Number((perUnit * x).toPrecision(5)),
        Number((first.y[k]! / (isForce ? 1 : 1e6)).toPrecision(5)),
      ]),
      xLabel,
      yLabel: isForce ? 'force, N' : 'stress, MPa',
    },
    roles: (Object.keys(ROLE_NAMES) as Role[]).map((role) => ({
      role,
      words: ROLE_NAMES[role],
      units: unitsOfRole(role),
    })),
  };
}
