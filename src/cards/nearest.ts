/**
 * The known word that a wrong one was most likely meant to be: least edit distance (Levenshtein 1966, counted with
 * swapped neighbours as one step), ties by order in the list.
 * @returns null where nothing is near: more than a third of the letters would have to change
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const wanted = word.toLowerCase();
  let best: string | null = null;
  let least = Math.max(1, Math.floor(Math.max(wanted.length, 3) / 3)) + 1;
  for (const candidate of known) {
    const distance = editDistance(wanted, candidate.toLowerCase());
    if (distance < least) {
      best = candidate;
      least = distance;
    }
  }
  return best;
}

/** Steps that turn one word into the other: insert, leave out, change a letter, or swap two neighbours. */
export function editDistance(from: string, to: string): number {
  let before: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, k) => k);
  for (let i = 1; i <= from.length; i++) {
    const row = [i];
    for (let k = 1; k <= to.length; k++) {
      const change = last[k - 1]! + (from[i - 1] === to[k - 1] ? 0 : 1);
      let steps = Math.min(last[k]! + 1, row[k - 1]! + 1, change);
      if (i > 1 && k > 1 && from[i - 1] === to[k - 2] && from[i - 2] === to[k - 1])
        steps = Math.min(steps, before[k - 2]! + 1);
      row.push(steps);
    }
    before = last;
    last = row;
  }
  return last[to.length]!;
}
