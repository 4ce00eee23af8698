import type { CheckView, LinkView } from '../server/api.ts';
import type { Neck } from './charts/necked-bar.tsx';
import type { ShownLink } from './state.ts';

/** What follows from a link as it is shown. */

export function neckOf({ figures }: ShownLink): Neck {
  return {
    width: figures?.width ?? 1,
    known: figures !== null,
    cracked: figures?.cracked ?? false,
    weak: figures?.weakest ?? false,
  };
}

/** "count" or "come off": which of the two answers a check speaks for, after a share. */
export function answerWord(check: CheckView): string {
  return check.answer === 'counts' ? 'count' : 'come off';
}

/** "Weakest: Dry, 61 % count" in pieces. Where none is weak the least sure is named: no claim beyond that. */
export function weakestWords(links: readonly ShownLink[]) {
  const known = links.flatMap(({ figures }) => (figures ? [figures] : []));
  const weakest = known.find((link) => link.weakest);
  const least = weakest ?? known.reduce((a, b) => ((b.shareValue ?? 1) < (a.shareValue ?? 1) ? b : a));
  const share = least.ruling ? `${least.share} ${answerWord(least.ruling)}` : least.share;
  return { before: weakest ? 'Weakest' : 'Least sure', name: least.name, share };
}

/** True where a change being tried moved the link: another share, or dots in other places. */
export function hasMoved(link: LinkView): boolean {
  if (!link.before || !link.ruling) return false;
  if (link.before.share !== link.ruling.share || link.before.median !== link.ruling.median) return true;
  return link.ruling.strip.dots.some((dot, i) => dot.column !== link.before!.strip.dots[i]?.column);
}
