import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect } from 'vitest';
import { KERNELS } from '../../src/engine/kernels.ts';
import { compute } from '../../src/work/compute.ts';
import { BLUNT } from './blunt.ts';
import { at, type CheckFile, differences, leaves, put, spoiled } from './match.ts';

/** Folder that the file names of checks are relative to: it holds data/ beside checks/. */
const TESTS = dirname(dirname(fileURLToPath(import.meta.url)));

export const CHECKS: readonly (CheckFile & { subject: string })[] = readdirSync(join(TESTS, 'checks'))
  .filter((name) => name.endsWith('.json'))
  .sort()
  .flatMap((name) =>
    (JSON.parse(readFileSync(join(TESTS, 'checks', name), 'utf8')) as CheckFile[]).map((check) => ({
      ...check,
      subject: name.replace('.json', ''),
    })),
  );

/** Kernels whose checks take more than a few seconds: `npm run prove` runs them whole, `npm test` a small one of each. */
export const isSlow = (check: CheckFile) => check.kernel !== null && /\.ensemble$/.test(check.kernel);
export const hasKernel = (check: CheckFile) => check.kernel !== null && KERNELS.has(check.kernel);

/** Runs one check through the entry that `bonedry compute` uses, and proves that it could have failed. */
export function runCheck(check: CheckFile): void {
  const computed = compute(check.kernel!, check.inputs, TESTS);
  if (check.expected['error'] === true) {
    expect(computed.ok, 'this input must be refused').toBe(false);
    if (computed.ok) return;
    for (const word of check.expected['message_names'] as string[])
      expect(computed.error.message).toContain(word);
    return;
  }
  if (!computed.ok) throw new Error(`refused: ${computed.error.message}`);
  const result = JSON.parse(JSON.stringify(computed.outputs)) as Record<string, unknown>;
  const { message_names: words = [], ...expected } = check.expected as { message_names?: string[] };
  for (const word of words) expect(String(result['message'])).toContain(word);
  const compared = { ...check, expected };
  expect(differences(compared, result)).toEqual([]);
  const blunt = leaves(expected).filter((path) =>
    spoiled(at(expected, path)).some(
      (value) =>
        differences({ ...compared, expected: put(expected, path, value) as never }, result).length === 0,
    ),
  );
  const unseen = [...new Set(blunt.map((path) => path[0]))].join(', ');
  expect(unseen, 'values that could be a tenth off unseen, against blunt.ts').toBe(
    BLUNT[check.id]?.keys ?? '',
  );
}
