import type { z } from 'zod';
import type { Problem } from '../problem.ts';

/** What a schema found wrong with JSON from outside, each in our words: where, the value, what was expected. */
export function schemaProblems(error: z.ZodError, file: string, given: unknown): Problem[] {
  return error.issues.flatMap((issue) => issueProblems(issue, file, given));
}

function issueProblems(issue: z.core.$ZodIssue, file: string, given: unknown): Problem[] {
  const path = issue.path.join('.');
  const value = issue.path.reduce<unknown>(
    (at, key) => (at as Record<PropertyKey, unknown> | undefined)?.[key],
    given,
  );
  const where = { file, ...(path ? { path } : {}) };
  const shown =
    value === undefined ? 'This is missing.' : `${JSON.stringify(value)?.slice(0, 80)} does not fit.`;
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) => ({
        code: 'unknown-key',
        message: `"${key}" is not known here.`,
        where,
      }));
    case 'invalid_union':
      return [{ code: 'wrong-form', message: shown, where, expected: 'one of the forms that fit here' }];
    case 'invalid_type':
      return [
        {
          code: 'wrong-type',
          message: shown,
          where,
          expected: TYPES[issue.expected] ?? `a ${issue.expected}`,
        },
      ];
    case 'invalid_value':
      return [{ code: 'wrong-value', message: shown, where, expected: `one of ${issue.values.join(', ')}` }];
    case 'too_small':
      return [
        {
          code: 'too-small',
          message: shown,
          where,
          expected: `${issue.inclusive === false ? 'more than' : 'at least'} ${issue.minimum}`,
        },
      ];
    case 'too_big':
      return [
        {
          code: 'too-big',
          message: shown,
          where,
          expected: `${issue.inclusive === false ? 'less than' : 'at most'} ${issue.maximum}`,
        },
      ];
    default:
      return [{ code: 'wrong-value', message: shown, where, expected: issue.message }];
  }
}

/** Types of JSON in words. */
const TYPES: Readonly<Record<string, string>> = {
  object: 'keys with values, {"...": ...}',
  record: 'keys with values, {"...": ...}',
  array: 'a list, [...]',
  tuple: 'a list, [...]',
  int: 'a whole number',
  string: 'a text',
  boolean: 'true or false',
  null: 'null',
};
