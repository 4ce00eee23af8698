import { showNumber } from '../../units.ts';
import { fine, roundSteps } from './labels.ts';

/** What pictures of water and strain over time are made of. */

/** An axis of values from 0 to `top`: about five round steps, and the decimals that tell them apart. */
export function valueSteps(top: number): Readonly<{ steps: readonly number[]; places: number }> {
  const steps = roundSteps(top, 5);
  return { steps, places: Math.max(0, -Math.floor(Math.log10(steps[1] ?? 1) + 1e-9)) };
}

type StepsProps = ReturnType<typeof valueSteps> &
  Readonly<{ left: number; y: (value: number) => number; text: number }>;

export function Steps({ steps, places, left, y, text }: StepsProps) {
  return (
    <>
      {steps.map((value) => (
        <g key={`step ${value}`}>
          <line class="axis" x1={left - 4} x2={left} y1={y(value)} y2={y(value)} />
          <text x={left - 7} y={y(value) + text * 0.35} text-anchor="end">
            {showNumber(value, places)}
          </text>
        </g>
      ))}
    </>
  );
}

export type EndName = Readonly<{ words: string; at: number; strong: boolean }>;

/** Names at the right ends of lines, each led to its place among the others. */
export function EndNames({
  names,
  places,
  right,
  text,
}: {
  names: readonly EndName[];
  places: readonly number[];
  right: number;
  text: number;
}) {
  return (
    <>
      {names.map(({ words, at, strong }, k) => (
        <g key={words}>
          <path class="leader" d={`M${right} ${fine(at)}L${right + 8} ${fine(places[k]! - text * 0.35)}`} />
          <text x={right + 11} y={places[k]} class={strong ? 'strong' : ''}>
            {words}
          </text>
        </g>
      ))}
    </>
  );
}

/** A line of the key: how a curve, or the zone that is good enough, is drawn. */
export function Key({ kind, words }: { kind: '' | 'mean' | 'planned' | 'zone'; words: string }) {
  return (
    <span>
      <svg width="26" height="14" aria-hidden="true">
        {kind === 'zone' ? (
          <rect class="zone" width="26" height="14" />
        ) : (
          <>
            {kind !== 'planned' && <rect class={`band ${kind}`} y="1" width="26" height="12" />}
            <path class={`line ${kind}`} d="M0 7H26" />
          </>
        )}
      </svg>
      {words}
    </span>
  );
}
