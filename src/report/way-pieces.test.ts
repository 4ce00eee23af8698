import { describe, expect, it } from 'vitest';
import type { Entry, Job } from '../job.ts';
import { wayPieces } from './way-pieces.ts';

/** Goal: a way is offered for editing as it is written, and what nobody told as the card assumes it. */
const entry = (value: number, law: Entry['law']) => ({ value, law }) as Entry;
const job = {
  entries: {
    'path.length': entry(0.8, { kind: 'even', low: 0.4, high: 1.5 }),
    'path.tightest bend': entry(0.04, { kind: 'factor', factor: 1.3 }),
  } as Readonly<Record<string, Entry>>,
} as Job;
const inBox = (path: string) => `format: 1\nkit:\n  box: { card: heated-box${path} }\n`;

describe('the pieces of a way', () => {
  it('are those written, spreads and all', () => {
    const text = inBox(', path: [{ tube: "0.7 m x/ 1.1" }, { bend: "60 mm x 90 deg +- 5 mm" }]');
    expect(wayPieces(job, text)).toEqual([
      { kind: 'tube', text: '0.7 m x/ 1.1', assumed: false },
      { kind: 'bend', text: '60 mm x 90 deg +- 5 mm', assumed: false },
    ]);
  });

  it('have the assumed tube before bends that stand alone, and one bend where none is told', () => {
    const tube = { kind: 'tube', text: expect.stringMatching(/^0\.8 m x\/ 1\.\d+$/), assumed: true };
    const bend = { kind: 'bend', text: '40 mm x 90 deg x/ 1.3', assumed: true };
    expect(wayPieces(job, inBox(''))).toEqual([tube, bend]);
    expect(wayPieces(job, inBox(', path: [{ bend: "12 mm x 90 deg" }]'))).toEqual([
      tube,
      { kind: 'bend', text: '12 mm x 90 deg', assumed: false },
    ]);
    expect(wayPieces(job, inBox(', path: [{ tube: unknown }, { bend: "12 mm x 90 deg" }]'))[0]).toEqual(tube);
    expect(wayPieces(job, 'format: 1\nkit: { box: heated-box }\n')).toEqual([tube, bend]);
  });

  it('give an even spread as the factor whose 9 runs in 10 reach as far', () => {
    const [tube] = wayPieces(job, inBox(''));
    const factor = Number(tube!.text.split('x/ ')[1]);
    // 5 and 95 % of an even spread from 0.4 to 1.5: 0.455 and 1.445, apart by the factor to the power 2 x 1.645.
    expect(factor ** 3.29).toBeCloseTo(1.445 / 0.455, 1);
  });
});
