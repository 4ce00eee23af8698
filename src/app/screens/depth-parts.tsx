import type { DryDepth } from '../../server/api.ts';
import { Caution } from '../parts.tsx';
import { LeverField } from './lever-field.tsx';

/** What the opened rows of all links are made of. */

export function Lines({ of }: { of: readonly string[] }) {
  return (
    <div class="needed">
      {of.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  );
}

export function Advice({ of }: { of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <div>
      <h3>What helps</h3>
      <ul class="advice">
        {of.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </div>
  );
}

type LeversProps = Pick<DryDepth, 'cautions' | 'levers'> &
  Readonly<{ title: string; planned: DryDepth['levers'] | null }>;

/** Levers as fields, cautions before them. */
export function Levers({ title, cautions, levers, planned }: LeversProps) {
  return (
    <div class="levers-place">
      <h3>{title}</h3>
      {cautions.map((caution) => (
        <Caution key={caution.hazard} {...caution} />
      ))}
      <div class="levers">
        {levers.map((lever) => (
          <LeverField key={lever.path} lever={lever} planned={planned} />
        ))}
      </div>
    </div>
  );
}

export function LeavesOut({ of }: { of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <div class="weak-points">
      <h3>What this leaves out</h3>
      <div class="stack">
        {of.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </div>
    </div>
  );
}
