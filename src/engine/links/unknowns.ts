import type { Job } from '../../job.ts';
import type { LinkName } from './link.ts';

/** Unknowns of this job that the cards of some links read: what the spread of a link may come from. */
export function unknownsOf(job: Job, links: readonly LinkName[]): readonly string[] {
  return Object.values(job.entries)
    .filter(
      ({ readBy, law, value, key }) =>
        links.some((link) => readBy.includes(link)) &&
        law.kind !== 'fixed' &&
        law.kind !== 'follows' &&
        typeof value !== 'string' &&
        // Bias and scatter of the links are added when the chain is judged.
        !key.startsWith('links.'),
    )
    .map(({ key }) => key);
}
