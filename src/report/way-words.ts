import type { Lever } from '../engine/links/link.ts';
import type { Job } from '../job.ts';
import { showQuantity, showSpan } from '../units.ts';
import { DRYERS } from './dry-depth.ts';
import { feedWayWords } from './feed-way-words.ts';

/** What a change is called and what it costs, in the words of the bench. */
export function wayWords(lever: Lever, job: Job): { words: string; cost: string } {
  const fed = feedWayWords(lever, job);
  if (fed) return fed;
  const [first] = lever.changes;
  const value = first?.value;
  const bed = job.entries['dryer.heated by']?.value === 'bed';
  switch (lever.id) {
    case 'longer': {
      const more = Number(value) - job.drying.time;
      const flips = job.drying.flipEvery ? Math.floor(more / job.drying.flipEvery) : 0;
      const parts = [`${showSpan(more)} more`];
      if (flips > 0) parts.push(flips === 1 ? 'one more flip' : `${flips} more flips`);
      if (bed) parts.push('you stay with it');
      return { words: `Dry ${showSpan(Number(value))}`, cost: parts.join(', ') };
    }
    case 'flip':
      return { words: `Turn the spool over after ${showSpan(job.drying.time / 2)}`, cost: '3 min' };
    case 'hotter': {
      const set = job.entries['dryer.temperature']?.value;
      return {
        words: `Dry at ${showQuantity(Number(value), 'C', 3)}, not ${showQuantity(Number(set), 'C', 3)}`,
        cost: '1 min',
      };
    }
    default: {
      const label = DRYERS.find(([card]) => card === lever.id)?.[1] ?? lever.id;
      const at = lever.changes.find((change) => change.path === 'kit.dryer.at')?.value;
      const words = `${label.replace(', never one for food', '')}${at === undefined ? '' : `, ${showQuantity(Number(at), 'C', 3)}`}`;
      return { words, cost: lever.bought ? 'to buy or borrow' : '1 min' };
    }
  }
}
