import { type Problem, sentence } from '../problem.ts';
import type { ProblemView } from './views.ts';

/** A problem as a page shows it; `file` where it does not say one itself. */
export function problemView(
  problem: Problem,
  level: ProblemView['level'],
  file: string | null = null,
): ProblemView {
  return {
    sentence: sentence(problem),
    file: problem.where?.file ?? file,
    line: problem.where?.line ?? null,
    level,
  };
}
