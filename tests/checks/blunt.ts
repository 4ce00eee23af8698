/**
 * Checks that a value a tenth higher or lower would still pass, each with the reason. `run.test.ts` demands that the
 * list is exact: a check that is sharp and stands here fails the run, and so does a blunt one that does not.
 */
export const BLUNT: Readonly<Record<string, string>> = {};
