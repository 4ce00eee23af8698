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
      points: first.x.map((x, k) => [Number(x.toPrecision(5)), Number(first.y[k]!.toPrecision(5))]),
      xLabel: roles.has('strain')
        ? 'strain'
        : roles.has('extension')
          ? 'extension, m'
          : roles.has('grip')
            ? 'travel of the grips, m'
            : 'time, s',
      yLabel: roles.has('force') ? 'force, N' : 'stress, Pa',
    },
    roles: (Object.keys(ROLE_NAMES) as Role[]).map((role) => ({
      role,
      words: ROLE_NAMES[role],
      units: unitsOfRole(role),
    })),
  };
}
