import type { Job } from '../../job.ts';
import type { Lever } from '../links/link.ts';

/**
 * Price of a change in minutes of the person: own minutes, a little for any change at all, and what has to be made or
 * bought (prices card; may be edited) [plan-price].
 */
export function priceOf(lever: Lever, job: Job): number {
  const minutes = (key: string) => {
    const value = job.entries[`prices.${key}`]?.value;
    if (typeof value !== 'number') throw new Error(`the prices card has no "${key}"`);
    return value / 60;
  };
  return lever.hands / 60 + minutes('any change') + (lever.bought ? minutes('must be made or bought') : 0);
}
