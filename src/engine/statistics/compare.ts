import { Refusal } from '../kernel.ts';
import { type Blocks, blocks } from './blocks.ts';
import { type Nested, nested } from './nested.ts';
import { welchAnova } from './one-way.ts';
import { type Rounds, rounds } from './rounds.ts';
import { groupsOf, namesOf, type Row, unconnected } from './rows.ts';

export type Analysis = 'mixed' | 'rounds' | 'nested' | 'none';

export type Comparison = Readonly<{
  analysis: Analysis;
  /** Whether the orientations differ at all; null where the data cannot say. */
  p: number | null;
  message: string;
  blocks?: Blocks;
  rounds?: Rounds;
  nested?: Nested;
}>;

const none = (message: string): Comparison => ({ analysis: 'none', p: null, message });

/**
 * The analysis that the plates in the data allow; the person's wish has no say:
 * several orientations on a plate -> mixed (blocks); one each with rounds recorded -> rounds; one each on several plates
 * -> nested, the plate as the unit; one plate for every orientation -> none, and why.                       [answer-1]
 *
 * @throws Refusal without rows or with one orientation
 */
export function compare(rows: readonly Row[], conf: number): Comparison {
  const orientations = namesOf(rows, (row) => row.orientation);
  const plates = namesOf(rows, (row) => row.plate);
  if (orientations.length < 2) throw new Refusal('A comparison needs bars of two orientations or more.');
  const on = new Map(plates.map((plate) => [plate, new Set<string>()]));
  for (const row of rows) on.get(row.plate)!.add(row.orientation);
  if ([...on.values()].some((found) => found.size > 1)) return compareMixed(rows, plates, conf);

  const hasRounds = rows.every((row) => row.round !== undefined);
  if (hasRounds) {
    const names = namesOf(rows, (row) => row.round!);
    if (names.length > 1 && unconnected(rows, (row) => row.round!).length === 0)
      return compareRounds(rows, names, conf);
  }
  if (plates.length > orientations.length) return compareNested(rows);
  return none(
    `Each orientation stands on one plate of its own: plate and orientation cannot be told apart, so no p value is given. ` +
      `Print mixed plates, or each orientation on at least one more plate.`,
  );
}

function compareMixed(rows: readonly Row[], plates: readonly string[], conf: number): Comparison {
  if (plates.length === 1) {
    const lone = groupsOf(rows, (row) => row.orientation).find(({ values }) => values.length < 2);
    if (lone)
      return none(`Orientation ${lone.name} has one bar on the only plate: its scatter is not known.`);
    return {
      analysis: 'mixed',
      p: welchAnova(groupsOf(rows, (row) => row.orientation)).p,
      message:
        'One mixed plate: bars are compared as they are (Welch), for this plate only. Whether the difference between orientations changes from plate to plate cannot be seen; print a second mixed plate.',
    };
  }
  const apart = unconnected(rows, (row) => row.plate);
  if (apart.length > 0)
    return none(
      `No plate carries ${apart.join(' or ')} together with the other orientations: plate and orientation cannot be told apart for it, so no p value is given. Print a plate that carries both.`,
    );
  const table = blocks(rows, conf);
  if (table.p_treatment === null)
    return {
      ...none('There are too few bars on the mixed plates to see their scatter: print another mixed plate.'),
      blocks: table,
    };
  const message = table.interaction?.is_error
    ? 'Mixed plates: the plate is taken out as a block; the difference between orientations changes from plate to plate, and that change is the error.'
    : 'Mixed plates: the plate is taken out as a block.';
  return { analysis: 'mixed', p: table.p_treatment, message, blocks: table };
}

function compareRounds(rows: readonly Row[], names: readonly string[], conf: number): Comparison {
  try {
    const table = rounds(rows, conf);
    return {
      analysis: 'rounds',
      p: table.p,
      message: `${names.length} rounds: the plate is the unit, the round is taken out.`,
      rounds: table,
    };
  } catch (error) {
    if (error instanceof Refusal) return none(error.message);
    throw error;
  }
}

function compareNested(rows: readonly Row[]): Comparison {
  try {
    const table = nested(rows);
    return {
      analysis: 'nested',
      p: table.p,
      message:
        'Every plate carries one orientation and no rounds are recorded: the plate is the unit, not the bar.',
      nested: table,
    };
  } catch (error) {
    if (error instanceof Refusal) return none(error.message);
    throw error;
  }
}
