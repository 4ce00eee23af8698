/** Where labels go so that none covers another. Pure: positions in px in, positions out. */

/** Mean width of a character of the page's type, as a share of its size; generous, since fonts differ. */
const WIDTH_A_CHARACTER = 0.58;

export function textWidth(words: string, size: number): number {
  return words.length * size * WIDTH_A_CHARACTER;
}

/**
 * Pushes labels on a line apart until each has `gap` to the next, within low..high, moving each as little as it can.
 * @returns positions in the order given
 */
export function pushApart(wanted: readonly number[], gap: number, low: number, high: number): number[] {
  const order = wanted.map((_, index) => index).sort((a, b) => wanted[a]! - wanted[b]!);
  const placed: number[] = new Array(wanted.length);
  let previous = low - gap;
  for (const index of order) {
    placed[index] = Math.max(wanted[index]!, previous + gap);
    previous = placed[index]!;
  }
  let next = high + gap;
  for (const index of [...order].reverse()) {
    placed[index] = Math.min(placed[index]!, next - gap);
    next = placed[index]!;
  }
  return placed;
}

export type Box = Readonly<{ left: number; right: number; top: number; bottom: number }>;

export function overlap(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

/** The labels of a line that fit: earlier ones win, and each keeps `room` px to those already placed. */
export function thatFit<T>(
  labels: readonly T[],
  at: (label: T) => readonly [left: number, right: number],
  room: number,
): Set<T> {
  const kept = new Set<T>();
  for (const label of labels) {
    const [left, right] = at(label);
    const free = [...kept].every((other) => {
      const [otherLeft, otherRight] = at(other);
      return right + room <= otherLeft || left >= otherRight + room;
    });
    if (free) kept.add(label);
  }
  return kept;
}

/** Round steps (1, 2, 5 times a power of ten) from 0 to `end`, at most `count` of them after 0. */
export function roundSteps(end: number, count: number): number[] {
  if (!(end > 0)) return [0];
  const raw = end / count;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10]
    .map((factor) => factor * power)
    .find((candidate) => candidate >= raw * (1 - 1e-9))!;
  const steps: number[] = [];
  for (let k = 0; k * step <= end * (1 + 1e-9); k++) steps.push(k * step);
  return steps;
}

/** To a tenth of a px: nobody sees more, and drawings stay short. */
export const fine = (value: number) => Math.round(value * 10) / 10;
