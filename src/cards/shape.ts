import { z } from 'zod';
import type { Problem } from '../problem.ts';
import type { Reading } from '../units.ts';
import { nearest } from './nearest.ts';
import type { Opened, Path } from './yaml-text.ts';

/**
 * Schemas of what people write, and their complaints in our own words. A leaf reads one value; maps are strict, and an
 * unknown key is told with the nearest known one.
 */

/** One value: `reader` gets whatever stands in the file. */
export function leaf<T>(reader: (raw: unknown) => Reading<T>) {
  return z.unknown().transform((raw, context): T => {
    const reading = reader(raw);
    if (reading.ok) return reading.value;
    context.issues.push({
      code: 'custom',
      message: reading.message,
      params: { expected: reading.expected },
      input: raw,
    });
    return z.NEVER;
  });
}

/** A value as the words of a complaint have it. */
export function quoted(raw: unknown): string {
  if (raw === undefined || raw === null) return 'Nothing';
  if (typeof raw === 'object') return Array.isArray(raw) ? 'A list' : 'A group of keys';
  return `"${String(raw)}"`;
}

/** Complaints of a schema, parsed with `reportInput`, with their place in the file. */
export function problemsOf(error: z.ZodError, schema: z.ZodType, opened: Opened, base: Path = []): Problem[] {
  return error.issues.flatMap((issue): Problem[] => {
    const path = [...base, ...(issue.path as (string | number)[])];
    if (issue.code === 'unrecognized_keys')
      return issue.keys.map((key) => ({
        ...unknownKey(key, keysAt(schema, issue.path as (string | number)[])),
        where: opened.whereKey([...path, key]),
      }));
    const where = opened.where(path);
    if (issue.code === 'custom') {
      const expected = (issue as { params?: { expected?: string } }).params?.expected;
      const problem =
        issue.input === undefined
          ? { code: 'missing', message: `"${String(path.at(-1))}" is missing.` }
          : { code: 'wrong-value', message: issue.message };
      return [{ ...problem, ...(expected ? { expected } : {}), where }];
    }
    if (issue.code === 'invalid_type') {
      const wanted = issue.expected === 'array' ? 'a list' : 'a group of keys';
      return [
        issue.input === undefined
          ? { code: 'missing', message: `"${String(path.at(-1))}" is missing.`, expected: wanted, where }
          : {
              code: 'wrong-value',
              message: 'This has not the form that belongs here.',
              expected: wanted,
              where,
            },
      ];
    }
    return [{ code: 'wrong-value', message: `${issue.message}.`, where }];
  });
}

export function unknownKey(key: string, known: readonly string[]): Problem {
  const near = nearest(key, known);
  return {
    code: 'unknown-key',
    message: `"${key}" is not a key known here.`,
    expected: near === null ? `one of ${someOf(known)}` : `"${near}"`,
  };
}

/** A list that a sentence can hold; the rest stands on the page of the campaign file and on the cards. */
function someOf(words: readonly string[]): string {
  const most = 16;
  if (words.length <= most) return words.join(', ');
  return `${words.slice(0, most).join(', ')} and ${words.length - most} more (docs/campaign-file.md)`;
}

/** Keys that the map at a path may have. */
function keysAt(schema: z.ZodType, path: Path): readonly string[] {
  const inner = bare(schema);
  if (path.length === 0) return inner instanceof z.ZodObject ? Object.keys(inner.shape) : [];
  const [step, ...rest] = path;
  if (inner instanceof z.ZodObject) {
    const next = inner.shape[String(step)] as z.ZodType | undefined;
    return next ? keysAt(next, rest) : [];
  }
  if (inner instanceof z.ZodArray) return keysAt(inner.element as z.ZodType, rest);
  if (inner instanceof z.ZodRecord) return keysAt(inner.valueType as z.ZodType, rest);
  return [];
}

/** The schema of a map or a list behind what wraps it. */
function bare(schema: z.ZodType): z.ZodType {
  if (schema instanceof z.ZodOptional) return bare(schema.unwrap() as z.ZodType);
  if (schema instanceof z.ZodPipe) {
    const out = bare(schema.out as z.ZodType);
    return out instanceof z.ZodTransform ? bare(schema.in as z.ZodType) : out;
  }
  return schema;
}
