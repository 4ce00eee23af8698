import type { Headings } from './headings.ts';
import type { Column, Layout, Question } from './reading.ts';
import { isClock, type Signs, signsOf } from './signs.ts';
import type { Run } from './table.ts';
import { headingParts, type Role, roleOf, rolesNamed, type Unit, unitByName, usualUnit } from './words.ts';

/**
 * What each column of a table is: by the words of its heading, else by its unit, else by its numbers. A guess from
 * numbers and a missing unit are questions.
 */

export type Columns = Readonly<{
  columns: readonly Column[];
  units: readonly (Unit | null)[];
  /** What is left of each heading without the words of roles: a name, where bars stand side by side. */
  rests: readonly string[];
  questions: readonly Question[];
}>;

/** A strain above this without a unit is taken as per cent: no bar of these materials is drawn to 30 % in the ratio's sense unnoticed. */
const STRAIN_RATIO_MOST = 0.3;

type Draft = { role: Role; unit: Unit | null; from: Column['from']; evidence: string; rest: string };

export function columnsOf(run: Run, headings: Headings, layout: Layout | undefined): Columns {
  const confirmed = layout !== undefined && layout.columns.length === run.width;
  const drafts: Draft[] = Array.from({ length: run.width }, (_, index) =>
    confirmed
      ? fromPerson(layout.columns[index]!)
      : fromHeading(headings.labels[index]!, headings.units[index]!, run.names?.column === index),
  );
  const questions: Question[] = [];
  if (!confirmed) {
    const guessed = guessRest(drafts, run, headings);
    if (guessed.length > 0)
      questions.push({
        code: 'roles',
        sentence: `Which column is which? ${guessed
          .map((index) => `column ${index + 1} is taken as ${ROLE_NAMES[drafts[index]!.role]}`)
          .join(', ')}, from the numbers alone.`,
        columns: guessed,
      });
    questions.push(...missingUnits(drafts, run, headings));
  }
  return {
    columns: drafts.map(({ role, unit, from, evidence }, index) => ({
      index,
      heading: headings.texts[index]!,
      role,
      unit: unit?.name ?? null,
      from,
      evidence,
    })),
    units: drafts.map(({ unit }) => unit),
    rests: drafts.map(({ rest }) => rest),
    questions,
  };
}

export const ROLE_NAMES: Readonly<Record<Role, string>> = {
  id: 'the name of the bar',
  time: 'time',
  force: 'force',
  stress: 'stress',
  grip: 'travel of the grips',
  extension: 'extension',
  strain: 'strain',
  transverse: 'change of width',
  other: 'something else',
};

function fromPerson(given: { role: Role; unit: string | null }): Draft {
  return {
    role: given.role,
    unit: given.unit === null ? null : unitByName(given.unit),
    from: 'person',
    evidence: 'confirmed for this layout',
    rest: '',
  };
}

function fromHeading(label: string, unit: Unit | null, holdsWords: boolean): Draft {
  const found = roleOf(label, unit);
  if (holdsWords) {
    const clock = found?.role === 'time';
    return clock
      ? { role: 'other', unit: null, from: 'words', evidence: 'a clock time in words', rest: '' }
      : { role: 'id', unit: null, from: 'words', evidence: 'words in every row', rest: '' };
  }
  if (found !== null) {
    // An extension with a strain unit is a strain; a strain with a length unit is an extension.
    const role =
      found.role === 'extension' && unit?.dimension === 'strain'
        ? 'strain'
        : found.role === 'strain' && unit?.dimension === 'length'
          ? 'extension'
          : found.role;
    const by = unit === null ? '' : ` and the unit ${unit.name}`;
    return { role, unit, from: 'words', evidence: `"${found.found}" in the heading${by}`, rest: found.rest };
  }
  const named = rolesNamed(label).length > 0;
  const byUnit: Partial<Record<string, Role>> = {
    force: 'force',
    stress: 'stress',
    time: 'time',
    strain: 'strain',
  };
  const role = unit === null || named ? undefined : byUnit[unit.dimension];
  return role === undefined
    ? { role: 'other', unit, from: 'none', evidence: 'nothing said', rest: label }
    : { role, unit, from: 'unit', evidence: `the unit ${unit!.name} alone`, rest: label };
}

/**
 * Gives roles to columns that neither words nor units name, when force or every strain and travel is missing: the
 * clock by even steps upward, force by the collapse, the rest travel (goes on rising) or extension (springs back).
 */
function guessRest(drafts: Draft[], run: Run, headings: Headings): number[] {
  const has = (...roles: Role[]) => drafts.some(({ role }) => roles.includes(role));
  const forceMissing = !has('force', 'stress');
  if (!forceMissing && has('grip', 'extension', 'strain')) return [];
  const open = drafts.flatMap((draft, index) =>
    draft.role === 'other' &&
    draft.from === 'none' &&
    (draft.unit === null || draft.unit.dimension === 'length') &&
    !isForeign(headings.texts[index]!, draft)
      ? [index]
      : [],
  );
  const signs = new Map<number, Signs>(open.map((index) => [index, signsOf(run.columns[index]!)]));
  const left = new Set(open.filter((index) => signs.get(index)!.count >= run.count / 2));
  const give = (index: number, role: Role, evidence: string) => {
    drafts[index] = { ...drafts[index]!, role, from: 'numbers', evidence };
    left.delete(index);
  };
  const unitless = [...left].filter((index) => drafts[index]!.unit === null);
  if (!has('time')) {
    const clock = unitless.find((index) => isClock(run.columns[index]!));
    // Two clocks: a grip that moves evenly looks like one as well. The first is time, as exports have it.
    if (clock !== undefined && left.size > 1) give(clock, 'time', 'even steps upward');
  }
  if (forceMissing) {
    const collapse = [...left]
      .filter((index) => drafts[index]!.unit === null)
      .sort((a, b) => signs.get(a)!.endShare - signs.get(b)!.endShare)[0];
    if (collapse !== undefined) {
      const falls = signs.get(collapse)!.endShare < 0.5;
      const biggest = [...left].sort((a, b) => signs.get(b)!.max - signs.get(a)!.max)[0]!;
      give(falls ? collapse : biggest, 'force', falls ? 'it collapses at the break' : 'the greatest numbers');
    }
  }
  for (const index of [...left]) {
    const { fallShare, endShare } = signs.get(index)!;
    const back = fallShare > 0 && endShare < 0.9;
    if (back && !has('extension', 'strain')) give(index, 'extension', 'it springs back at the break');
    else if (!has('grip')) give(index, 'grip', 'it goes on rising');
  }
  return open.filter((index) => !left.has(index));
}

/** A heading that says something else, such as a temperature: no candidate for a guess beside columns that are named. */
function isForeign(text: string, draft: Draft): boolean {
  const { name } = headingParts(text);
  return draft.unit === null && name !== '' && /[([{]/.test(text);
}

/** Units that are not said: the usual ones are taken and asked about. */
function missingUnits(drafts: Draft[], run: Run, headings: Headings): Question[] {
  return drafts.flatMap((draft, index) => {
    if (draft.unit !== null || draft.role === 'other' || draft.role === 'id') return [];
    let unit = usualUnit(draft.role);
    let why = 'the usual one';
    if (draft.role === 'strain' && signsOf(run.columns[index]!).max > STRAIN_RATIO_MOST) {
      unit = unitByName('%');
      why = `for it passes ${STRAIN_RATIO_MOST}`;
    }
    draft.unit = unit;
    const heading = headings.texts[index] === '' ? '' : ` "${headings.texts[index]}"`;
    return [
      {
        code: 'unit' as const,
        sentence: `Which unit has column ${index + 1}${heading}? None is given; ${unit?.name} is taken, ${why}.`,
        columns: [index],
      },
    ];
  });
}
