import { afterAll, describe, expect, it } from 'vitest';
import { BLUNT } from './blunt.ts';
import { differences } from './match.ts';
import { CHECKS, hasKernel, isSlow, runCheck } from './suite.ts';

// Goal: every check value from outside the code holds, through the same entry as `bonedry compute`.
// Method: run each check whose kernel exists; then spoil every expected value by a tenth, up and down, and demand that
// the comparison notices. Kernels that are not built yet are counted in the last line, never passed over in silence.

const missing = new Set(
  CHECKS.filter((check) => check.kernel !== null && !hasKernel(check)).map((c) => c.kernel!),
);

describe.each([...new Set(CHECKS.map((check) => check.subject))])('%s', (subject) => {
  const checks = CHECKS.filter((check) => check.subject === subject && hasKernel(check) && !isSlow(check));
  if (checks.length === 0) it.skip('has no kernel yet', () => {});
  for (const check of checks) it(`${check.id}: ${check.what}`, () => runCheck(check));
});

describe('the checks themselves', () => {
  it('each has a kernel, or says how else it is tested', () => {
    const lost = CHECKS.filter((check) => check.kernel === null && !check.how);
    expect(lost.map((check) => check.id)).toEqual([]);
  });

  it('each names its source and kind, and ids are used once in a file', () => {
    expect(CHECKS.filter((check) => !check.source || !check.kind).map((check) => check.id)).toEqual([]);
    const ids = CHECKS.map((check) => `${check.subject}/${check.id}`);
    expect(ids.length).toBe(new Set(ids).size);
  });

  it('a blunt check that no longer exists does not stay on the list', () => {
    const ids = new Set(CHECKS.map((check) => check.id));
    expect(Object.keys(BLUNT).filter((id) => !ids.has(id))).toEqual([]);
  });

  it('the comparison sees a missing key, a wrong length, a word and a number', () => {
    const check = { ...CHECKS[0]!, expected: { a: [1, 2], b: 'x' }, tolerance: { rel: 1e-3 } };
    expect(differences(check, { a: [1.0005, 2], b: 'x' })).toEqual([]);
    expect(differences(check, { a: [1.002, 2], b: 'x' })).toHaveLength(1);
    expect(differences(check, { a: [1], b: 'y' })).toHaveLength(2);
    expect(differences(check, { b: 'x' })).toHaveLength(1);
    expect(differences(check, { a: [Number.NaN, 2], b: 'x' })).toHaveLength(1);
  });
});

afterAll(() => {
  const run = CHECKS.filter((check) => hasKernel(check)).length;
  const left = CHECKS.filter((check) => isSlow(check) && hasKernel(check)).length;
  process.stdout.write(
    `checks: ${run - left} of ${CHECKS.length} run here, ${left} slow ones in npm run prove; ${missing.size} kernels still missing\n`,
  );
});
