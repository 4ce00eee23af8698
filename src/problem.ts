/**
 * The one shape of a complaint about what a person gave us: what is wrong, where, what was expected.
 * Readers collect all problems of an input before they refuse it; nothing is half used.
 */
export type Where = Readonly<{ file?: string; line?: number; column?: number; path?: string }>;

export type Problem = Readonly<{
  /** Kebab-case word that scripts may rely on, such as `unknown-key`. */
  code: string;
  /** One sentence for people, without the place: the place is put in front by `sentence`. */
  message: string;
  where?: Where;
  /** What would have been right, such as `a temperature with its unit, such as "90 C"`. */
  expected?: string;
}>;

/** Thrown by whoever reads input, with every problem found. Edges print the sentences and exit with 2. */
export class InputFault extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map(sentence).join('\n'));
    this.name = 'InputFault';
    this.problems = problems;
  }
}

/** Thrown by long work when it was told to stop. Edges exit with 130. */
export class Cancelled extends Error {
  constructor() {
    super('Stopped.');
    this.name = 'Cancelled';
  }
}

/** "campaign.yaml, line 7, people.there: "25:00" is not a time of day. Expected 00:00 to 23:59." */
export function sentence(problem: Problem): string {
  const { file, line, column, path } = problem.where ?? {};
  const place = [
    file,
    line === undefined ? undefined : `line ${line}`,
    column === undefined ? undefined : `column ${column}`,
    path,
  ].filter((part) => part !== undefined && part !== '');
  const words = problem.expected ? `${problem.message} Expected ${problem.expected}.` : problem.message;
  return place.length > 0 ? `${place.join(', ')}: ${words}` : words;
}
