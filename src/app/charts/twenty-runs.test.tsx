import { describe, expect, it } from 'vitest';
import type { RunsView } from '../../server/api.ts';
import { drawn, ofClass } from './drawn.fixture.ts';
import { type Gate, RunsDrawing, runsSentence, threadEnds } from './twenty-runs.tsx';

const RUNS: RunsView = {
  threads: [
    ...Array.from({ length: 9 }, () => ({ lostAt: null, spoiledAt: null })),
    ...Array.from({ length: 6 }, () => ({ lostAt: null, spoiledAt: 'Dry' })),
    ...Array.from({ length: 4 }, () => ({ lostAt: 'Hold', spoiledAt: null })),
    { lostAt: 'other mishaps', spoiledAt: null },
  ],
  spoiled: [{ link: 'Dry', count: 6 }],
  lost: [
    { link: 'Hold', count: 4 },
    { link: 'other mishaps', count: 1 },
  ],
  counts: 9,
  comeOff: 15,
};
const GATES: Gate[] = ['Dry', 'Stay dry', 'Hold', 'other mishaps'].map((name) => ({
  name,
  known: name !== 'Stay dry',
  weak: name === 'Hold',
}));

describe('twenty runs', () => {
  it('end in nine discs and eleven rings, and every thread ends at a gate that is there', () => {
    const all = drawn(<RunsDrawing runs={RUNS} gates={GATES} width={560} text={12} />);
    expect(ofClass(all, 'holding')).toHaveLength(9);
    expect(ofClass(all, 'failing')).toHaveLength(11);
    for (const { lost, spoiled } of threadEnds(RUNS, GATES)) {
      expect(lost).not.toBe(-1);
      expect(spoiled).not.toBe(-1);
    }
  });

  it('run on thin where they come off without counting, and stop where they are lost', () => {
    const all = drawn(<RunsDrawing runs={RUNS} gates={GATES} width={560} text={12} />);
    const thin = ofClass(all, 'thin');
    expect(thin).toHaveLength(6);
    const ends = ofClass(all, 'holding').map(({ props }) => props['cx']);
    expect(new Set(thin.map(({ props }) => props['x2']))).toEqual(new Set(ends));
    const whole = ofClass(all, 'thread').filter(({ props }) => !String(props['class']).includes('thin'));
    expect(whole).toHaveLength(20);
    expect(whole.filter(({ props }) => Number(props['x2']) < Number(ends[0]))).toHaveLength(11);
  });

  it('say under each gate how many are lost and how many do not count', () => {
    const words = drawn(<RunsDrawing runs={RUNS} gates={GATES} width={560} text={12} />).map(
      (element) => element.words,
    );
    for (const word of ['−4', '−1', '○ 6', '9 count', '6 only come off', '5 lost'])
      expect(words).toContain(word);
  });

  it('dot the gate of a link that is not computed yet, and draw that of the weakest strong', () => {
    const gates = ofClass(drawn(<RunsDrawing runs={RUNS} gates={GATES} width={560} text={12} />), 'gate');
    expect(gates.map(({ props }) => String(props['class']).includes('blank'))).toEqual([
      false,
      true,
      false,
      false,
    ]);
    expect(gates.map(({ props }) => String(props['class']).includes('weak'))).toEqual([
      false,
      false,
      true,
      false,
    ]);
  });

  it('keep the name of the weakest when there is no room for all', () => {
    const words = drawn(<RunsDrawing runs={RUNS} gates={GATES} width={200} text={24} />).map(
      (element) => element.words,
    );
    expect(words).toContain('Hold');
    expect(words).not.toContain('Stay dry');
  });

  it('are read aloud in one sentence that adds up', () => {
    expect(runsSentence(RUNS)).toBe(
      'Of 20 runs 5 are lost on the machine, 4 at Hold, 1 at other mishaps; 6 come off but do not count, 6 at Dry; 9 count.',
    );
  });
});
