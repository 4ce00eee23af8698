import type { Lever } from '../engine/links/link.ts';
import type { Job } from '../job.ts';
import { showQuantity, showSpan } from '../units.ts';
import { BOXES } from './stay-dry-depth.ts';

/** Changes of box, tube and way in the words of the bench; null for a change of another kind. */
export function feedWayWords(lever: Lever, job: Job): { words: string; cost: string } | null {
  const valueAt = (path: string) => lever.changes.find((change) => change.path === path)?.value;
  const cost = lever.bought ? 'to buy or borrow' : showSpan(lever.hands);
  const cuts = lever.id !== 'cut off' && valueAt('kit.box.between prints') === 'cut off';
  const withCut = (words: string) =>
    cuts ? `${words}, and cut off 2 m of strand after each wait in the tube` : words;
  const at = valueAt('kit.box.at');
  switch (lever.id) {
    case 'cut off': {
      const each = job.prints.length > 2 ? `, ${job.prints.length - 1} times` : '';
      return { words: 'Cut off 2 m of strand after each night in the tube', cost: `1 min${each}` };
    }
    case 'draw back':
      return { words: 'Draw the strand back into the box after each print', cost };
    case 'warmer box': {
      const now = job.entries['box.temperature']?.value;
      return {
        words: withCut(
          `Box at ${showQuantity(Number(at), 'C', 3)}, not ${showQuantity(Number(now), 'C', 3)}`,
        ),
        cost,
      };
    }
    case 'molecular sieve':
      return { words: withCut('Molecular sieve in the box in place of silica gel'), cost };
    case 'shorter tube':
      return { words: withCut('Half as much tube between box and machine'), cost };
    case 'way round':
      return { words: 'Turn the spool so that the way bends as the winding does', cost };
    case 'wider bend': {
      const radii = [...String(valueAt('kit.box.path')).matchAll(/bend: "([\d.]+) mm/g)].map((match) =>
        Number(match[1]),
      );
      return {
        words: `No bend tighter than ${showQuantity(Math.min(...radii) / 1000, 'mm', 3)} radius`,
        cost,
      };
    }
    case 'bends in the box':
      return { words: 'All bends before the tube begins, in the warm air of the box', cost };
    case 'warm box':
      return { words: 'Feed from a warm box, with all bends in its air before the tube begins', cost };
    case 'full spool':
      return {
        words: `Start with a spool of ${showQuantity(Number(lever.changes[0]!.value), 'g', 4)}`,
        cost,
      };
    default: {
      const box = BOXES.find(([card]) => card === lever.id)?.[1];
      if (box === undefined) return null;
      const sieve = valueAt('kit.box.desiccant.card') === 'molecular-sieve' ? ' (molecular sieve)' : '';
      return { words: withCut(`Feed ${box}${sieve}`), cost };
    }
  }
}
